import fc from 'fast-check'
import { expect, test } from 'vitest'
import { liesWithin, pointInside } from '../../src/geometry/inside.ts'
import { circle, polyline, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { difference, intersection, offsetRings, ringsArea, ringsOf, union } from '../../src/geometry/polygon.ts'

const box = ringsOf([rectangle(point(0, 0), point(100, 60))])

test('growing 100 x 60 by 5 with round corners gives 7678.539816 (Steiner)', () => {
  expect(ringsArea(offsetRings(box, 5))).toBeCloseTo(7678.539816, 0)
})

test('growing and shrinking with mitred corners is exact: 7700 and 4500', () => {
  expect(ringsArea(offsetRings(box, 5, 'mitre'))).toBeCloseTo(7700, 3)
  expect(ringsArea(offsetRings(box, -5, 'mitre'))).toBeCloseTo(4500, 3)
})

test('the triangle 13-14-15 grown by 2 mitred is 189, shrunk by 1 is 47.25', () => {
  const triangle = ringsOf([polyline([point(0, 0), point(14, 0), point(5, 12)], true)])
  expect(ringsArea(offsetRings(triangle, 2, 'mitre'))).toBeCloseTo(189, 2)
  expect(ringsArea(offsetRings(triangle, -1, 'mitre'))).toBeCloseTo(47.25, 2)
})

test('union, intersection and difference add up', () => {
  const other = ringsOf([rectangle(point(50, 20), point(150, 90))])
  const both = ringsArea(union(box, other))
  const shared = ringsArea(intersection(box, other))
  expect(shared).toBeCloseTo(50 * 40, 6)
  expect(both).toBeCloseTo(6000 + 7000 - 2000, 6)
  expect(ringsArea(difference(box, other))).toBeCloseTo(4000, 6)
})

test('inside and within', () => {
  const disc = circle(point(0, 0), 10)
  expect(pointInside(disc, point(9.99, 0))).toBe(true)
  expect(pointInside(disc, point(10.01, 0))).toBe(false)
  expect(liesWithin(circle(point(0, 0), 9.9), disc)).toBe(true)
  expect(liesWithin(circle(point(1, 0), 9.9), disc)).toBe(false)
})

test('a place level with a corner, to the last bit, is beside a rectangle that it stands beside', () => {
  const anywhere = fc.double({ min: -500, max: 500, noNaN: true })
  const size = fc.double({ min: 1, max: 300, noNaN: true })
  fc.assert(
    fc.property(anywhere, anywhere, size, size, size, (x, y, width, height, away) => {
      const [low, high] = [point(x, y), point(x + width, y + height)]
      for (const level of [low.y, high.y]) {
        for (const aside of [low.x - away, high.x + away]) {
          expect(pointInside(rectangle(low, high), point(aside, level))).toBe(false)
        }
      }
    }),
  )
})
