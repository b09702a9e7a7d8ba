import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { cutOut } from '../../src/geometry/cut-out.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import {
  arcTo,
  circle,
  closedPath,
  cubicTo,
  lineTo,
  type Path,
  pieces,
  rectangle,
  reversed,
} from '../../src/geometry/path.ts'
import { add, distance, type Point, point, scaled, subtract } from '../../src/geometry/point.ts'
import { difference, intersection, ringsArea, ringsOf, union } from '../../src/geometry/polygon.ts'
import { transform, translation, turning } from '../../src/geometry/transform.ts'
import { selfCrossing } from '../../src/geometry/valid.ts'

const square = rectangle(point(0, 0), point(100, 100))
const box = (x0: number, y0: number, x1: number, y1: number, r = 0) =>
  rectangle(point(x0, y0), point(x1, y1), [r, r, r, r])

/** The outline left, which must be one closed simple counter-clockwise line. */
function left(outline: Path, ...openings: readonly Path[]): { outline: Path; holes: readonly Path[]; area: number } {
  const result = cutOut(outline, openings)
  if ('problem' in result) throw new Error(JSON.stringify(result))
  expect(result.outline.closed).toBe(true)
  expect(result.outline.segments.at(-1)?.to).toEqual(result.outline.start)
  expect(selfCrossing(result.outline)).toBeUndefined()
  for (const path of [result.outline, ...result.holes]) expect(signedArea(path)).toBeGreaterThan(0)
  const holes = result.holes.reduce((sum, hole) => sum + signedArea(hole), 0)
  return { ...result, area: signedArea(result.outline) - holes }
}

test('a quarter circle out of a corner leaves a^2 - pi r^2 / 4, and the bite is an arc', () => {
  const bitten = left(square, circle(point(100, 100), 30))
  expect(Math.abs(bitten.area - (10000 - (Math.PI * 900) / 4))).toBeLessThan(1e-9)
  expect(bitten.holes).toEqual([])
  const arcs = [...pieces(bitten.outline)].filter(({ segment }) => segment.kind === 'arc')
  const turn = arcs.reduce((sum, { segment }) => sum + (segment.kind === 'arc' ? segment.sweep : 0), 0)
  expect(turn).toBeCloseTo(-Math.PI / 2, 12)
  expect(bitten.outline.segments.some(({ to }) => distance(to, point(70, 100)) < 1e-9)).toBe(true)
})

test('a half round out of an edge leaves a^2 - pi r^2 / 2, whichever way the opening runs', () => {
  for (const opening of [circle(point(50, 0), 20), reversed(circle(point(50, 0), 20))]) {
    expect(Math.abs(left(square, opening).area - (10000 - Math.PI * 200))).toBeLessThan(1e-9)
  }
})

test('an opening inside is a hole as it was given', () => {
  const hole = box(20, 30, 60, 70, 5)
  expect(cutOut(square, [hole])).toEqual({ outline: square, holes: [hole] })
})

test('a rounded rectangle over an arc edge: chord 21, sagitta 6, segment area 89.254148 (help.matheass.eu, Circular Sections)', () => {
  // a plate 60 x 40 whose top bulges over the middle 21 mm by a sagitta of 6; r = 12.1875
  const turn = 4 * Math.atan(6 / 10.5)
  const plate: Path = closedPath(point(0, 0), [
    lineTo(point(60, 0)),
    lineTo(point(60, 40)),
    lineTo(point(40.5, 40)),
    arcTo(point(19.5, 40), turn),
    lineTo(point(0, 40)),
    lineTo(point(0, 0)),
  ])
  const all = left(plate, box(10, 30, 50, 60, 3))
  // The bulge goes whole, with 40 x 10 below it; two of the roundings (1 - pi / 4) r^2 stay.
  const corners = 2 * (1 - Math.PI / 4) * 9
  expect(all.area).toBeCloseTo(2400 - 400 + corners, 9)
  expect(signedArea(plate) - all.area + corners).toBeCloseTo(400 + 89.254148, 6)
  // Cut level at the chord by an opening only as wide as the middle half of it, corners inside the plate.
  const narrow = left(plate, box(25, 38, 35, 60, 1))
  const r = 12.1875
  // under the bulge: y = 40 - (r - 6) + sqrt(r^2 - x^2), x from -5 to 5
  const under = 5 * Math.sqrt(r * r - 25) + r * r * Math.asin(5 / r) - 10 * (r - 6)
  expect(signedArea(plate) - narrow.area).toBeCloseTo(20 + under - 2 * (1 - Math.PI / 4), 9)
})

test('a bite out of a cubic edge is as large as the polygon library finds it', () => {
  const hill = closedPath(point(0, 0), [cubicTo(point(130, 30), point(70, 160), point(0, 100)), lineTo(point(0, 0))])
  const opening = box(40, 40, 90, 75, 8)
  const bitten = left(hill, opening)
  const expected = ringsArea(difference(ringsOf([hill], 1e-5), ringsOf([opening], 1e-5)))
  expect(Math.abs(bitten.area - expected)).toBeLessThan(1e-6 * expected)
  expect(bitten.outline.segments.filter(({ kind }) => kind === 'cubic')).toHaveLength(2)
})

test('overlapping openings count as one', () => {
  // two discs of radius 10, 10 apart, inside: lens = r^2 (2 pi / 3 - sqrt(3) / 2)
  const pair = left(square, circle(point(45, 50), 10), circle(point(55, 50), 10))
  expect(pair.holes).toHaveLength(1)
  const both = 2 * Math.PI * 100 - 100 * ((2 * Math.PI) / 3 - Math.sqrt(3) / 2)
  expect(pair.area).toBeCloseTo(10000 - both, 9)
  // one inside over one across the edge, and a third that joins them to a fourth
  const joined = left(square, box(-5, 40, 20, 60), box(40, 40, 60, 60), box(70, 45, 80, 55), box(15, 48, 75, 52))
  expect(joined.holes).toEqual([])
  expect(joined.area).toBeCloseTo(10000 - 400 - 20 * 4 - 400 - 10 * 4 - 100, 9)
  // one within the other, and two that lie against each other along an edge
  expect(left(square, box(20, 20, 60, 60), box(30, 30, 40, 40)).area).toBeCloseTo(8400, 9)
  expect(left(square, box(20, 20, 40, 40), box(40, 20, 60, 40)).holes).toHaveLength(1)
})

test('an opening flush with the edge is bitten out of it', () => {
  expect(left(square, box(40, 0, 60, 20)).area).toBeCloseTo(9600, 9)
  expect(left(square, box(80, 80, 100, 100)).area).toBeCloseTo(9600, 9)
  expect(left(square, box(0, 50, 100, 100)).area).toBeCloseTo(5000, 9)
  // its rounded corners leave the edge tangentially: what stays beside them are two thin horns
  const horned = left(square, box(40, -1, 60, 20, 1))
  expect(horned.area).toBeCloseTo(10000 - 400 + 2 * (1 - Math.PI / 4), 6)
})

test('two bites at the same height, one at each end, are both taken out', () => {
  // Corners whose heights a sum of the edge's start and its length misses by the last bit.
  const [low, high] = [12.617999999999991, 67.39699999999999]
  const film = rectangle(point(-350, -91), point(350, 91))
  const left = cutOut(film, [
    rectangle(point(-384, low), point(-315, high)),
    rectangle(point(316, low), point(385, high)),
  ])
  if (!('outline' in left)) expect.fail(left.problem)
  expect(signedArea(left.outline)).toBeCloseTo(700 * 182 - (35 + 34) * (high - low), 6)
})

test('what cannot be taken out says why, and which opening it is', () => {
  const inside = circle(point(20, 20), 5)
  const cases: readonly (readonly [readonly Path[], object])[] = [
    [[inside, box(40, -10, 60, 110)], { problem: 'splits', opening: 1 }],
    [[box(50, -10, 60, 60), inside, box(45, 50, 55, 110)], { problem: 'splits', opening: 0, other: 2 }],
    [[inside, box(-10, -10, 110, 110)], { problem: 'swallows', opening: 0, other: 1 }],
    [[box(-10, -10, 110, 110)], { problem: 'swallows', opening: 0 }],
    [[square], { problem: 'swallows', opening: 0 }],
    [[inside, circle(point(200, 50), 20)], { problem: 'outside', opening: 1 }],
    [[circle(point(50, 10), 10)], { problem: 'touches', opening: 0 }],
    [[circle(point(50, -10), 10)], { problem: 'touches', opening: 0 }],
    [[box(100, 20, 130, 40)], { problem: 'touches', opening: 0 }],
    [[circle(point(40, 50), 10), circle(point(60, 50), 10)], { problem: 'touches', opening: 0, other: 1 }],
    // four bars round an island
    [
      [box(20, 20, 80, 30), box(20, 70, 80, 80), box(20, 25, 30, 75), box(70, 25, 80, 75)],
      { problem: 'splits', opening: 0, other: 1 },
    ],
  ]
  for (const [openings, problem] of cases) expect(cutOut(square, openings)).toEqual(problem)
  // the island is cut away by a fifth opening
  const filled = [
    box(20, 20, 80, 30),
    box(20, 70, 80, 80),
    box(20, 25, 30, 75),
    box(70, 25, 80, 75),
    box(28, 28, 72, 72),
  ]
  expect(left(square, ...filled).area).toBeCloseTo(10000 - 3600, 9)
  // bars that go round the outline take nothing from it
  const round = [box(-30, -30, 130, -20), box(-30, 120, 130, 130), box(-30, -25, -20, 125), box(120, -25, 130, 125)]
  expect(cutOut(square, round)).toMatchObject({ problem: 'outside' })
})

test('inside and outside are told apart close by a curve', () => {
  const disc = circle(point(0, 0), 10)
  for (const angle of [0, 0.3, 1.5, Math.PI / 2, 2.5, 3.3, 4.7, 6]) {
    const out = point(Math.cos(angle), Math.sin(angle))
    expect(pointInside(disc, scaled(out, 10 - 1e-9))).toBe(true)
    expect(pointInside(disc, scaled(out, 10 + 1e-9))).toBe(false)
  }
})

/** Evenly spread over the range, unlike doubles drawn by their bits. */
const number = (min: number, max: number) =>
  fc.integer({ min: 0, max: 1e6 }).map((share) => min + ((max - min) * share) / 1e6)

/** A closed smooth line of cubics through points round the origin. */
function blob(radii: readonly number[]): Path {
  const n = radii.length
  const at = (i: number): Point => {
    const angle = (2 * Math.PI * i) / n
    return scaled(point(Math.cos(angle), Math.sin(angle)), radii[(i + n) % n] as number)
  }
  const slope = (i: number) => scaled(subtract(at(i + 1), at(i - 1)), 1 / 6)
  const segments = radii.map((_, i) =>
    cubicTo(add(at(i), slope(i)), subtract(at(i + 1), slope(i + 1)), i === n - 1 ? at(0) : at(i + 1)),
  )
  return { start: at(0), segments, closed: true }
}

function sector(inner: number, width: number, angle: number): Path {
  const outer = inner + width
  const at = (r: number, a: number) => point(r * Math.cos(a), r * Math.sin(a))
  return closedPath(at(inner, -angle / 2), [
    lineTo(at(outer, -angle / 2)),
    arcTo(at(outer, angle / 2), angle),
    lineTo(at(inner, angle / 2)),
    arcTo(at(inner, -angle / 2), -angle),
  ])
}

const anyOutline: fc.Arbitrary<Path> = fc.oneof(
  fc.tuple(number(40, 150), number(40, 150), number(0, 15)).map(([w, h, r]) => box(-w / 2, -h / 2, w / 2, h / 2, r)),
  fc
    .tuple(number(20, 400), number(40, 120), number(0.3, 3))
    .map(([inner, width, angle]) => transform(sector(inner, width, angle), translation(-inner - width / 2, 0))),
  number(30, 90).map((r) => circle(point(0, 0), r)),
  fc.array(number(40, 80), { minLength: 5, maxLength: 9 }).map(blob),
)

const anyOpening: fc.Arbitrary<Path> = fc.oneof(
  fc.tuple(number(-90, 90), number(-90, 90), number(3, 40)).map(([x, y, r]) => circle(point(x, y), r)),
  fc
    .tuple(number(-90, 90), number(-90, 90), number(6, 80), number(6, 80), number(0, 1), number(0, 6.28))
    .map(([x, y, w, h, share, angle]) => {
      const r = (share * Math.min(w, h)) / 2.1
      return transform(box(-w / 2, -h / 2, w / 2, h / 2, r), turning(angle, point(x, y)))
    }),
)

test('what is left and what is cut out make up the outline, as the polygon library counts it', () => {
  const seen = { left: 0, holes: 0, merged: 0, splits: 0, swallows: 0, touches: 0, outside: 0 }
  fc.assert(
    fc.property(anyOutline, fc.array(anyOpening, { minLength: 1, maxLength: 4 }), (outline, openings) => {
      const fine = ringsOf([outline], 1e-5)
      const cut = openings.reduce((rings, opening) => union(rings, ringsOf([opening], 1e-5)), ringsOf([], 1e-5))
      const overlap = ringsArea(intersection(fine, cut))
      const rest = difference(fine, cut).filter((ring) => ringsArea([ring]) > 1e-3)
      const whole = signedArea(outline)
      const result = cutOut(outline, openings)
      if ('problem' in result) {
        seen[result.problem]++
        if (result.problem === 'splits') expect(rest.length).toBeGreaterThan(1)
        if (result.problem === 'swallows') expect(rest).toEqual([])
        if (result.problem === 'outside') {
          const own = ringsOf([openings[result.opening] as Path], 1e-5)
          expect(ringsArea(intersection(fine, own))).toBeLessThan(1e-3)
        }
        expect(result.problem).not.toBe('touches')
        return
      }
      const got = left(outline, ...openings)
      seen.left++
      seen.holes += got.holes.length
      if (ringsArea(cut) < openings.reduce((sum, opening) => sum + signedArea(opening), 0) - 1) seen.merged++
      expect(Math.abs(got.area + overlap - whole)).toBeLessThan(1e-6 * whole)
      expect(rest).toHaveLength(1)
    }),
    { numRuns: 150 },
  )
  for (const kind of ['left', 'holes', 'merged', 'splits', 'outside'] as const) expect(seen[kind]).toBeGreaterThan(0)
}, 60_000)
