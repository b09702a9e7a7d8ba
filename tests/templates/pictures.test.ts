import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { endOf, type Path, polyline } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import type { AnyValues, Template } from '../../src/panel/template.ts'
import { panelPicture } from '../../src/picture/panel-picture.ts'
import type { Drawn, Picture, PicturePart } from '../../src/picture/picture.ts'
import { arch } from '../../templates/arch/template.ts'
import { boxSleeve } from '../../templates/box-sleeve/template.ts'
import { disc } from '../../templates/disc/template.ts'
import { elbow } from '../../templates/elbow/template.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { oval } from '../../templates/oval/template.ts'
import { prismSleeve } from '../../templates/prism-sleeve/template.ts'
import { ring } from '../../templates/ring/template.ts'
import { drawSolid } from '../../templates/solid-sketch.ts'
import { stadium } from '../../templates/stadium/template.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { turnedBody } from '../../templates/turned-body/template.ts'
import { panelOf, plainOptions, say, square, thin } from './measures.ts'

/** Lines of a picture stand where they should within this, mm of the picture. */
const near = 0.15

const linesOf = ({ items }: Picture, part: PicturePart): Drawn[] =>
  items.filter((item) => item.kind === 'drawn').filter((item) => item.part === part)
const placesOn = (path: Path): Point[] => {
  const length = pathLength(path)
  const count = Math.max(1, Math.ceil(length / 0.1))
  return Array.from({ length: count + 1 }, (_, i) => stationAt(path, (length * i) / count).at)
}
/** mm from a place to the nearest line of a part, and how that line looks. */
function nearest(picture: Picture, part: PicturePart, p: Point) {
  const all = linesOf(picture, part).map(({ path, style }) => ({
    style,
    off: Math.min(...placesOn(path).map((q) => distance(p, q))),
  }))
  return all.reduce((a, b) => (b.off < a.off ? b : a), { style: 'object' as Drawn['style'], off: Infinity })
}
const rect = (width: number, height: number, fromLeft: number, fromBottom: number) => ({
  shape: 'rectangular',
  diameter: undefined,
  width,
  height,
  radius: 0,
  fromLeft,
  fromBottom,
})

/** A level circle as a picture shows it. */
interface Level {
  readonly middle: number
  readonly across: number
  readonly y: number
  readonly dip: number
}

/** The lower and the upper rim of a round object, read from the halves of circles that a picture shows. */
function rimsOf({ items }: Picture): [Level, Level] {
  const halves = items.flatMap((item) => {
    if (item.kind !== 'drawn' || item.part || !['object', 'hidden'].includes(item.style)) return []
    const [first, second, ...more] = item.path.segments
    if (first?.kind !== 'cubic' || second?.kind !== 'cubic' || more.length > 0) return []
    const [from, to] = [item.path.start, second.to]
    return [{ middle: (from.x + to.x) / 2, across: (to.x - from.x) / 2, y: from.y, dip: Math.abs(first.to.y - from.y) }]
  })
  halves.sort((a, b) => a.y - b.y)
  const [low, high] = [halves[0], halves.at(-1)]
  return low && high ? [low, high] : expect.fail('no rims')
}

/** Where a picture with these rims shows a place, by its angle from the front and its share of the way up the side. */
function shownAt([low, high]: [Level, Level], angle: number, share: number): Point {
  const mix = (a: number, b: number) => a + (b - a) * share
  return point(
    low.middle + mix(low.across, high.across) * Math.sin(angle),
    mix(low.y, high.y) - mix(low.dip, high.dip) * Math.cos(angle),
  )
}

const round = { diameter: undefined, gap: undefined, span: undefined, overlap: undefined, points: [] }
const tapered = {
  ...round,
  bottomDiameter: undefined,
  topDiameter: undefined,
  height: undefined,
  bottomGap: undefined,
  topGap: undefined,
}
const openings = [rect(60, 40, 90, 30)]

describe.each([
  ['a tin covered all round', straightBand, { ...round, girth: 534, height: 95, openings }, 534, 534, 0],
  ['a tin with a gap', straightBand, { ...round, girth: 534, height: 95, gap: 80, openings }, 534, 534, 80],
  [
    'a pail covered all round',
    taperedBand,
    { ...tapered, bottomGirth: 700, topGirth: 800, slant: 200, openings },
    700,
    800,
    0,
  ],
  [
    'a pail with a gap of 42 mm',
    taperedBand,
    { ...tapered, bottomGirth: 700, topGirth: 800, slant: 200, bottomGap: 42, topGap: 42, openings },
    700,
    800,
    42,
  ],
  [
    'a pail with a gap of a third',
    taperedBand,
    { ...tapered, bottomGirth: 700, topGirth: 800, slant: 200, bottomGap: 240, topGap: 240, openings },
    700,
    800,
    240,
  ],
] as [string, Template, AnyValues, number, number, number][])(
  'the picture of %s',
  (_name, template, values, bottom, top, gap) => {
    const picture = template.sketch(values, say)
    const rims = rimsOf(picture)
    const [low] = rims
    const [foot = expect.fail('no mark'), head = expect.fail('no mark')] = linesOf(picture, 'mark').map(
      ({ path }) => path.start,
    )
    const hinge = Math.atan2((foot.x - low.middle) / low.across, (low.y - foot.y) / low.dip)
    const check = (part: PicturePart, angle: number, share: number) => {
      const found = nearest(picture, part, shownAt(rims, hinge + angle, share))
      expect(found.off).toBeLessThan(near)
      // Where the side turns away a line may be either.
      if (Math.abs(Math.cos(hinge + angle)) > 0.1) expect(found.style === 'hidden').toBe(Math.cos(hinge + angle) < 0)
    }

    test('has both hinge marks on the rims, one above the other', () => {
      expect(distance(foot, shownAt(rims, hinge, 0))).toBeLessThan(near)
      expect(distance(head, shownAt(rims, hinge, 1))).toBeLessThan(near)
      for (const share of [0.2, 0.5, 0.8]) check('hinge', 0, share)
    })

    test('has both edges of the film as far from the hinge as half of each girth less the gap', () => {
      for (const [girth, share] of [
        [bottom, 0],
        [top, 1],
      ] as const) {
        const half = (Math.PI * (girth - gap)) / girth
        check('right edge', half, share)
        check('left edge', -half, share)
      }
    })

    test('has the opening where it was measured from the left edge and the bottom', () => {
      const slant = Number(values.slant ?? values.height)
      const girth = (share: number) => bottom + (top - bottom) * share
      const at = (along: number, up: number) => {
        const share = up / slant
        // The left edge is straight from rim to rim on the flat film, so that the gap there is as good as in between.
        const left = -(Math.PI * (girth(share) - gap)) / girth(share)
        check('opening', left + (2 * Math.PI * along) / girth(share), share)
      }
      at(90, 50)
      at(120, 30)
      at(120, 70)
      at(150, 50)
    })
  },
)

const solids = {
  sharp: {
    length: 300,
    width: 200,
    height: 140,
    radius: 0,
    girth: undefined,
    overlap: undefined,
    middles: 'no',
    lid: 'no',
    base: 'no',
    points: [],
  },
  plan: [point(0, 0), point(300, 0), point(300, 200), point(0, 200)],
}

test.each([
  ['middle of the back', 'all round', point(150, 0), point(150, 200), point(170, 200)],
  ['back left', 'all round', point(300, 0), point(0, 200), point(0, 180)],
  ['middle of the back', 'front right', point(250, 0), point(0, 0), point(20, 0)],
] as const)(
  'the picture of a box with the seam %s and film %s has hinge, edge and opening where they are',
  (seam, cover, hinge, edge, next) => {
    // The opening begins 20 mm to the right of the film's left edge, or left of it on the back, as seen from outside.
    const values = { ...solids.sharp, seam, cover, openings: [rect(40, 30, 20, 50)] }
    const picture = boxSleeve.sketch(values as unknown as AnyValues, say)
    const { at } = drawSolid({ corners: solids.plan, radius: 0, height: 140 }, point(24, 16), point(80, 66))
    const marks = linesOf(picture, 'mark').map(({ path }) => path.start)
    expect(distance(marks[0] ?? point(0, 0), at(hinge, 0))).toBeLessThan(near)
    expect(distance(marks[1] ?? point(0, 0), at(hinge, 140))).toBeLessThan(near)
    expect(nearest(picture, 'left edge', at(edge, 70)).off).toBeLessThan(near)
    const begins = seam === 'middle of the back' && cover === 'all round' ? point(130, 200) : next
    expect(nearest(picture, 'opening', at(begins, 65)).off).toBeLessThan(near)
    expect(nearest(picture, 'opening', at(begins, 90)).off).toBeGreaterThan(1)
  },
)

test('the picture of a prism has its hinge half way round from the seam, and an opening where it is', () => {
  const values = {
    sides: 4,
    side: 60,
    acrossFlats: undefined,
    height: 60,
    radius: 0,
    girth: undefined,
    covered: undefined,
    seam: 'middle of a side',
    overlap: undefined,
    middles: 'no',
    openings: [rect(20, 20, 100, 20)],
    points: [],
  }
  const picture = prismSleeve.sketch(values as unknown as AnyValues, say)
  const plan = [point(-30, -30), point(30, -30), point(30, 30), point(-30, 30)]
  const { at } = drawSolid({ corners: plan, radius: 0, height: 60 }, point(24, 16), point(74, 68))
  expect(distance(linesOf(picture, 'mark')[0]?.path.start ?? point(0, 0), at(point(0, -30), 0))).toBeLessThan(near)
  expect(nearest(picture, 'left edge', at(point(0, 30), 30)).off).toBeLessThan(near)
  // 100 mm round from the middle of the back: 30 mm of back and 60 of the left side, then 10 mm of the front.
  expect(nearest(picture, 'opening', at(point(-20, -30), 30)).off).toBeLessThan(near)
  expect(nearest(picture, 'opening', at(point(0, -30), 30)).off).toBeLessThan(near)
})

const opened = { openings: [rect(30, 20, 40, 35)], points: [] }

test.each([
  ['flat panel', flatPanel, { width: 320, height: 180, radius: square, ...opened }],
  ['oval', oval, { width: 200, height: 120, ...opened }],
  ['disc', disc, { diameter: 168, ...opened }],
  ['ring', ring, { outer: 300, inner: 60, ...opened, openings: [rect(30, 20, 20, 140)] }],
  ['stadium', stadium, { length: 260, width: 120, ...opened }],
  [
    'arch',
    arch,
    { measured: 'inner', chord: 210, rise: 60, radius: undefined, angle: undefined, width: 90, ...opened },
  ],
] as [string, Template, AnyValues][])(
  'the picture of the object and of its panel has hinge and openings in place: %s',
  (_name, template, values) => {
    const panel = panelOf(template.develop(values, thin, say), { ...plainOptions, allowances: { other: 0 } })
    const openedPaths = panel.holes
    const bare = boundsOf([panel.bare])
    const sketch = template.sketch(values, say)
    const drawnPanel = panelPicture(panel, say, 0.5, false)
    const panelHoles = drawnPanel.items.filter((item) => item.kind === 'drawn').filter(({ style }) => style === 'hole')
    const hingeOf = (picture: Picture) =>
      picture.items.filter((item) => item.kind === 'drawn').find(({ style }) => style === 'hinge')?.path ??
      expect.fail('no hinge')
    for (const [picture, holes] of [
      [sketch, linesOf(sketch, 'opening')],
      [drawnPanel, panelHoles],
    ] as const) {
      // The scale from the hinge, which a picture cannot show too long without showing the rest of it wrong too.
      const line = hingeOf(picture)
      const scale = distance(line.start, endOf(line)) / distance(panel.hinge.from, panel.hinge.to)
      const put = (p: Point) =>
        point(line.start.x + (p.x - panel.hinge.from.x) * scale, line.start.y + (p.y - panel.hinge.from.y) * scale)
      const outline = picture.items
        .filter((item) => item.kind === 'drawn')
        .filter(({ style, part }) => (style === 'object' || style === 'bare') && !part)
        .map(({ path }) => path)
      const box = boundsOf(outline.length > 0 ? outline : [polyline([point(0, 0)])])
      expect(distance(box.low, put(bare.low))).toBeLessThan(near)
      expect(distance(box.high, put(bare.high))).toBeLessThan(near)
      expect(holes).toHaveLength(openedPaths.length)
      holes.forEach(({ path }, i) => {
        const [own, wanted] = [boundsOf([path]), boundsOf([openedPaths[i] ?? path])]
        expect(distance(own.low, put(wanted.low))).toBeLessThan(near)
        expect(distance(own.high, put(wanted.high))).toBeLessThan(near)
      })
    }
  },
)

test.each(['half round', 'in line'] as const)(
  'the picture of a turned body has each hinge opposite its seam, seams %s',
  (seams) => {
    const stations = [0, 40, 80, 120].map((height) => ({ girth: 300, height, along: undefined }))
    const values = { stations, cover: 'bands', sides: 'straight', seams, gores: 8, overlap: 6, tip: 4 }
    const picture = turnedBody.sketch(values as unknown as AnyValues, say)
    const developed = turnedBody.develop(values as unknown as AnyValues, thin, say)
    const [hinges, edges] = [linesOf(picture, 'hinge'), linesOf(picture, 'left edge')]
    expect(hinges).toHaveLength(3)
    developed.forEach(({ marks }, i) => {
      const isTurned = marks.some(({ text }) => text.includes('half round from it'))
      expect(hinges[i]?.style).toBe(isTurned ? 'hidden' : 'hinge')
      expect(edges[i]?.style).toBe(isTurned ? 'object' : 'hidden')
    })
  },
)

test.each(['alternate', 'throat', 'heel'] as const)(
  'the picture of an elbow has each hinge on the line that the marks name, seams %s',
  (seams) => {
    const values = {
      girth: undefined,
      diameter: 100,
      angle: Math.PI / 2,
      pieces: 4,
      radius: 150,
      throat: undefined,
      firstEnd: 40,
      lastEnd: 40,
      seams,
      overlap: 6,
      mitreLap: 0,
    }
    const picture = elbow.sketch(values as unknown as AnyValues, say)
    // A piece is as long on the heel as the radius and half the tube tell, on the throat as the radius less that.
    const lengthOf = (onHeel: boolean, i: number) => {
      const isEnd = i === 0 || i === 3
      return (isEnd ? 1 : 2) * (150 + (onHeel ? 50 : -50)) * Math.tan(Math.PI / 12) + (isEnd ? 40 : 0)
    }
    const onHeel = elbow
      .develop(values as unknown as AnyValues, thin, say)
      .map(({ marks }) => marks.some(({ text }) => text.startsWith('Mark the heel line')))
    const drawn = linesOf(picture, 'hinge').map(({ path }) => distance(path.start, endOf(path)))
    const scale = (drawn[0] ?? 0) / lengthOf(onHeel[0] ?? false, 0)
    expect(drawn).toHaveLength(4)
    expect(drawn).toEqual(onHeel.map((own, i) => expect.closeTo(scale * lengthOf(own, i), 6)))
  },
)
