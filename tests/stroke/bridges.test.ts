import fc from 'fast-check'
import { expect, test } from 'vitest'
import { flatten } from '../../src/geometry/flatten.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { circle, endOf, lineTo, openPath, type Path, polyline, rectangle } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { bridged } from '../../src/stroke/bridges.ts'
import { anyPath, anyPoint } from '../geometry/paths.ts'

const sum = (paths: readonly Path[]) => paths.reduce((all, path) => all + pathLength(path), 0)

/** Ends of neighbouring stretches: where a bridge begins and where it ends; for a closed path first the last to the first. */
function gaps(paths: readonly Path[], closed: boolean): [Point, Point][] {
  return paths.flatMap((path, i): [Point, Point][] => {
    const before = i > 0 ? paths[i - 1] : closed ? paths.at(-1) : undefined
    return before ? [[endOf(before), path.start]] : []
  })
}

const lid = rectangle(point(0, 0), point(100, 100))

test('a square of 100 mm with bridges every 100 mm has one on each side, clear of corners', () => {
  const made = bridged(lid, { spacing: 100, width: 2 })
  expect(made).toHaveLength(4)
  expect(sum(made)).toBeCloseTo(392, 9)
  for (const [a, b] of gaps(made, true)) {
    expect(distance(a, b)).toBeCloseTo(2, 9)
    // On one side, and neither end nearer than 5 mm to the corners: one coordinate is on the edge, the other inside.
    for (const p of [a, b]) {
      const inside = [p.x, p.y].filter((v) => v > 5 - 1e-9 && v < 95 + 1e-9)
      expect(inside).toHaveLength(1)
    }
  }
})

test('a loop gets three at least, evenly spread', () => {
  const rim = circle(point(0, 0), 50)
  const made = bridged(rim, { spacing: 5000, width: 1 })
  expect(made).toHaveLength(3)
  // Nothing is in the way but the start, so each third is cut but for its bridge.
  for (const path of made) expect(pathLength(path)).toBeCloseTo((100 * Math.PI) / 3 - 1, 6)
  for (const [a, b] of gaps(made, true)) {
    expect(distance(a, point(50, 0))).toBeGreaterThan(4.9)
    expect(distance(b, point(50, 0))).toBeGreaterThan(4.9)
  }
})

test('the first stretch leads through the start, and the others follow in order', () => {
  const made = bridged(lid, { spacing: 80, width: 2 })
  expect(made).toHaveLength(5)
  expect(made[0]?.segments.map(({ to }) => to)).toContainEqual(point(0, 0))
  const begins = made.map(({ start: { x, y } }) => (y === 0 ? x : x === 100 ? 100 + y : y === 100 ? 300 - x : 400 - y))
  expect(begins.slice(1)).toEqual([...begins.slice(1)].sort((a, b) => a - b))
  expect(begins[0]).toBeGreaterThan(begins.at(-1) ?? Infinity)
})

test('an open cut is left out at even places, and ends uncut nowhere', () => {
  const cut = openPath(point(0, 0), lineTo(point(100, 0)))
  const made = bridged(cut, { spacing: 50, width: 4 })
  // Middles at 25 and 75 mm.
  expect(made.map(({ start, segments }) => [start.x, segments.at(-1)?.to.x])).toEqual([
    [0, 23],
    [27, 73],
    [77, 100],
  ])
  expect(bridged(openPath(point(0, 0), lineTo(point(8, 0))), { spacing: 50, width: 1 })).toHaveLength(1)
})

test('a loop too short for three gets fewer, and one too short for any is cut whole', () => {
  // 12 mm round: bridges of 2.5 mm with as much cut between them go into it twice.
  const small = rectangle(point(0, 0), point(3, 3))
  expect(bridged(small, { spacing: 50, width: 2.5 })).toHaveLength(2)
  expect(sum(bridged(small, { spacing: 50, width: 2.5 }))).toBeCloseTo(7, 9)
  expect(bridged(small, { spacing: 50, width: 7 })).toEqual([small])
})

const shape: fc.Arbitrary<Path> = fc.oneof(
  anyPath,
  fc.array(anyPoint, { minLength: 3, maxLength: 12 }).map((points) => polyline(points, true)),
  fc.tuple(anyPoint, fc.integer({ min: 1, max: 200 })).map(([p, r]) => circle(p, r)),
)

test('what is cut and what is left add up, every bridge has its width, and every stretch lies on the path', () => {
  fc.assert(
    fc.property(shape, fc.integer({ min: 20, max: 400 }), fc.integer({ min: 2, max: 40 }), (path, spacing, tenths) => {
      const width = tenths / 10
      const whole = pathLength(path)
      const made = bridged(path, { spacing, width })
      const left = path.closed ? (made[0]?.closed ? 0 : made.length) : made.length - 1
      expect(Math.abs(sum(made) + left * width - whole)).toBeLessThan(1e-6)
      if (path.closed && whole > 6 * width) expect(left).toBeGreaterThanOrEqual(3)
      if (left > 3) expect(whole / left).toBeGreaterThan(spacing / 1.5)
      if (left > 0) expect(whole / left).toBeLessThan(1.5 * spacing + 1e-6)
      for (const [a, b] of gaps(made, path.closed && left > 0)) expect(distance(a, b)).toBeLessThan(width + 1e-6)
      for (const stretch of made) {
        expect(pathLength(stretch)).toBeGreaterThan(width * (path.closed ? 1 : 0.5) - 1e-6)
        if (left > 0) expect(stretch.closed).toBe(false)
      }
      const line = flatten(path, 0.001)
      const round = path.closed ? [...line, path.start] : line
      const off = (p: Point) => Math.min(...round.slice(1).map((b, i) => toChord(p, round[i] ?? b, b)))
      for (const stretch of made) {
        for (const p of [stretch.start, endOf(stretch)]) expect(off(p)).toBeLessThan(0.0015)
      }
    }),
    { numRuns: 60 },
  )
})

function toChord(p: Point, a: Point, b: Point): number {
  const square = (b.x - a.x) ** 2 + (b.y - a.y) ** 2
  const along = square === 0 ? 0 : ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / square
  const t = Math.max(0, Math.min(1, along))
  return Math.hypot(a.x + t * (b.x - a.x) - p.x, a.y + t * (b.y - a.y) - p.y)
}

/** Turn of a polygon at its i-th point, rad. */
function turnAt(points: readonly Point[], i: number): number {
  const [a, b, c] = [-1, 0, 1].map((k) => points[(i + k + points.length) % points.length] ?? points[0]) as Point[]
  if (!a || !b || !c) return 0
  const turn = Math.atan2(c.y - b.y, c.x - b.x) - Math.atan2(b.y - a.y, b.x - a.x)
  return Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn)))
}

/** Polygons with long sides, and corners that turn by more than 10 degrees. */
const roomy = fc
  .tuple(fc.array(fc.integer({ min: 150, max: 300 }), { minLength: 3, maxLength: 9 }), fc.integer({ min: 2, max: 30 }))
  .map(([radii, tenths]) => ({
    points: radii.map((r, i) => {
      const angle = (2 * Math.PI * i) / radii.length
      return point(r * Math.cos(angle), r * Math.sin(angle))
    }),
    width: tenths / 10,
  }))
  .filter(({ points }) => points.every((_, i) => turnAt(points, i) > 0.18))

test('no bridge is within 5 mm of a corner or the start where the sides are long, and none strays', () => {
  fc.assert(
    fc.property(roomy, fc.integer({ min: 25, max: 500 }), ({ points, width }, spacing) => {
      const made = bridged(polyline(points, true), { spacing, width })
      expect(made.length).toBeGreaterThanOrEqual(3)
      const pitch = pathLength(polyline(points, true)) / made.length
      for (const [a, b] of gaps(made, true)) {
        // Straight across: the bridge lies on one side. Its ends are 5 mm or more from each corner, the start among them.
        expect(distance(a, b)).toBeCloseTo(width, 6)
        for (const corner of points) {
          expect(Math.min(distance(a, corner), distance(b, corner))).toBeGreaterThan(5 - 1e-6)
        }
      }
      // Each moves by half the kept room at most, so two differ from even by no more than the whole.
      for (const path of made) expect(Math.abs(pathLength(path) + width - pitch)).toBeLessThan(10 + width + 1e-6)
    }),
  )
})

test('bridges leave sides that are too short for them alone where long ones hold them all', () => {
  // Sides of 10 mm have no place 6 mm from both ends; every 25 mm round 40 x 10 mm there is one on a long side.
  for (const [w, h] of [
    [40, 10],
    [10, 40],
    [65, 10],
  ] as const) {
    const made = bridged(rectangle(point(0, 0), point(w, h)), { spacing: 25, width: 2 })
    const [long, along] = w > h ? [w, 'x' as const] : [h, 'y' as const]
    expect(made).toHaveLength(Math.round((2 * (w + h)) / 25))
    for (const p of gaps(made, true).flat()) {
      expect(p[along]).toBeGreaterThan(5 - 1e-9)
      expect(p[along]).toBeLessThan(long - 5 + 1e-9)
    }
  }
})

test('where all room is in one place bridges do not crowd there: as much is cut between two as one is wide', () => {
  // A comb of 40 teeth 3 mm wide and 4 mm high under one long edge: only that edge has room.
  const teeth = Array.from({ length: 40 }, (_, i) => [
    point(i * 6, 0),
    point(i * 6, -4),
    point(i * 6 + 3, -4),
    point(i * 6 + 3, 0),
  ]).flat()
  const comb = polyline([...teeth, point(240, 0), point(240, 9), point(0, 9)], true)
  for (const [spacing, width] of [
    [40, 8],
    [20, 4],
    [12, 5],
  ] as const) {
    const made = bridged(comb, { spacing, width })
    expect(made.length).toBeGreaterThan(10)
    for (const path of made) expect(pathLength(path)).toBeGreaterThan(width - 1e-6)
  }
})

test('where corners are everywhere bridges come between them', () => {
  // A saw of 4 mm teeth: the best place is 2 mm from two corners.
  const teeth = Array.from({ length: 60 }, (_, i) => point(i * 4, i % 2 === 0 ? 0 : 0.8))
  const made = bridged(polyline([...teeth, point(240, -2), point(0, -2)], true), { spacing: 40, width: 0.5 })
  const corners = teeth
  for (const [a, b] of gaps(made, true)) {
    if (a.y < 0 || b.y < 0) continue
    for (const corner of corners) expect(Math.min(distance(a, corner), distance(b, corner))).toBeGreaterThan(1.5)
  }
})

test('widths and spacings that make no sense are refused by their values', () => {
  expect(() => bridged(lid, { spacing: 50, width: 0 })).toThrow('a bridge 0 mm wide; it must be above 0 mm')
  expect(() => bridged(lid, { spacing: 2, width: 2 })).toThrow('more than their width of 2 mm')
  expect(() => bridged(lid, { spacing: Number.NaN, width: 2 })).toThrow('every NaN mm')
})
