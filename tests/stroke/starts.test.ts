import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { deviation } from '../../src/geometry/deviation.ts'
import { pathLength } from '../../src/geometry/length.ts'
import {
  arcTo,
  circle,
  closedPath,
  cubicTo,
  endOf,
  lineTo,
  type Path,
  polyline,
  rectangle,
} from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { begunAt, cornersOf, goodStarts, startAwayFrom } from '../../src/stroke/starts.ts'
import { anyPoint } from '../geometry/paths.ts'

const lid = rectangle(point(0, 0), point(100, 60))
const at = (path: Path, avoid: readonly Point[], near: Point) => startAwayFrom(path, avoid, near).start

/** A lid with a straight, an arc and a cubic edge. */
const mixed = closedPath(point(0, 0), [
  lineTo(point(80, 0)),
  arcTo(point(80, 50), 2),
  lineTo(point(40, 60)),
  cubicTo(point(20, 90), point(-30, 70), point(0, 0)),
])

function near(p: Point, x: number, y: number): void {
  expect(distance(p, point(x, y))).toBeLessThan(1e-6)
}

test('a rectangle begins at the middle of the side that is nearest', () => {
  near(at(lid, [], point(50, -10)), 50, 0)
  near(at(lid, [], point(300, 30)), 100, 30)
  near(at(lid, [], point(40, 70)), 50, 60)
  near(at(lid, [], point(-1, 29)), 0, 30)
})

test('a tick in the middle of a side parts it: the start is in the middle of a half', () => {
  near(at(lid, [point(50, 0)], point(40, -10)), 25, 0)
  near(at(lid, [point(50, 0)], point(60, -10)), 75, 0)
  // 0.8 mm beside the edge, as a cut in the waste begins.
  near(at(lid, [point(50, -0.8)], point(40, -10)), 25, 0)
  // 4 mm off it is no longer about this edge.
  near(at(lid, [point(50, -4)], point(40, -10)), 50, 0)
})

test('a start keeps off an avoided place on an arc and on a cubic', () => {
  // The half circle round (0, 0) to the left of (0, 20), and the same as it stands in cubics.
  const arc = closedPath(point(0, 20), [arcTo(point(0, -20), Math.PI), lineTo(point(0, 20))])
  near(at(arc, [point(-20, 0)], point(-30, 30)), -20 * Math.SQRT1_2, 20 * Math.SQRT1_2)
  const k = (4 / 3) * Math.tan(Math.PI / 8) * 20
  const cubics = closedPath(point(0, 20), [
    cubicTo(point(-k, 20), point(-20, k), point(-20, 0)),
    cubicTo(point(-20, -k), point(-k, -20), point(0, -20)),
    lineTo(point(0, 20)),
  ])
  const p = at(cubics, [point(-20, 0)], point(-30, 30))
  // Four cubics stand for a circle to 0.03 %.
  expect(distance(p, point(-20 * Math.SQRT1_2, 20 * Math.SQRT1_2))).toBeLessThan(0.02)
})

test('a circle may begin all round, but not by what it shall avoid', () => {
  const rim = circle(point(0, 0), 30)
  expect(goodStarts(rim, [])).toHaveLength(8)
  for (const angle of [0, 1, 2, 3, 4, 5, 6]) {
    const place = point(30 * Math.cos(angle), 30 * Math.sin(angle))
    // Eight places leave none farther off than a sixteenth of the way round.
    expect(distance(at(rim, [], place), place)).toBeLessThan((2 * Math.PI * 30) / 16 + 1e-6)
    expect(distance(at(rim, [place], place), place)).toBeGreaterThan(9.5)
  }
})

test('straights are taken before tight bends, and a tight ring still begins somewhere', () => {
  const slot = rectangle(point(0, 0), point(60, 8), [4, 4, 4, 4])
  for (const p of [point(-5, 4), point(65, 4), point(30, 20)]) {
    const { x, y } = at(slot, [], p)
    expect(x).toBeCloseTo(30, 6)
    expect(Math.min(Math.abs(y), Math.abs(y - 8))).toBeLessThan(1e-9)
  }
  const hole = circle(point(0, 0), 2)
  expect(distance(at(hole, [], point(9, 0)), point(0, 0))).toBeCloseTo(2, 9)
})

test('where no edge is long enough the start is as far from corners as it goes', () => {
  const small = rectangle(point(0, 0), point(5, 3))
  near(at(small, [], point(-9, 1)), 2.5, 0)
  near(at(small, [], point(2, 9)), 2.5, 3)
})

test('10 mm of room goes before nearness, then 3 mm', () => {
  // The short sides give 6 mm of room, the long ones 50.
  near(at(rectangle(point(0, 0), point(100, 12)), [], point(-9, 5)), 50, 0)
  // 2.5 mm on the short sides, 4 on the long ones.
  near(at(rectangle(point(0, 0), point(8, 5)), [], point(-9, 1)), 4, 0)
})

test('a tick parts a cubic edge by length, not by its parameter', () => {
  // Straight, but uneven: at half its parameter it is 23.75 mm along.
  const uneven = closedPath(point(0, 0), [
    cubicTo(point(10, 0), point(20, 0), point(100, 0)),
    lineTo(point(100, 60)),
    lineTo(point(0, 60)),
  ])
  near(at(uneven, [point(50, 0)], point(20, -10)), 25, 0)
  near(at(uneven, [point(50, 0)], point(80, -10)), 75, 0)
})

test('corners are turns of more than 10 degrees; joints that run on are none', () => {
  expect(cornersOf(lid)).toEqual([100, 160, 260, 320])
  expect(cornersOf(rectangle(point(0, 0), point(100, 60), [20, 20, 20, 20]))).toEqual([])
  expect(cornersOf(circle(point(0, 0), 3))).toEqual([])
  expect(cornersOf(polyline([point(0, 0), point(10, 0), point(10, 10)]))).toEqual([10])
  // 36 corners of 10 degrees less a hair, then 35 of more.
  const ring = (n: number) =>
    polyline(
      Array.from({ length: n }, (_, i) => point(Math.cos((2 * Math.PI * i) / n), Math.sin((2 * Math.PI * i) / n))),
      true,
    )
  expect(cornersOf(ring(37))).toHaveLength(0)
  expect(cornersOf(ring(35))).toHaveLength(35)
})

test('open paths and closed ones without length stay as they are', () => {
  const open = polyline([point(0, 0), point(30, 0)])
  expect(startAwayFrom(open, [], point(15, 0))).toBe(open)
  const dot: Path = { start: point(1, 2), segments: [], closed: true }
  expect(startAwayFrom(dot, [], point(0, 0))).toBe(dot)
})

const shape: fc.Arbitrary<Path> = fc.oneof(
  fc.constantFrom(lid, mixed, circle(point(5, 5), 12), rectangle(point(0, 0), point(90, 50), [0, 5, 20, 25])),
  fc.array(anyPoint, { minLength: 3, maxLength: 9 }).map((points) => polyline(points, true)),
)

test('a path begun anew is the same line: its length, its area and every place of it', () => {
  fc.assert(
    fc.property(shape, fc.double({ min: 0, max: 1, noNaN: true }), (path, part) => {
      const whole = pathLength(path)
      const made = begunAt(path, part * whole)
      expect(made.closed).toBe(true)
      expect(endOf(made)).toEqual(made.start)
      expect(made.segments.length - path.segments.length).toBeGreaterThanOrEqual(0)
      expect(made.segments.length - path.segments.length).toBeLessThanOrEqual(1)
      expect(pathLength(made)).toBeCloseTo(whole, 6)
      // By Green's theorem, so a change of form anywhere shows.
      expect(Math.abs(signedArea(made) - signedArea(path))).toBeLessThan(1e-6 * (1 + whole * whole))
      expect(deviation(made, path).distance).toBeLessThan(0.0025)
    }),
  )
})

test('begun at a corner nothing is split, and begun anew there the first path comes back', () => {
  const other = begunAt(mixed, 80)
  expect(other.segments).toHaveLength(4)
  expect(begunAt(other, pathLength(mixed) - 80)).toEqual(mixed)
  expect(begunAt(mixed, 40).segments).toHaveLength(5)
  expect(begunAt(mixed, 40).start).toEqual(point(40, 0))
})

test('more than 3 mm from every corner and avoided place where an edge has room, whatever the polygon', () => {
  let tested = 0
  fc.assert(
    fc.property(
      fc.array(anyPoint, { minLength: 3, maxLength: 8 }),
      fc.array(fc.tuple(fc.nat(7), fc.double({ min: 0, max: 1, noNaN: true })), { maxLength: 4 }),
      anyPoint,
      (points, ticks, from) => {
        const edges = points.map((p, i) => [p, points[(i + 1) % points.length] ?? p] as const)
        const avoid = ticks.flatMap(([i, t]) => {
          const [a, b] = edges[i % edges.length] ?? []
          return a && b ? [point(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t)] : []
        })
        // An edge with k ticks keeps a free part of a (k + 1)th of it: more than 6 mm is room enough.
        if (!edges.some(([a, b]) => distance(a, b) > 6.01 * (avoid.length + 1))) return
        tested++
        const path = polyline(points, true)
        const { start, segments } = startAwayFrom(path, avoid, from)
        // Its own edge: the straight piece that it lies on, from corner to corner.
        const [next, last] = [segments[0]?.to ?? start, segments.at(-2)?.to ?? start]
        for (const place of [next, last]) expect(distance(start, place)).toBeGreaterThan(3 - 1e-6)
        for (const tick of avoid) {
          const onOwn = Math.abs(distance(next, tick) + distance(tick, last) - distance(next, last)) < 1e-9
          if (onOwn) expect(distance(start, tick)).toBeGreaterThan(3 - 1e-6)
        }
      },
    ),
  )
  expect(tested).toBeGreaterThan(50)
})

test('arcs of one circle are one stretch, and arcs of two meet where nothing begins', () => {
  // The same circle in three uneven arcs may begin at the eight places of a whole one.
  const on = (degrees: number) =>
    point(30 * Math.cos((degrees * Math.PI) / 180), 30 * Math.sin((degrees * Math.PI) / 180))
  const arc = (to: number, by: number) => arcTo(on(to), (by * Math.PI) / 180)
  expect(goodStarts(closedPath(on(0), [arc(50, 50), arc(170, 120), arc(360, 190)]), [])).toHaveLength(8)
  // An egg by the compass, smooth all round: radius 30 mm about 0,0 above, 60 mm about 30,0 and -30,0 at the sides, and
  // the rest, 60 - 30 sqrt 2 = 17.6 mm, about 0,-30 below.
  const egg = closedPath(point(30, 0), [
    arcTo(point(-30, 0), Math.PI),
    arcTo(point(30 - 60 * Math.SQRT1_2, -60 * Math.SQRT1_2), Math.PI / 4),
    arcTo(point(-30 + 60 * Math.SQRT1_2, -60 * Math.SQRT1_2), Math.PI / 2),
    arcTo(point(30, 0), Math.PI / 4),
  ])
  const side = (60 * Math.PI) / 4
  const tip = ((60 - 30 * Math.SQRT2) * Math.PI) / 2
  const [top, left, below, right] = [30 * Math.PI, side, tip, side]
  const wanted = [top / 2, top + left / 2, top + left + below / 2, top + left + below + right / 2]
  expect(pathLength(egg)).toBeCloseTo(top + left + below + right, 6)
  const found = goodStarts(egg, [])
  expect(found).toHaveLength(4)
  for (const [i, length] of wanted.entries()) expect(found[i]).toBeCloseTo(length, 6)
})

test('a path without length begins where it is, and an open one where it begins', () => {
  expect(goodStarts(closedPath(point(3, 4), []), [])).toEqual([0])
  expect(goodStarts(closedPath(point(3, 4), [lineTo(point(3, 4))]), [])).toEqual([0])
  expect(goodStarts(polyline([point(0, 0), point(90, 0), point(90, 90)]), [])).toEqual([0])
})
