import fc from 'fast-check'
import { expect, test } from 'vitest'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import {
  bestWays,
  passed,
  type Stop,
  type StopOrder,
  shortTrip,
  touched,
  tripLength,
  type Visit,
} from '../../src/stroke/travel.ts'
import { anyPoint } from '../geometry/paths.ts'

const origin = point(0, 0)

/** Points, open strokes, and closed ones with several places. */
const anyStop: fc.Arbitrary<Stop> = fc.oneof(
  anyPoint.map((p) => touched([p])),
  fc.tuple(anyPoint, anyPoint).map(([a, b]) => passed(a, b)),
  fc.array(anyPoint, { minLength: 2, maxLength: 5 }).map(touched),
)

const wayOf = (stops: readonly Stop[], { stop, way }: Visit) => stops[stop]?.[way] ?? expect.fail('no such way')

/** Length of an open trip, added up here. */
function walked(stops: readonly Stop[], visits: readonly Visit[], from: Point): number {
  let at = from
  let sum = 0
  for (const visit of visits) {
    const { enter, leave } = wayOf(stops, visit)
    sum += Math.hypot(enter.x - at.x, enter.y - at.y)
    at = leave
  }
  return sum
}

/** Every order of the numbers under `count`. */
function* orders(count: number, begun: readonly number[] = []): Generator<readonly number[]> {
  if (begun.length === count) yield begun
  for (let i = 0; i < count; i++) if (!begun.includes(i)) yield* orders(count, [...begun, i])
}

/** The least length past stops in this order, by trying every way. */
function leastInOrder(stops: readonly Stop[], order: readonly number[], at: Point): number {
  const [first, ...rest] = order
  if (first === undefined) return 0
  const own = stops[first] ?? expect.fail('no such stop')
  return Math.min(...own.map(({ enter, leave }) => distance(at, enter) + leastInOrder(stops, rest, leave)))
}

const sorted = (numbers: readonly number[]) => [...numbers].sort((a, b) => a - b)

test('a trip visits every stop once, by one of its ways, open or closed', () => {
  fc.assert(
    fc.property(fc.array(anyStop, { maxLength: 40 }), fc.option(anyPoint, { nil: undefined }), (stops, from) => {
      const visits = shortTrip(stops, from ? { from } : {})
      expect(sorted(visits.map(({ stop }) => stop))).toEqual(stops.map((_, i) => i))
      for (const visit of visits) wayOf(stops, visit)
    }),
    { numRuns: 100 },
  )
})

test('tripLength adds the gaps, and for a closed trip the way back', () => {
  const stops = [touched([point(3, 4)]), passed(point(3, 10), point(3, 4))]
  const visits = [
    { stop: 0, way: 0 },
    { stop: 1, way: 0 },
  ]
  // 5 mm to the point, 6 up to the stroke, which ends at the point: nothing left to go round.
  expect(tripLength(stops, visits, origin)).toBe(11)
  expect(tripLength(stops, visits)).toBe(6)
  expect(() => tripLength(stops, [{ stop: 1, way: 2 }])).toThrow('no way 2 past stop 1')
})

test('bestWays finds the shortest of all combinations of ways', () => {
  fc.assert(
    fc.property(fc.array(anyStop, { maxLength: 5 }), anyPoint, (stops, from) => {
      const ways = bestWays(stops, from)
      const order = stops.map((_, i) => i)
      const visits = ways.map((way, stop) => ({ stop, way }))
      expect(walked(stops, visits, from)).toBeCloseTo(leastInOrder(stops, order, from), 6)
    }),
  )
})

/** Rules that a hidden order keeps, so that they can be kept. */
const ruled = (most: number) =>
  fc
    .tuple(
      fc.array(fc.tuple(anyStop, fc.nat(500), fc.nat(300)), { minLength: 2, maxLength: most }),
      fc.array(fc.tuple(fc.nat(most - 1), fc.nat(most - 1)), { maxLength: most }),
      fc.boolean(),
    )
    .map(([own, pairs, hasWindow]) => {
      const all = [...own].sort(([, a], [, b]) => a - b)
      const later = all.map((): number[] => [])
      for (const [i, j] of pairs) if (i < j && j < all.length) later[i]?.push(j)
      const far = all.map(([, f]) => (hasWindow ? f : 0))
      const limit = all.map(([, f, slack]) => (hasWindow ? f + slack : Infinity))
      return { stops: all.map(([stop]) => stop), order: { later, far, limit } }
    })

/** Does visiting in this order keep every rule? */
const keeps = (order: readonly number[], { later, far, limit }: StopOrder) =>
  order.every((i, p) =>
    order.slice(0, p).every((j) => !later[i]?.includes(j) && (limit[i] ?? Infinity) >= (far[j] ?? 0)),
  )

test('past a few stops no trip that keeps the rules is shorter', () => {
  fc.assert(
    fc.property(ruled(5), anyPoint, ({ stops, order }, from) => {
      const allowed = [...orders(stops.length)].filter((own) => keeps(own, order))
      const least = Math.min(...allowed.map((own) => leastInOrder(stops, own, from)))
      expect(walked(stops, shortTrip(stops, { from, order }), from)).toBeCloseTo(least, 6)
    }),
  )
})

/** The length of the shortest open trip: the least way to each end of each set of strokes (Held and Karp 1962). */
function least(ends: readonly (readonly [Point, Point])[], from: Point): number {
  const leaves = ends.flatMap(([a, b]) => [b, a])
  const enters = ends.flat()
  const gaps = leaves.map((leave) => enters.map((enter) => distance(leave, enter)))
  const best = Array.from({ length: 2 ** ends.length }, () => new Float64Array(leaves.length).fill(Infinity))
  for (const [e, enter] of enters.entries()) {
    const row = best[1 << (e >> 1)]
    if (row) row[e] = distance(from, enter)
  }
  for (const [set, row] of best.entries()) {
    for (let a = 0; a < leaves.length; a++) {
      const own = row[a] ?? Infinity
      if (own === Infinity) continue
      for (let b = 0; b < enters.length; b++) {
        const next = best[set | (1 << (b >> 1))]
        if (next && (set & (1 << (b >> 1))) === 0) next[b] = Math.min(next[b] ?? Infinity, own + (gaps[a]?.[b] ?? 0))
      }
    }
  }
  return Math.min(...(best.at(-1) ?? []))
}

test('past twelve strokes hardly a shorter trip is left than the one found', () => {
  let shortest = 0
  let ours = 0
  const stroke = fc.tuple(anyPoint, anyPoint)
  fc.assert(
    fc.property(fc.array(stroke, { minLength: 12, maxLength: 12 }), anyPoint, (ends, from) => {
      const stops = ends.map(([a, b]) => passed(a, b))
      const found = walked(stops, shortTrip(stops, { from }), from)
      const own = least(ends, from)
      expect(found).toBeGreaterThan(own - 1e-6)
      shortest += own
      ours += found
    }),
    { numRuns: 8 },
  )
  expect(ours / shortest).toBeLessThan(1.02)
})

test('points on a circle are visited as they lie on it: no closed tour of a convex polygon is shorter than its edge', () => {
  const count = 97
  // 97 and 36 have no common divisor, so every place comes once, out of order.
  const stops = Array.from({ length: count }, (_, i) => {
    const angle = (2 * Math.PI * 36 * i) / count
    return touched([point(200 * Math.cos(angle), 200 * Math.sin(angle))])
  })
  const around = 2 * count * 200 * Math.sin(Math.PI / count)
  expect(tripLength(stops, shortTrip(stops))).toBeCloseTo(around, 6)
})

test('a square grid of 400 points is at most 3 % over its shortest closed tour, one step a point', () => {
  const stops = Array.from({ length: 400 }, (_, i) => touched([point((i * 7) % 20, Math.floor((i * 7) / 20) % 20)]))
  expect(new Set(stops.map((stop) => JSON.stringify(stop))).size).toBe(400)
  const length = tripLength(stops, shortTrip(stops))
  expect(length).toBeGreaterThan(400 - 1e-6)
  expect(length).toBeLessThan(412)
})

test('two crowds far apart are joined by two ways only', () => {
  const crowd = (x: number) => Array.from({ length: 60 }, (_, i) => touched([point(x + (i % 8), Math.floor(i / 8))]))
  const stops = [...crowd(0), ...crowd(1000)].sort((a, b) => (a[0]?.enter.y ?? 0) - (b[0]?.enter.y ?? 0))
  const visits = shortTrip(stops)
  const sides = visits.map((visit) => wayOf(stops, visit).enter.x > 500)
  expect(sides.filter((side, i) => side !== sides[(i + 1) % sides.length])).toHaveLength(2)
})

test('a stroke is passed from end to end, whichever way is shorter', () => {
  const stops = [
    passed(point(20, 0), point(10, 0)),
    passed(point(30, 0), point(40, 0)),
    passed(point(60, 0), point(50, 0)),
  ]
  // 10 mm of travel before each of the three.
  expect(tripLength(stops, shortTrip(stops, { from: origin }), origin)).toBeCloseTo(30, 9)
})

function broken(visits: readonly Visit[], { later, far, limit }: StopOrder): number {
  const place = new Map(visits.map(({ stop }, p) => [stop, p]))
  let count = 0
  for (const { stop: i } of visits) {
    for (const { stop: j } of visits) {
      const must = later[i]?.includes(j) || (limit[i] ?? 0) < (far[j] ?? 0)
      if (must && (place.get(i) ?? 0) > (place.get(j) ?? 0)) count++
    }
  }
  return count
}

test('what may not come before another never does', () => {
  let bound = 0
  fc.assert(
    fc.property(ruled(30), anyPoint, ({ stops, order }, from) => {
      const visits = shortTrip(stops, { from, order })
      expect(sorted(visits.map(({ stop }) => stop))).toEqual(stops.map((_, i) => i))
      expect(broken(visits, order)).toBe(0)
      if (broken(shortTrip(stops, { from }), order) > 0) bound++
    }),
    { numRuns: 150 },
  )
  // The rules did say something: without them they would have been broken.
  expect(bound).toBeGreaterThan(50)
})

test('stops that wait for each other are refused', () => {
  for (const count of [2, 40]) {
    const stops = Array.from({ length: count }, (_, i) => touched([point(i, 0)]))
    const later = stops.map((_, i) => (i === 0 ? [1] : i === 1 ? [0] : []))
    const order = { later, far: stops.map(() => 0), limit: stops.map(() => Infinity) }
    expect(() => shortTrip(stops, { from: origin, order })).toThrow('wait for each other')
  }
})

test('the same stops give the same trip', () => {
  fc.assert(
    fc.property(ruled(30), anyPoint, ({ stops, order }, from) => {
      expect(shortTrip(structuredClone(stops), { from, order })).toEqual(shortTrip(stops, { from, order }))
    }),
    { numRuns: 30 },
  )
})

test('many stops in one place or on one line do no harm', () => {
  const same = Array.from({ length: 300 }, () => touched([point(5, 5)]))
  expect(tripLength(same, shortTrip(same, { from: origin }), origin)).toBeCloseTo(Math.hypot(5, 5), 9)
  const row = Array.from({ length: 300 }, (_, i) => touched([point((i * 77) % 300, (i * 77) % 300)]))
  expect(tripLength(row, shortTrip(row, { from: origin }), origin)).toBeCloseTo(299 * Math.SQRT2, 6)
})
