import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Box } from '../../src/geometry/bounds.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import { difference, type Rings, ringsArea } from '../../src/geometry/polygon.ts'
import { largestRectangle } from '../../src/sheet/largest-rectangle.ts'

const ring = (...n: number[]): Point[] =>
  Array.from({ length: n.length / 2 }, (_, i) => point(n[2 * i] as number, n[2 * i + 1] as number))
const areaOf = (box: Box | undefined) => (box ? (box.high.x - box.low.x) * (box.high.y - box.low.y) : 0)
const boxRing = ({ low, high }: Box) => ring(low.x, low.y, high.x, low.y, high.x, high.y, low.x, high.y)

test('of a right-angled triangle it is half of it, of a regular 64-gon the square, of an L the longer arm', () => {
  expect(areaOf(largestRectangle([ring(0, 0, 300, 0, 0, 100)]))).toBeCloseTo(300 * 100 * 0.25, 6)
  const round = Array.from({ length: 64 }, (_, i) =>
    point(10 * Math.cos((i * Math.PI) / 32), 10 * Math.sin((i * Math.PI) / 32)),
  )
  // corners at 45 degrees are among its own: side 10 sqrt 2
  expect(areaOf(largestRectangle([round]))).toBeCloseTo(200, 6)
  expect(largestRectangle([ring(0, 0, 90, 0, 90, 20, 30, 20, 30, 50, 0, 50)])).toEqual({
    low: point(0, 0),
    high: point(90, 20),
  })
  expect(largestRectangle([])).toBeUndefined()
})

test('it keeps clear of holes', () => {
  // beside the hole 100 x 20 below and above, 40 x 50 to its left and right
  const hole = ring(40, 20, 40, 30, 60, 30, 60, 20)
  expect(areaOf(largestRectangle([ring(0, 0, 100, 0, 100, 50, 0, 50), hole]))).toBeCloseTo(2000, 9)
})

/** The largest with ends on a grid of whole mm, by trying all of them. */
function byTrying(blocked: readonly Box[], wide: number, high: number): number {
  let most = 0
  for (let x0 = 0; x0 < wide; x0++) {
    for (let x1 = x0 + 1; x1 <= wide; x1++) {
      const own = blocked.filter(({ low, high: top }) => low.x < x1 && top.x > x0)
      const free = Array.from({ length: high }, (_, y) => !own.some((b) => b.low.y < y + 1 && b.high.y > y))
      let run = 0
      for (const isFree of free) {
        run = isFree ? run + 1 : 0
        most = Math.max(most, run * (x1 - x0))
      }
    }
  }
  return most
}

test('among boxes on a grid it is as large as the best of all that can be tried', () => {
  const whole = (most: number) => fc.integer({ min: 0, max: most })
  const box = fc.tuple(whole(35), whole(25), whole(9), whole(9)).map(([x, y, w, h]): Box => {
    return { low: point(x, y), high: point(x + w + 1, y + h + 1) }
  })
  fc.assert(
    fc.property(fc.array(box, { maxLength: 7 }), (blocked) => {
      const free: Rings = difference([ring(0, 0, 40, 0, 40, 30, 0, 30)], blocked.map(boxRing))
      expect(areaOf(largestRectangle(free))).toBeCloseTo(byTrying(blocked, 40, 30), 6)
    }),
    { numRuns: 150 },
  )
})

test('in random triangles and quadrilaterals it lies inside, and none of many random ones is larger', () => {
  const corner = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }))
  const share = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 400, maxLength: 400 })
  fc.assert(
    fc.property(fc.array(corner, { minLength: 3, maxLength: 5 }), share, (given, shares) => {
      const angles = given.map(([a], i) => ((i + 0.1 + 0.8 * a) / given.length) * 2 * Math.PI)
      const shape = given.map(([, r], i) =>
        point((30 + 70 * r) * Math.cos(angles[i] ?? 0), (30 + 70 * r) * Math.sin(angles[i] ?? 0)),
      )
      const found = largestRectangle([shape])
      if (!found) return expect.fail('none')
      expect(ringsArea(difference([boxRing(found)], [shape]))).toBeLessThan(1e-2)
      for (let i = 0; i + 3 < shares.length; i += 4) {
        const [a = 0, b = 0, c = 0, d = 0] = shares.slice(i, i + 4).map((s) => 200 * s - 100)
        const tried = { low: point(Math.min(a, b), Math.min(c, d)), high: point(Math.max(a, b), Math.max(c, d)) }
        if (areaOf(tried) > areaOf(found) + 1e-3) {
          expect(ringsArea(difference([boxRing(tried)], [shape]))).toBeGreaterThan(1e-6)
        }
      }
    }),
    { numRuns: 60 },
  )
})
