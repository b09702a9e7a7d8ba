import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { deviation } from '../../src/geometry/deviation.ts'
import { circle, polyline, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { boxed, boxGap, nearestLine } from '../../src/job/nearest-line.ts'

const coordinate = fc.integer({ min: 0, max: 100 })
const path = fc
  .array(fc.tuple(coordinate, coordinate), { minLength: 2, maxLength: 4 })
  .map((points) => polyline(points.map(([x, y]) => point(x, y))))

describe('the nearest line', () => {
  test('is the one that looking at every line finds', () => {
    fc.assert(
      fc.property(path, fc.array(path, { minLength: 1, maxLength: 8 }), (line, others) => {
        const least = Math.min(...others.map((other) => deviation(line, other).distance))
        expect(nearestLine(boxed(line), others.map(boxed))?.distance).toBeCloseTo(least, 9)
      }),
      { numRuns: 100 },
    )
  })

  test('is nothing where none is within reach', () => {
    const small = boxed(rectangle(point(0, 0), point(10, 10)))
    // 3 mm larger all round: corners 3 sqrt 2 = 4.243 mm apart
    const large = boxed(rectangle(point(-3, -3), point(13, 13)))
    expect(nearestLine(small, [large], 4)).toBeUndefined()
    expect(nearestLine(small, [large], 5)?.distance).toBeCloseTo(3 * Math.SQRT2, 6)
    expect(nearestLine(small, [])).toBeUndefined()
  })
})

test('the gap of two boxes is the most that one of their sides is off', () => {
  const a = boxed(circle(point(5, 5), 5)).box
  const b = boxed(rectangle(point(1, -2), point(10, 13))).box
  // left 1, bottom 2, right 0, top 3
  expect(boxGap(a, b)).toBeCloseTo(3, 12)
})
