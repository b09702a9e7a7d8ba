import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { endOf, type Path, polyline } from '../../src/geometry/path.ts'
import { cross, distance, type Point, point, subtract, unit } from '../../src/geometry/point.ts'
import { type HingeChoice, placeHinge } from '../../src/panel/hinge.ts'
import type { AnyValues, Template } from '../../src/panel/template.ts'
import { panelPicture } from '../../src/picture/panel-picture.ts'
import type { Drawn, Picture, PicturePart } from '../../src/picture/picture.ts'
import { textWidth } from '../../src/picture/text-width.ts'
import { arch } from '../../templates/arch/template.ts'
import { boxSleeve } from '../../templates/box-sleeve/template.ts'
import { disc } from '../../templates/disc/template.ts'
import { dome } from '../../templates/dome/template.ts'
import { elbow } from '../../templates/elbow/template.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { fourSidedPanel } from '../../templates/four-sided-panel/template.ts'
import { lettering } from '../../templates/lettering/template.ts'
import { outlineByOffsets } from '../../templates/outline-by-offsets/template.ts'
import { oval } from '../../templates/oval/template.ts'
import { prismSleeve } from '../../templates/prism-sleeve/template.ts'
import { ring } from '../../templates/ring/template.ts'
import { roundedPolygon } from '../../templates/rounded-polygon/template.ts'
import { drawSolid } from '../../templates/solid-sketch.ts'
import { squareToRound } from '../../templates/square-to-round/template.ts'
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
const station = (along: number, left: number, right: number) => ({ along, left, right, corner: 'no' })

const faces: [string, Template, AnyValues, readonly HingeChoice[]][] = [
  ['flat panel', flatPanel, { width: 320, height: 180, radius: square, ...opened }, ['upright', 'level', 70]],
  [
    'flat panel with a wide rounding',
    flatPanel,
    { width: 320, height: 180, radius: { ...square, topLeft: 80 }, ...opened, openings: [rect(30, 20, 120, 35)] },
    ['upright', 'level', 30],
  ],
  ['oval', oval, { width: 200, height: 120, ...opened }, ['upright', 'level', 70]],
  ['disc', disc, { diameter: 168, ...opened }, ['upright', 'level', 70]],
  ['ring', ring, { outer: 300, inner: 60, ...opened, openings: [rect(30, 20, 20, 140)] }, ['upright', 'level']],
  ['stadium', stadium, { length: 260, width: 120, ...opened }, ['upright', 'level', 70]],
  [
    'arch',
    arch,
    { measured: 'inner', chord: 210, rise: 60, radius: undefined, angle: undefined, width: 90, ...opened },
    ['upright', 70],
  ],
  [
    'arch by its outer radius',
    arch,
    { measured: 'outer', chord: undefined, rise: undefined, radius: 240, angle: 1.4, width: 90, ...opened },
    ['upright', 70],
  ],
  [
    'four-sided panel',
    fourSidedPanel,
    {
      bottom: 300,
      right: 190,
      top: 270,
      left: 170,
      bottomLeftToTopRight: 345,
      bottomRightToTopLeft: undefined,
      ...opened,
    },
    ['upright', 'level', 70],
  ],
  [
    'rounded polygon',
    roundedPolygon,
    { sides: 6, side: 120, acrossFlats: undefined, radius: 15, ...opened, openings: [rect(30, 20, 90, 35)] },
    ['upright', 'level', 40],
  ],
  [
    'outline by offsets',
    outlineByOffsets,
    {
      stations: [station(0, 90, 70), station(80, 110, 60), station(170, 60, 95)],
      edges: 'straight',
      ...opened,
      openings: [rect(30, 20, -40, 60)],
    } as unknown as AnyValues,
    ['upright', 'level', 60],
  ],
]

describe.each(faces)('the picture of the object and of its panel: %s', (_name, template, values, hinges) => {
  test.each([0, 6].flatMap((allowance) => hinges.map((hinge) => [hinge, allowance] as const)))(
    'has hinge and openings in place, hinge %s, allowance %s mm',
    (hinge, allowance) => {
      const [bare = expect.fail('no panel')] = template.develop(values, thin, say)
      const panel = panelOf([bare], { ...plainOptions, allowances: { other: allowance }, hinge })
      const box = boundsOf([panel.bare])
      const sketch = template.sketch(values, say, panel.hinge)
      const drawnPanel = panelPicture(panel, say, 0.5, false)
      const panelHoles = drawnPanel.items
        .filter((item) => item.kind === 'drawn')
        .filter(({ style }) => style === 'hole')
      const hingeOf = (picture: Picture) =>
        picture.items.filter((item) => item.kind === 'drawn').find(({ style }) => style === 'hinge')?.path ??
        expect.fail('no hinge')
      for (const [picture, holes] of [
        [sketch, linesOf(sketch, 'opening')],
        [drawnPanel, panelHoles],
      ] as const) {
        const outline = picture.items
          .filter((item) => item.kind === 'drawn')
          .filter(({ style, part }) => (style === 'object' || style === 'bare') && !part)
          .map(({ path }) => path)
        const shown = boundsOf(outline.length > 0 ? outline : [polyline([point(0, 0)])])
        // The scale from the measured edge, all else by it.
        const scale = (shown.high.x - shown.low.x) / (box.high.x - box.low.x)
        expect((shown.high.y - shown.low.y) / (box.high.y - box.low.y)).toBeCloseTo(scale, 3)
        const put = (p: Point) =>
          point(shown.low.x + (p.x - box.low.x) * scale, shown.low.y + (p.y - box.low.y) * scale)
        const line = hingeOf(picture)
        const [from, to] = [put(panel.hinge.from), put(panel.hinge.to)]
        const way = unit(subtract(to, from))
        for (const end of [line.start, endOf(line)])
          expect(Math.abs(cross(way, subtract(end, from)))).toBeLessThan(near)
        // On the object the hinge ends at its edge, on the film at the film's.
        const past = picture === sketch ? allowance * scale * 1.8 : 0
        expect(Math.abs(distance(line.start, from) - past / 2)).toBeLessThan(near + past / 2)
        expect(Math.abs(distance(endOf(line), to) - past / 2)).toBeLessThan(near + past / 2)
        if (picture === sketch) {
          for (const end of [line.start, endOf(line)]) {
            expect(Math.min(...outline.flatMap(placesOn).map((q) => distance(end, q)))).toBeLessThan(near)
          }
          const marks = linesOf(picture, 'mark').map(({ path }) => path.start)
          expect(marks).toHaveLength(2)
          marks.forEach((mark, i) => {
            expect(distance(mark, i === 0 ? line.start : endOf(line))).toBeLessThan(near)
          })
        }
        expect(holes).toHaveLength(panel.holes.length)
        holes.forEach(({ path }, i) => {
          const [own, wanted] = [boundsOf([path]), boundsOf([panel.holes[i] ?? path])]
          expect(distance(own.low, put(wanted.low))).toBeLessThan(near)
          expect(distance(own.high, put(wanted.high))).toBeLessThan(near)
        })
      }
    },
  )
})

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

const sloped = {
  topRise: undefined,
  topSlant: undefined,
  topHigh: undefined,
  bottomDrop: undefined,
  bottomSlant: undefined,
  bottomLow: undefined,
}

test.each([
  ['upright', undefined],
  ['level', undefined],
  [100, undefined],
  ['upright', 90],
] as const)(
  'the picture of a tin with a slanted rim has hinge, edges and openings where the panel has them, hinge %s, gap %s',
  (hinge, gap) => {
    const rim = { ...sloped, topRise: 60, bottomDrop: 25 }
    const values = { ...round, girth: 534, height: 150, gap, ...rim, openings: [rect(40, 30, 140, 60)] } as AnyValues
    const panel = panelOf(straightBand.develop(values, thin, say), { ...plainOptions, allowances: { other: 0 }, hinge })
    const picture = straightBand.sketch(values, say, panel.hinge)
    const radius = 534 / 2 / Math.PI
    // The side view is the lower of the two drawings; the film's own middle is at its right.
    const sides = picture.items
      .filter((item) => item.kind === 'drawn')
      .filter(({ style, part, path }) => style === 'object' && !part && path.segments.length === 1)
      .map(({ path }) => path)
      .filter((path) => Math.abs(endOf(path).x - path.start.x) < 1e-9)
      .sort((a, b) => Math.min(a.start.y, endOf(a).y) - Math.min(b.start.y, endOf(b).y))
      .slice(0, 2)
      .map(({ start }) => start.x)
    const [left, right] = [Math.min(...sides), Math.max(...sides)]
    const scale = (right - left) / (2 * radius)
    const own = stationAt(panel.bare, 0).at
    const foot = linesOf(picture, 'left edge').reduce((a, b) =>
      b.path.start.y < a.path.start.y || endOf(b.path).y < a.path.start.y ? b : a,
    )
    const lowest = Math.min(foot.path.start.y, endOf(foot.path).y)
    const put = ({ x, y }: Point) =>
      point((left + right) / 2 + radius * scale * Math.cos(x / radius), lowest + (y - own.y) * scale)
    const parts = [
      ['hinge', [panel.hinge.from, panel.hinge.to]],
      ['mark', [panel.hinge.from, panel.hinge.to]],
      ['left edge', [panel.edges[3]?.bare.start, own]],
      ['right edge', [panel.edges[1]?.bare.start, panel.edges[2]?.bare.start]],
      ['opening', panel.holes.flatMap(({ start, segments }) => [start, ...segments.map(({ to }) => to)])],
    ] as const
    for (const [part, places] of parts) {
      expect(places.length).toBeGreaterThan(1)
      for (const p of places) expect(nearest(picture, part, put(p ?? expect.fail('no place'))).off).toBeLessThan(near)
    }
  },
)

test.each([
  ['back', 220, 180, 35, 25],
  ['front', 220, 180, 0, 0],
  ['right', 150, 260, -30, 10],
  ['left', 150, 260, 20, -40],
] as const)(
  'the picture of square to round has its hinge opposite the seam at the %s',
  (seam, length, width, right, back) => {
    const [height, diameter] = [160, 120]
    const shape = { girth: undefined, slant: undefined, panels: 'one', overlap: 0, divisions: 12 }
    const values = { length, width, height, diameter, right, back, seam, ...shape } as unknown as AnyValues
    const picture = squareToRound.sketch(values, say)
    const [hinge = expect.fail('no hinge'), ...others] = linesOf(picture, 'hinge')
    expect(others).toEqual([])
    // The front's lower edge is level and the lowest line of the object; a place y to the back lies 0.45 y aside and 0.32 y up.
    const level = picture.items
      .filter((item) => item.kind === 'drawn')
      .filter(({ style, path }) => style === 'object' && path.segments.length === 1)
      .map(({ path }) => path)
      .reduce((a, b) => (b.start.y + endOf(b).y < a.start.y + endOf(a).y ? b : a))
    const [corner, end] = [level.start, endOf(level)].sort((a, b) => a.x - b.x) as [Point, Point]
    const scale = (end.x - corner.x) / length
    const put = (x: number, y: number, z: number) =>
      point(
        corner.x + scale * (x + length / 2 + 0.45 * (y + width / 2)),
        corner.y + scale * (z + 0.32 * (y + width / 2)),
      )
    const [x, y] = { back: [0, -1], front: [0, 1], right: [-1, 0], left: [1, 0] }[seam] as [number, number]
    expect(distance(hinge.path.start, put((x * length) / 2, (y * width) / 2, 0))).toBeLessThan(near)
    const rim = put(right + (x * diameter) / 2, back + (y * diameter) / 2, height)
    expect(distance(endOf(hinge.path), rim)).toBeLessThan(near)
  },
)

const stations = [0, 40, 80, 120].map((height) => ({ girth: 300, height, along: undefined, bulge: 'no' }))
const bandsOf = { stations, sides: 'straight', seams: 'half round', gores: 8, overlap: 6, tip: 4 }
const ball = {
  girth: undefined,
  radius: 200,
  rim: undefined,
  height: undefined,
  part: 'half',
  from: undefined,
  to: undefined,
  cap: undefined,
  gores: 8,
  zones: 3,
  seams: 'half round',
  overlap: 6,
  tip: 4,
}
const bent = {
  girth: undefined,
  diameter: 100,
  angle: Math.PI / 2,
  pieces: 4,
  radius: 150,
  throat: undefined,
  firstEnd: 40,
  lastEnd: 40,
  seams: 'heel',
  overlap: 6,
  mitreLap: 0,
}
const standing = {
  length: 220,
  width: 180,
  diameter: 120,
  girth: undefined,
  height: 160,
  right: 0,
  back: 0,
  slant: undefined,
  panels: 'one',
  seam: 'back',
  overlap: 0,
  divisions: 12,
}

test.each([
  ['a turned body in bands', turnedBody, { ...bandsOf, cover: 'bands' }],
  ['a turned body in gores', turnedBody, { ...bandsOf, cover: 'gores' }],
  ['a dome in zones', dome, { ...ball, cover: 'zones' }],
  ['a dome in gores', dome, { ...ball, cover: 'equal-arc' }],
  ['an elbow', elbow, bent],
  ['square to round', squareToRound, standing],
] as const)('a hinge asked for elsewhere is not drawn where the shape has its own: %s', (_name, template, measured) => {
  const values = measured as unknown as AnyValues
  const [film = expect.fail('no panel')] = template.develop(values, thin, say)
  const hinges = (choice: HingeChoice) => {
    const placed = placeHinge(film, choice, say)
    if ('problem' in placed) return expect.fail(placed.problem.limit)
    const picture = template.sketch(values, say, placed.line)
    return [...linesOf(picture, 'hinge'), ...linesOf(picture, 'mark')].length
  }
  expect(hinges('upright')).toBeGreaterThan(2)
  expect(hinges('level')).toBe(0)
})

const lettered = {
  text: 'Lid',
  capHeight: 60,
  spacing: 0,
  side: 'outside',
  border: 15,
  borderRadius: 0,
  backing: 'panel',
  backingShape: 'rectangle',
  archRise: undefined,
  backingMargin: 15,
  backingRadius: 0,
  font: 'x.woff',
}

test.each(['line', 'arc'] as const)(
  'a level hinge of lettering on a %s is not drawn upright, nor told as such',
  (on) => {
    const values = { ...lettered, on, radius: on === 'arc' ? 900 : undefined } as unknown as AnyValues
    const shown = (from: Point, to: Point) => {
      const picture = lettering.sketch(values, say, { from, to })
      const said = picture.items.filter((item) => item.kind === 'words').filter(({ text }) => text.startsWith('hinge'))
      return said.length + picture.items.filter((item) => item.kind === 'drawn' && item.style === 'hinge').length
    }
    expect(shown(point(0, -30), point(0, 30))).toBe(3)
    expect(shown(point(-80, 0), point(80, 0))).toBe(0)
  },
)

test.each([undefined, 300])('no words of a slanted rim run off its picture, however long: gap %s', (gap) => {
  const long = (mm: number) => `${(mm + 10000).toFixed(4)} mm`
  const rim = { ...sloped, topRise: 60, topHigh: 100, bottomDrop: 25 }
  const tin = { ...round, girth: 534, height: 150, gap, ...rim, openings: [] } as AnyValues
  const gaps = { bottomGap: gap, topGap: gap }
  const pail = { ...tapered, bottomGirth: 500, topGirth: 560, height: 150, ...gaps, ...rim, openings: [] } as AnyValues
  for (const picture of [straightBand.sketch(tin, long), taperedBand.sketch(pail, long)]) {
    const said = picture.items.filter((item) => item.kind === 'words')
    expect(said.length).toBeGreaterThan(3)
    for (const { at, text, size, anchor, turn } of said) {
      const wide = textWidth(text, size) * Math.abs(Math.cos(turn))
      const left = at.x - wide * { start: 0, middle: 0.5, end: 1 }[anchor]
      expect([text, left > 0 && left + wide < picture.width]).toEqual([text, true])
    }
  }
})
