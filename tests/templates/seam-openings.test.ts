import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { polyline } from '../../src/geometry/path.ts'
import { add, direction, type Point, point, scaled } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import { makePanel } from '../../src/panel/make-panel.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { onObject, onPanel } from '../../src/panel/surface.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { surfaceOf } from '../panel/simple.ts'
import { any as boxSleeve } from './any/box-sleeve.ts'
import { any as prismSleeve } from './any/prism-sleeve.ts'
import { any as slantedStraightBand } from './any/slanted-straight-band.ts'
import { any as slantedTaperedBand } from './any/slanted-tapered-band.ts'
import { type Measured, mm, panelOf, plainOptions, say, squareBands, thin } from './measures.ts'

const closed: Readonly<Record<string, fc.Arbitrary<Measured>>> = {
  'straight bands': squareBands['straight bands'],
  'tapered bands': squareBands['tapered bands'],
  'straight bands with slanted rims': slantedStraightBand,
  'tapered bands with slanted rims': slantedTaperedBand,
  'box sleeves': boxSleeve,
  'prism sleeves': prismSleeve,
}

const unit = mm(0, 1)
const opened = fc.record({
  shape: fc.constantFrom('round', 'rectangular'),
  width: mm(12, 60),
  height: mm(8, 26),
  /** of the opening's left side, from the seam, as a share of its width: from wholly left of it to wholly under the lap */
  left: mm(-1.2, 0.5),
  turns: fc.constantFrom(-2, -1, 0, 1, 3),
  places: fc.array(fc.tuple(unit, unit), { minLength: 24, maxLength: 24 }),
})

const bareOf = (template: Measured['template'], values: Measured['values']) => {
  const [first] = template.develop({ ...values, lid: 'no', base: 'no' }, thin, say)
  return first ?? expect.fail('no panel')
}
const edge = ({ edges }: Development, name: string) =>
  edges.find((own) => own.name === name)?.path ?? expect.fail(`no ${name} edge`)

/** Whether film lies at a place of a panel, told by lines flattened within 0.002 mm. */
function filmOf({ outline, holes }: Pick<Panel, 'outline' | 'holes'>): (p: Point) => boolean {
  const [edge, ...inner] = [outline, ...holes].map((path) => polyline(flatten(path, 0.002), true))
  return (p) => edge !== undefined && pointInside(edge, p) && !inner.some((hole) => pointInside(hole, p))
}

/** A place and four about it, farther off than flattening can move a line. */
const near = (p: Point) => [p, ...[0, 1, 2, 3].map((i) => add(p, scaled(direction((i * Math.PI) / 2), 0.01)))]

describe.each(Object.entries(closed))('%s that close', (name, measured) => {
  test('leave an opening anywhere about the seam free, under either layer of the lap, and cover the rest', () => {
    let wraps = 0
    let twice = 0
    fc.assert(
      fc.property(measured, opened, (own, { shape, width, height, left, turns, places }) => {
        const { template } = own
        const plain = bareOf(template, own.values)
        if (!plain.edges.some(({ lap = 0, name: side }) => side === 'right' && lap > 0)) return
        wraps += 1
        const surface = surfaceOf(plain)
        const cone = surface.taper !== 0
        // A prism's film is as long as its way round, a band's mid-line is the mean of its girths.
        const girth = name.includes('sleeves')
          ? pathLength(edge(plain, 'bottom'))
          : template.id === 'tapered-band'
            ? (Number(own.values.bottomGirth) + Number(own.values.topGirth)) / 2
            : Number(own.values.girth ?? Number(own.values.diameter) * Math.PI)
        const long = edge(plain, 'left')
        const up = pathLength(long) / 2 - height / 2
        const size = { width, height: shape === 'round' ? width : height }
        const fromBottom = shape === 'round' ? up + height / 2 - width / 2 : up
        // On a cone a turn has another length at each level, so only what lies within one turn is told exactly here.
        const fromLeft = left * width + (cone ? 0 : turns * girth)
        const form = shape === 'round' ? { diameter: width } : size
        const opening = { shape, ...form, radius: 0, fromLeft, fromBottom }
        const values = { ...own.values, openings: [opening], points: [], lid: 'no', base: 'no' }
        expect(template.check(values)).toEqual([])
        const [laid = expect.fail('no panel')] = template.develop(values, thin, say)
        const options = { ...plainOptions, allowances: { other: 1 } }
        const made = makePanel(laid, options, say)
        if (!('panel' in made)) {
          // Film of less than 2 mm between the opening and an end is refused.
          expect(made.problems.map(({ code }) => code)).toEqual([expect.stringMatching(/near_edge|touches/)])
          return
        }
        const { panel } = made
        const [hole = expect.fail('no opening')] = laid.holes
        // Where the film lies over a place of the object: once round is `girth` along the mid-line.
        const layers = (p: Point) => {
          const { round, up: level } = onObject(surface, p)
          return [-2, -1, 0, 1, 2]
            .map((k) => round + k * girth)
            .filter((at) => Math.abs(surface.taper * at) < Math.PI && Math.abs(at) < girth)
            .map((at) => onPanel(surface, at, level))
        }
        const isOpen = filmOf({ outline: hole.path, holes: [] })
        const box = boundsOf([hole.path])
        const inHole = places
          .map(([x, y]) => point(box.low.x + x * (box.high.x - box.low.x), box.low.y + y * (box.high.y - box.low.y)))
          .filter((p) => near(p).every(isOpen))
        const isFilm = filmOf(panel)
        let covered = 0
        for (const p of inHole) covered += layers(p).filter(isFilm).length
        expect(covered).toBe(0)
        // All else that was covered before is covered still.
        const bare = panelOf([plain], options)
        const wasFilm = filmOf(bare)
        const all = boundsOf([bare.outline])
        for (const [x, y] of places) {
          const p = point(all.low.x + x * (all.high.x - all.low.x), all.low.y + y * (all.high.y - all.low.y))
          if (!near(p).every(wasFilm) || layers(p).flatMap(near).some(isOpen)) continue
          expect(isFilm(p)).toBe(true)
        }
        if (panel.openings.length > 1) twice += 1
      }),
      { numRuns: 60, endOnFailure: true },
    )
    expect(wraps).toBeGreaterThan(8)
    expect(twice).toBeGreaterThan(3)
  })
})

/** Cones whose film lies from half way to nearly all the way round flat, radians, with an opening by shares of its width. */
const flatCones = fc.record({
  turn: mm(2.6, 6.2),
  slant: mm(60, 200),
  more: mm(60, 500),
  isWider: fc.boolean(),
  overlap: fc.constantFrom(0, 6),
  width: mm(12, 60),
  height: mm(8, 26),
  /** how far round its middle is, as shares of the girth half way up */
  middle: fc.oneof(mm(-0.08, 0.12), mm(0, 1)),
  places: fc.array(fc.tuple(unit, unit), { minLength: 60, maxLength: 60 }),
})

test('cones whose film lies nearly all round flat have an opening where it is and nowhere else', () => {
  let cut = 0
  fc.assert(
    fc.property(flatCones, ({ turn, slant, more, isWider, overlap, width, height, middle, places }) => {
      const [small, large] = [more, more + turn * slant]
      const mid = (small + large) / 2
      const opening = { shape: 'rectangular', diameter: undefined, width, height, radius: 0 }
      const values = {
        bottomGirth: isWider ? small : large,
        topGirth: isWider ? large : small,
        bottomDiameter: undefined,
        topDiameter: undefined,
        height: undefined,
        bottomGap: undefined,
        topGap: undefined,
        gap: undefined,
        slant,
        overlap,
        openings: [{ ...opening, fromLeft: middle * mid - width / 2, fromBottom: slant / 2 - height / 2 }],
        points: [],
      } as unknown as Measured['values']
      const [laid = expect.fail('no panel')] = taperedBand.develop(values, thin, say)
      const made = makePanel(laid, { ...plainOptions, allowances: { other: 0 } }, say)
      if (!('panel' in made)) {
        expect(made.problems.map(({ code }) => code)).toEqual([
          expect.stringMatching(/near_edge|touches|lap|swallow|splits|off_panel/),
        ])
        return
      }
      cut += 1
      const surface = surfaceOf(laid)
      const isFilm = filmOf(made.panel)
      const { low, high } = boundsOf([laid.holes[0]?.path ?? expect.fail('no opening')])
      const own = onObject(surface, scaled(add(low, high), 0.5))
      const apex = 1 / surface.taper
      // mm into the opening, from a place of the object: unrolled about the opening's own middle
      const into = (round: number, up: number) => {
        const away = round - own.round
        const angle = surface.taper * (away - mid * Math.round(away / mid))
        const [aside, above] = [(apex + up) * Math.sin(angle), (apex + up) * Math.cos(angle) - (apex + own.up)]
        return Math.min(width / 2 - Math.abs(aside), height / 2 - Math.abs(above))
      }
      for (const [x, y] of places) {
        const near = y < 0.5
        const round = near ? own.round + (x - 0.5) * 2 * width : (x - 0.5) * mid
        const up = near ? own.up + (4 * y - 1) * height : (2 * y - 1.5) * slant * 0.98
        const inside = into(round, up)
        if (Math.abs(inside) < 0.02 || Math.abs(up) > 0.49 * slant) continue
        const main = round - mid * Math.round(round / mid)
        if (Math.abs(main) > 0.499 * mid) continue
        expect(isFilm(onPanel(surface, main, up))).toBe(inside < 0)
      }
    }),
    { numRuns: 400, endOnFailure: true },
  )
  expect(cut).toBeGreaterThan(100)
})

test('a boss 60 mm wide over the seam of a tin is cut half from each end, under the lap too', () => {
  const [template, values] = bandOf({
    shape: 'rectangular',
    diameter: undefined,
    width: 60,
    height: 40,
    radius: 0,
    fromLeft: -30,
    fromBottom: 25,
  })
  const panel = panelOf(template.develop(values, thin, say))
  const isFilm = filmOf(panel)
  // The girth is 534 mm, the lap 6 mm: 30 mm at the left end, 36 mm at the right.
  for (const [p, film] of [
    [point(-267 + 29.9, -2.4), false],
    [point(-267 + 30.1, -2.4), true],
    [point(267 - 30.1, -2.4), true],
    [point(267 - 29.9, -2.4), false],
    [point(267 + 5.9, -2.4), false],
    [point(267 + 5.9, 18), true],
    [point(-267 + 0.1, 18), true],
  ] as const) {
    expect(isFilm(p)).toBe(film)
  }
  expect(panel.openings).toHaveLength(2)
  expect(panel.labels.filter(({ text }) => text === 'OVERLAP').every(({ at }) => isFilm(at))).toBe(true)
})

test('an opening over the seam is cut from both ends where its lines end a last bit off their corners', () => {
  const opening = { shape: 'rectangular', diameter: undefined, width: 74.815, height: 12.254, radius: 0 }
  const [template, values] = bandOf({ ...opening, fromLeft: 282.49, fromBottom: 96.474 })
  const panel = panelOf(template.develop({ ...values, girth: 300, height: 180, overlap: 0 }, thin, say))
  const isFilm = filmOf(panel)
  for (const [x, film] of [
    [-149.9, false],
    [-150 + 57.3, false],
    [-150 + 57.4, true],
    [132.4, true],
    [132.5, false],
    [149.9, false],
  ] as const) {
    expect(isFilm(point(x, 12))).toBe(film)
  }
})

test('an opening under a wide lap is a hole in both layers, and a place to find again stands on both', () => {
  const [template, values] = bandOf({
    shape: 'round',
    diameter: 12,
    width: undefined,
    height: undefined,
    radius: 0,
    fromLeft: 6,
    fromBottom: 30,
  })
  const panel = panelOf(
    template.develop({ ...values, overlap: 30, points: [{ fromLeft: 14, fromBottom: 70 }] }, thin, say),
  )
  expect(panel.holes.map((hole) => scaled(point(boundsOf([hole]).low.x + boundsOf([hole]).high.x, 0), 0.5).x)).toEqual([
    expect.closeTo(-267 + 12, 9),
    expect.closeTo(267 + 12, 9),
  ])
  expect(panel.points).toEqual([point(expect.closeTo(-253, 9), 22.5), point(expect.closeTo(281, 9), 22.5)])
})

function bandOf(opening: object): [Measured['template'], Measured['values']] {
  const values = {
    girth: 534,
    diameter: undefined,
    height: 95,
    gap: undefined,
    span: undefined,
    overlap: 6,
    points: [],
  }
  return [straightBand, { ...values, openings: [opening] } as Measured['values']]
}
