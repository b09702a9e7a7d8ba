import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { fittedCurve } from '../../src/geometry/fit.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { closedPath, endOf, lineTo, type Path } from '../../src/geometry/path.ts'
import { type Point, point } from '../../src/geometry/point.ts'

/** The edge of a tube of radius 1 mitred at `degrees`, once round. */
function sineEdge(degrees: number): Path {
  const rise = Math.tan((degrees * Math.PI) / 180)
  return fittedCurve(
    (u) => point(u, rise * Math.cos(u)),
    (u) => point(1, -rise * Math.sin(u)),
    0,
    2 * Math.PI,
  )
}

/** mm from `p` to the curve, by cutting the range about the nearest of 400 places down to nothing. */
function distanceTo(curve: (t: number) => Point, from: number, to: number, p: Point): number {
  const away = (t: number) => Math.hypot(curve(t).x - p.x, curve(t).y - p.y)
  const step = (to - from) / 400
  let best = from
  for (let i = 0; i <= 400; i++) if (away(from + i * step) < away(best)) best = from + i * step
  let low = Math.max(from, best - step)
  let high = Math.min(to, best + step)
  for (let i = 0; i < 70; i++) {
    const a = low + (high - low) * 0.382
    const b = low + (high - low) * 0.618
    if (away(a) < away(b)) high = b
    else low = a
  }
  return away((low + high) / 2)
}

/** Places on the path's cubics by their Bernstein form, `count` a piece. */
function placesOn(path: Path, count: number): Point[] {
  const found: Point[] = []
  let from = path.start
  for (const s of path.segments) {
    if (s.kind !== 'cubic') return expect.fail(`a ${s.kind} in a fitted curve`)
    for (let i = 0; i < count; i++) {
      const t = (i + 0.5) / count
      const mix = (a: number, b: number, c: number, d: number) =>
        (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t ** 3 * d
      found.push(point(mix(from.x, s.c1.x, s.c2.x, s.to.x), mix(from.y, s.c1.y, s.c2.y, s.to.y)))
    }
    from = s.to
  }
  return found
}

test('a tube of radius 1 cut at 60 degrees has an edge of 9.68844822055, the perimeter of the ellipse (2, 1)', () => {
  // HP-42S ellipse perimeter text; the rest by the same elliptic integral
  expect(pathLength(sineEdge(60))).toBeCloseTo(9.68844822055, 6)
  expect(pathLength(sineEdge(45))).toBeCloseTo(7.640396, 5)
  expect(pathLength(sineEdge(22.5))).toBeCloseTo(6.544589, 5)
})

test('the area under a mitred edge is 2 pi r times its mean height, whatever the angle', () => {
  const edge = sineEdge(60)
  const down = closedPath(edge.start, [
    ...edge.segments,
    lineTo(point(2 * Math.PI, -10)),
    lineTo(point(0, -10)),
    lineTo(edge.start),
  ])
  expect(-signedArea(down)).toBeCloseTo(20 * Math.PI, 6)
})

test('a quarter circle keeps its radius of 100 mm within the tolerance, and the ends are exact', () => {
  const at = (t: number) => point(100 * Math.cos(t), 100 * Math.sin(t))
  const rate = (t: number) => point(-100 * Math.sin(t), 100 * Math.cos(t))
  for (const tolerance of [1e-2, 1e-5, 1e-7]) {
    const arc = fittedCurve(at, rate, 0.1, 0.1 + Math.PI / 2, tolerance)
    expect(arc.start).toEqual(at(0.1))
    expect(endOf(arc)).toEqual(at(0.1 + Math.PI / 2))
    const off = placesOn(arc, 20).map((p) => Math.abs(Math.hypot(p.x, p.y) - 100))
    expect(off.length).toBeGreaterThanOrEqual(20)
    expect(Math.max(...off)).toBeLessThanOrEqual(tolerance)
  }
})

test('a straight line is one piece, whichever way it is run', () => {
  const line = fittedCurve(
    (t) => point(3 * t, 4 * t),
    () => point(3, 4),
    100,
    0,
  )
  expect(line.segments).toHaveLength(1)
  expect(line.start).toEqual(point(300, 400))
  expect(pathLength(line)).toBeCloseTo(500, 9)
})

test('any wave is held within the tolerance', () => {
  const size = fc.double({ min: -20, max: 20, noNaN: true })
  const waves = fc.array(fc.record({ x: size, y: size, beat: fc.integer({ min: 1, max: 9 }) }), {
    minLength: 1,
    maxLength: 4,
  })
  fc.assert(
    fc.property(waves, fc.constantFrom(1e-2, 1e-4, 1e-6), (sum, tolerance) => {
      const at = (t: number) =>
        sum.reduce(
          (p, w) => point(p.x + w.x * Math.sin(w.beat * t), p.y + w.y * Math.cos(w.beat * t)),
          point(60 * t, 0),
        )
      const rate = (t: number) =>
        sum.reduce(
          (p, w) => point(p.x + w.beat * w.x * Math.cos(w.beat * t), p.y - w.beat * w.y * Math.sin(w.beat * t)),
          point(60, 0),
        )
      const fitted = fittedCurve(at, rate, 0, 3, tolerance)
      const places = placesOn(fitted, 5)
      const every = Math.ceil(places.length / 60)
      for (let i = 0; i < places.length; i += every) {
        expect(distanceTo(at, 0, 3, places[i] as Point)).toBeLessThanOrEqual(tolerance * 1.001 + 1e-9)
      }
    }),
    { numRuns: 30 },
  )
})

test('a wave that is 0 at every eighth of its range is not taken for a line', () => {
  const at = (t: number) => point(t, Math.sin(8 * Math.PI * t) ** 3)
  const rate = (t: number) => point(1, 24 * Math.PI * Math.sin(8 * Math.PI * t) ** 2 * Math.cos(8 * Math.PI * t))
  const tops = placesOn(fittedCurve(at, rate, 0, 1, 1e-4), 20).map((p) => p.y)
  expect(Math.max(...tops)).toBeGreaterThan(0.999)
})

test('what is no curve is refused', () => {
  const flat = () => point(1, 0)
  const jump = (t: number) => point(t, t < 1 / 3 ? 0 : 5)
  expect(() => fittedCurve((t) => point(t, 1 / t), flat, 0, 1)).toThrow(/not finite at t = 0/)
  expect(() => fittedCurve((t) => point(t, t === 0.25 ? Number.NaN : 0), flat, 0, 1)).toThrow(RangeError)
  expect(() => fittedCurve(jump, flat, 0, 1)).toThrow(/does not settle within 1e-7 mm near t = 0.333/)
  expect(() => fittedCurve((t) => point(t, Math.sin(1e7 * t)), flat, 0, 1)).toThrow(/does not settle/)
  expect(() => fittedCurve(jump, flat, 1, 1)).toThrow(/from t = 1 to t = 1/)
  expect(() => fittedCurve(jump, flat, 0, 1, 0)).toThrow(/tolerance of 0 mm/)
})
