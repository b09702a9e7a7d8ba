import fc from 'fast-check'
import { expect, test } from 'vitest'
import { flatten } from '../../src/geometry/flatten.ts'
import { circle } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { tipWay } from '../../src/stroke/tip.ts'

interface Towed {
  readonly heading: number
  /** the most that the blade ever stood against its travel, rad */
  readonly against: number
  /** every place the point comes by */
  readonly tips: readonly Point[]
}

/** The towed point by Runge-Kutta steps of fourth order in heading: dq/ds = sin(y - q) / L, chord by chord. */
function towed(drive: readonly Point[], heading: number, offset: number, stepsPerOffset = 200): Towed {
  let q = heading
  let against = 0
  const tips: Point[] = []
  const tip = (p: Point) => tips.push(point(p.x - offset * Math.cos(q), p.y - offset * Math.sin(q)))
  tip(drive[0] as Point)
  for (let i = 1; i < drive.length; i++) {
    const [a, b] = [drive[i - 1] as Point, drive[i] as Point]
    const length = distance(a, b)
    const y = Math.atan2(b.y - a.y, b.x - a.x)
    const count = Math.max(1, Math.ceil((length / offset) * stepsPerOffset))
    const h = length / count
    against = Math.max(against, Math.acos(Math.cos(y - q)))
    const rate = (own: number) => Math.sin(y - own) / offset
    for (let k = 1; k <= count; k++) {
      const k1 = rate(q)
      const k2 = rate(q + (h / 2) * k1)
      const k3 = rate(q + (h / 2) * k2)
      const k4 = rate(q + h * k3)
      q += (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4)
      tip(point(a.x + ((b.x - a.x) * k) / count, a.y + ((b.y - a.y) * k) / count))
    }
  }
  return { heading: q, against, tips }
}

const degrees = (angle: number) => (angle * 180) / Math.PI
const radians = (angle: number) => (angle * Math.PI) / 180
const toLine = (p: Point, line: readonly Point[]) =>
  Math.min(
    ...line.slice(1).map((b, i) => {
      const a = line[i] as Point
      const [dx, dy] = [b.x - a.x, b.y - a.y]
      const square = dx * dx + dy * dy
      const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square))
      return Math.hypot(a.x + t * dx - p.x, a.y + t * dy - p.y)
    }),
  )
const lengthOf = (line: readonly Point[]) => line.slice(1).reduce((sum, p, i) => sum + distance(line[i] as Point, p), 0)

test.each([
  // Settling lengths of a blade at a0 degrees until a1, in offsets: tan(a / 2) = tan(a0 / 2) exp(-s / L)
  [90, 5, 3.131301],
  [90, 1, 4.741349],
  [45, 1, 3.859975],
  [30, 1, 3.424391],
  [170, 1, 7.177595],
  [90, 5.700471, 3],
])('a blade at %d degrees to its travel is at %d after %d offsets', (a0, a1, offsets) => {
  for (const offset of [0.25, 1.5]) {
    for (const side of [1, -1]) {
      const drive = [point(0, 0), point(offsets * offset, 0)]
      expect(degrees(tipWay(drive, side * radians(a0), offset, 0.01).heading)).toBeCloseTo(side * a1, 5)
    }
  }
})

test.each([
  // Way of the tip meanwhile, L ln(sin a0 / sin a1)
  [3.131301, 2.440059],
  [4.741349, 4.048278],
])('from 90 degrees the tip goes %d offsets of the axis in %d of its own', (axis, tip) => {
  const way = tipWay([point(0, 0), point(axis, 0)], Math.PI / 2, 1, 1e-6)
  expect(lengthOf(way.points)).toBeCloseTo(tip, 4)
})

test('the axis on a circle of radius 5 leaves a cut of radius sqrt(5^2 - L^2), whatever the start', () => {
  for (const [offset, pivot, cut] of [
    [0.25, 5, 4.993746],
    [0.25, 2, 1.984313],
    [0.25, 1, 0.968246],
    [0.5, 2, 1.936492],
  ] as const) {
    const round = flatten(circle(point(0, 0), pivot), 1e-7)
    const way = tipWay([...round, ...round, round[0] as Point], 0.3, offset, 1e-6)
    const last = way.points.slice(-Math.floor(way.points.length / 4))
    expect(last.length).toBeGreaterThan(100)
    for (const p of last) expect(Math.hypot(p.x, p.y)).toBeCloseTo(cut, 5)
  }
})

test('a right corner driven without an allowance is missed by 0.662743 offsets', () => {
  // Derived from the tractrix: least distance of (s - tanh s, sech s) from the corner
  for (const offset of [0.25, 1]) {
    const way = tipWay([point(-20, 0), point(0, 0), point(0, 20)], 0, offset, 1e-6)
    expect(toLine(point(0, 0), way.points) / offset).toBeCloseTo(0.662743, 5)
  }
})

test('the tip of a blade that starts across lies on the tractrix x = L (u - tanh u), y = L sech u', () => {
  const way = tipWay([point(0, 0), point(4, 0)], -Math.PI / 2, 0.5, 1e-4)
  expect(way.points.length).toBeGreaterThan(10)
  for (const { x, y } of way.points) {
    const u = Math.acosh(0.5 / y)
    expect(x).toBeCloseTo(0.5 * (u - Math.tanh(u)), 9)
  }
})

test('pushed straight back, the blade goes back on its own cut', () => {
  const way = tipWay([point(0, 0), point(3, 0), point(1, 0)], 0, 0.5, 0.01)
  expect(degrees(way.heading)).toBeCloseTo(0, 6)
  expect(distance(way.points.at(-1) as Point, point(0.5, 0))).toBeLessThan(1e-9)
})

test('with no offset the tip is the axis', () => {
  const drive = [point(0, 0), point(3, 0), point(3, 0), point(3, 4)]
  const way = tipWay(drive, 2, 0, 0.01)
  expect(lengthOf(way.points)).toBe(7)
  expect(way.points[0]).toEqual(drive[0])
  expect(way.points.at(-1)).toEqual(drive[3])
  expect(way.heading).toBeCloseTo(Math.PI / 2, 12)
  const single = tipWay([point(1, 2)], 0, 0.5, 0.01)
  expect(single).toEqual({ points: [point(0.5, 2)], heading: 0 })
})

test('on any drive it agrees with the integrated equation, between its points as well', () => {
  const coordinate = fc.double({ min: -6, max: 6, noNaN: true })
  const place = fc.record({ x: coordinate, y: coordinate })
  const drive = fc.array(place, { minLength: 2, maxLength: 8 })
  const heading = fc.double({ min: -3.1, max: 3.1, noNaN: true })
  const tolerance = fc.constantFrom(0.02, 0.002)
  let seen = 0
  fc.assert(
    fc.property(drive, heading, fc.constantFrom(0.25, 0.5, 1, 1.5), tolerance, (points, q, offset, near) => {
      // A blade that stands nearly against its travel turns either way for next to nothing: nothing to compare.
      const turns = towed(points, q, offset)
      fc.pre(turns.against < 3)
      const way = tipWay(points, q, offset, near)
      expect(distance(way.points.at(-1) as Point, turns.tips.at(-1) as Point)).toBeLessThan(1e-5)
      expect(Math.cos(way.heading - turns.heading)).toBeCloseTo(1, 9)
      for (let i = 0; i < turns.tips.length; i += 7) {
        expect(toLine(turns.tips[i] as Point, way.points)).toBeLessThan(near + 1e-4)
      }
      for (const p of way.points) expect(toLine(p, turns.tips)).toBeLessThan(1e-4)
      seen++
    }),
    { numRuns: 60 },
  )
  expect(seen).toBeGreaterThan(40)
})

test('a long drive takes few points where the blade has settled', () => {
  const way = tipWay([point(0, 0), point(1000, 0), point(1000, 1000)], 0, 0.5, 0.002)
  expect(way.points.length).toBeLessThan(40)
})

test('what cannot be towed is refused', () => {
  expect(() => tipWay([], 0, 0.5, 0.01)).toThrow(/without a point/)
  expect(() => tipWay([point(0, 0)], 0, -1, 0.01)).toThrow(/offset of -1 mm/)
  expect(() => tipWay([point(0, 0)], 0, Number.NaN, 0.01)).toThrow(/offset of NaN mm/)
  expect(() => tipWay([point(0, 0)], 0, 0.5, 0)).toThrow(/tolerance of 0 mm/)
})
