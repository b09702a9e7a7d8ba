import fc from 'fast-check'
import { expect, test } from 'vitest'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { mostNeighbours, neighbours } from '../../src/stroke/neighbours.ts'
import { anyPoint } from '../geometry/paths.ts'

/** Neighbours of stop `v` with their distances. */
function listed(stops: readonly (readonly Point[])[], v: number): [number, number][] {
  const { near, nearBy } = neighbours(stops)
  const from = v * mostNeighbours
  return [...near.subarray(from, from + mostNeighbours)]
    .map((other, k): [number, number] => [other, nearBy[from + k] ?? Number.NaN])
    .filter(([other]) => other >= 0)
}

const apart = (a: readonly Point[], b: readonly Point[]) => Math.min(...a.flatMap((p) => b.map((q) => distance(p, q))))

test('the nearest stops are among the neighbours, with their distance, and so is the nearest in each quarter', () => {
  fc.assert(
    fc.property(fc.array(anyPoint, { minLength: 2, maxLength: 80 }), (points) => {
      const stops = points.map((p) => [p])
      const own = points[0] ?? expect.fail('no point')
      const found = listed(stops, 0)
      const others = points.slice(1)
      for (const [other, by] of found) expect(by).toBeCloseTo(distance(own, points[other] ?? own), 9)
      const order = others.map((p) => distance(own, p)).sort((a, b) => a - b)
      expect(found.length).toBeGreaterThanOrEqual(Math.min(6, others.length))
      for (const [k, by] of order.slice(0, 6).entries()) expect(found[k]?.[1]).toBeCloseTo(by, 9)
      for (const x of [-1, 1]) {
        for (const y of [-1, 1]) {
          // Strictly inside the quarter, so that its edges do not matter.
          const there = others.filter((p) => (p.x - own.x) * x > 0 && (p.y - own.y) * y > 0)
          const onEdge = others.some((p) => p.x === own.x || p.y === own.y)
          if (there.length === 0 || onEdge) continue
          const nearest = Math.min(...there.map((p) => distance(own, p)))
          expect(found.some(([, by]) => Math.abs(by - nearest) < 1e-9)).toBe(true)
        }
      }
    }),
  )
})

test('a stop in a crowd knows the next crowd', () => {
  const crowd = (x: number) => Array.from({ length: 49 }, (_, i) => [point(x + (i % 7), Math.floor(i / 7))])
  const stops = [...crowd(0), ...crowd(1000)]
  // The upper right corner of the left crowd: its nearest six are all in its own.
  expect(listed(stops, 48).some(([other]) => other >= 49)).toBe(true)
})

test('of stops with several places the nearest two count, and no stop is its own neighbour or named twice', () => {
  const anyStop = fc.array(anyPoint, { minLength: 1, maxLength: 5 })
  fc.assert(
    fc.property(fc.array(anyStop, { minLength: 2, maxLength: 12 }), (stops) => {
      const found = listed(stops, 0)
      const numbers = found.map(([other]) => other)
      expect(numbers).not.toContain(0)
      expect(new Set(numbers).size).toBe(numbers.length)
      const least = Math.min(...stops.slice(1).map((other) => apart(stops[0] ?? [], other)))
      expect(found[0]?.[1]).toBeCloseTo(least, 9)
    }),
  )
})
