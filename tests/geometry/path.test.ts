import fc from 'fast-check'
import { expect, test } from 'vitest'
import { arcLength, arcPoint, arcRadius, arcSagitta } from '../../src/geometry/arc.ts'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { deviation } from '../../src/geometry/deviation.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { crossings } from '../../src/geometry/intersect.ts'
import { pathLength, pathPart, stationAt } from '../../src/geometry/length.ts'
import { arcTo, circle, cubicTo, lineTo, openPath, polyline, rectangle } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { arcAsCubics, quarterTurn, scaling, transform, translation } from '../../src/geometry/transform.ts'
import { selfCrossing } from '../../src/geometry/valid.ts'
import { anyPath, anyPoint } from './paths.ts'

test('chord 21 and sagitta 6 give radius 12.1875, arc 25.308373 (matheass.eu, Circular Sections)', () => {
  const arc = arcTo(point(21, 0), (118.97953 * Math.PI) / 180)
  expect(arcRadius(point(0, 0), arc)).toBeCloseTo(12.1875, 5)
  expect(arcSagitta(point(0, 0), arc)).toBeCloseTo(6, 5)
  expect(arcLength(point(0, 0), arc)).toBeCloseTo(25.308373, 4)
})

test('a quarter circle as one cubic with k 0.5522847498 drifts out by 2.7253e-4 (Mortensen)', () => {
  const k = 0.5522847498
  const quarter = openPath(point(1, 0), cubicTo(point(1, k), point(k, 1), point(0, 1)))
  const far = flatten(quarter, 1e-7).map((p) => Math.hypot(p.x, p.y) - 1)
  expect(Math.max(...far)).toBeCloseTo(2.7253e-4, 8)
  expect(Math.min(...far)).toBeGreaterThan(-1e-9)
})

test("chords for a circle: 100 mm at 0.05 and 0.025, 40 and 5 at 0.05 need 100, 141, 63 and 23 (sagitta formula, Machinery's Handbook 31 p. 83)", () => {
  // Two half turns are flattened apart, so an odd count is rounded up to even.
  const even = (n: number) => 2 * Math.ceil(n / 2)
  const exact = (r: number, e: number) => Math.PI / Math.acos(1 - e / r)
  for (const [r, e] of [
    [100, 0.05],
    [100, 0.025],
    [40, 0.05],
    [5, 0.05],
    [1000, 0.05],
  ] as const) {
    expect(flatten(circle(point(0, 0), r), e)).toHaveLength(even(exact(r, e)))
  }
})

test("the cubic (0,0) (0,100) (100,100) (100,0) at 0.1 mm needs fewer chords than Wang's bound of 33 (Goldman 2003)", () => {
  const curve = openPath(point(0, 0), cubicTo(point(0, 100), point(100, 100), point(100, 0)))
  expect(flatten(curve, 0.1).length - 1).toBeLessThan(33)
})

test('flattening holds its tolerance for any path, from a thousandth of a mm to a mm', () => {
  fc.assert(
    fc.property(anyPath, fc.constantFrom(0.001, 0.02, 0.3, 1), (path, tolerance) => {
      const chords = polyline(flatten(path, tolerance))
      // The measure itself works on chords within 0.001 mm.
      expect(deviation(chords, path).distance).toBeLessThanOrEqual(tolerance + 0.0011)
    }),
    { numRuns: 150 },
  )
})

test.each([0, -0.1, Number.NaN])('a flattening tolerance of %d mm is refused', (tolerance) => {
  expect(() => flatten(circle(point(0, 0), 10), tolerance)).toThrow(
    new RangeError(`a flattening tolerance of ${tolerance} mm; it must be above 0`),
  )
})

test('a cubic that stands still, or turns back on itself, is flattened all the same', () => {
  const still = openPath(point(3, 4), cubicTo(point(3, 4), point(3, 4), point(3, 4)))
  expect(flatten(still, 0.01)).toHaveLength(2)
  // Out to 0.75 of its handle and back: the turn must be reached.
  const back = openPath(point(0, 0), cubicTo(point(100, 0), point(100, 0), point(0, 0)))
  const far = flatten(back, 0.01)
  expect(Math.max(...far.map((p) => p.x))).toBeGreaterThan(75 - 0.011)
  expect(far.length).toBeLessThan(2000)
})

test('a near-straight arc keeps its sagitta: girths 700 and 700.001 over 200 mm give 4.375003e-4 mm', () => {
  const sweep = 0.001 / 200
  expect(arcSagitta(point(-350, 0), arcTo(point(350, 0), sweep))).toBeCloseTo(4.375003e-4, 9)
})

test('length from the start to any length is that length', () => {
  fc.assert(
    fc.property(anyPath, fc.double({ min: 0.05, max: 0.95, noNaN: true }), (path, share) => {
      const whole = pathLength(path)
      fc.pre(whole > 1)
      const part = pathPart(path, 0, share * whole)
      expect(pathLength(part)).toBeCloseTo(share * whole, 5)
      const end = part.segments.at(-1)?.to ?? part.start
      expect(distance(end, stationAt(path, share * whole).at)).toBeLessThan(1e-5)
    }),
    { numRuns: 100 },
  )
})

test('bounds hold the curve and touch it, not its control points', () => {
  const curve = openPath(point(0, 0), cubicTo(point(0, 100), point(100, 100), point(100, 0)))
  expect(boundsOf([curve]).high.y).toBeCloseTo(75, 12)
  fc.assert(
    fc.property(anyPath, (path) => {
      const box = boundsOf([path])
      const points = flatten(path, 0.01)
      for (const p of points) {
        expect(p.x).toBeGreaterThanOrEqual(box.low.x - 1e-9)
        expect(p.x).toBeLessThanOrEqual(box.high.x + 1e-9)
      }
      expect(Math.max(...points.map((p) => p.y))).toBeGreaterThan(box.high.y - 0.02)
    }),
    { numRuns: 100 },
  )
})

test('area is exact: circle, rounded rectangle 100 x 60 with r 5, and a cubic lobe', () => {
  expect(signedArea(circle(point(3, 4), 10))).toBeCloseTo(Math.PI * 100, 10)
  // Steiner: A + P r + pi r^2 with a core of 90 x 50
  const rounded = rectangle(point(0, 0), point(100, 60), [5, 5, 5, 5])
  expect(signedArea(rounded)).toBeCloseTo(90 * 50 + 280 * 5 + Math.PI * 25, 9)
  const lobe = {
    start: point(0, 0),
    segments: [cubicTo(point(0, 100), point(100, 100), point(100, 0)), lineTo(point(0, 0))],
    closed: true,
  }
  // integral by the trapezoid rule on a fine polygon
  const ring = flatten(lobe, 1e-6)
  const shoelace = ring.reduce((sum, p, i) => {
    const q = ring[(i + 1) % ring.length] as typeof p
    return sum + (p.x * q.y - q.x * p.y) / 2
  }, 0)
  expect(signedArea(lobe)).toBeCloseTo(shoelace, 3)
})

test('a length past the place where a cubic doubles back is found to the last bit', () => {
  const back = openPath(point(0, 0), cubicTo(point(2.993823371599209, 0), point(0, 0), point(0, 0)))
  // x = 3 t (1 - t)^2 c1 is at its most, 4/9 c1, at t = 1/3
  const most = (4 / 9) * 2.993823371599209
  expect(pathLength(back)).toBeCloseTo(2 * most, 11)
  expect(stationAt(back, most).at.x).toBeCloseTo(most, 10)
})

test('a line meets a path where both are', () => {
  fc.assert(
    fc.property(anyPath, anyPoint, fc.double({ min: 0, max: 6.28, noNaN: true }), (path, through, angle) => {
      const way = point(Math.cos(angle), Math.sin(angle))
      for (const c of crossings(path, through, way)) {
        expect(Math.abs((c.at.x - through.x) * way.y - (c.at.y - through.y) * way.x)).toBeLessThan(1e-6)
        expect(distance(stationAt(path, Math.min(c.length, pathLength(path))).at, c.at)).toBeLessThan(1e-5)
      }
    }),
    { numRuns: 100 },
  )
  expect(crossings(circle(point(0, 0), 5), point(0, 3), point(1, 0)).map((c) => c.at.x)).toEqual([
    expect.closeTo(-4, 9),
    expect.closeTo(4, 9),
  ])
})

test('moving, turning and mirroring keep length and arcs; stretching turns arcs to cubics within 4e-7 of the radius', () => {
  fc.assert(
    fc.property(anyPath, (path) => {
      const moved = transform(transform(path, quarterTurn), translation(7, -3))
      expect(pathLength(moved)).toBeCloseTo(pathLength(path), 6)
      expect(moved.segments.map((s) => s.kind)).toEqual(path.segments.map((s) => s.kind))
    }),
    { numRuns: 50 },
  )
  const arc = arcTo(point(-100, 0), Math.PI)
  let worst = 0
  let from = point(100, 0)
  for (const cubic of arcAsCubics(from, arc)) {
    for (const p of flatten(openPath(from, cubic), 1e-6)) worst = Math.max(worst, Math.abs(Math.hypot(p.x, p.y) - 100))
    from = cubic.to
  }
  expect(worst).toBeLessThan(4e-5)
  const oval = transform(circle(point(0, 0), 1), scaling(2, 1))
  // ellipse 2,1: 9.68844822 (published perimeter, HP-42S ellipse text)
  expect(pathLength(oval)).toBeCloseTo(9.68844822, 5)
})

test('arcs run on past their ends on the same circle', () => {
  const arc = arcTo(point(0, 10), Math.PI / 2)
  expect(distance(arcPoint(point(10, 0), arc, 2), point(-10, 0))).toBeLessThan(1e-12)
})

test('a figure of eight crosses itself, a rounded rectangle does not', () => {
  const eight = polyline([point(0, 0), point(10, 10), point(10, 0), point(0, 10)], true)
  expect(selfCrossing(eight)).toBeDefined()
  expect(selfCrossing(rectangle(point(0, 0), point(100, 60), [5, 0, 30, 10]))).toBeUndefined()
})
