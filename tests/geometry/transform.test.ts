import fc from 'fast-check'
import { expect, test } from 'vitest'
import { circle, openPath } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import {
  following,
  type Matrix,
  mapPoint,
  mirrorAcross,
  quarterTurn,
  scaling,
  transform,
  translation,
  turning,
} from '../../src/geometry/transform.ts'

test('a page turned over about x = 30 changes left and right over, and turning it again brings it back', () => {
  const over = mirrorAcross(30)
  expect(mapPoint(over, point(10, 5))).toEqual(point(50, 5))
  expect(mapPoint(over, point(30, -7))).toEqual(point(30, -7))
  expect(mapPoint(following(over, over), point(10, 5))).toEqual(point(10, 5))
  // What turned left turns right.
  expect(transform(circle(point(10, 0), 4), over).segments.map((s) => s.kind === 'arc' && Math.sign(s.sweep))).toEqual([
    -1, -1,
  ])
})

test('first moved, then turned is not first turned, then moved', () => {
  const move = translation(10, 0)
  expect(mapPoint(following(move, quarterTurn), point(1, 2))).toEqual(point(-2, 11))
  expect(mapPoint(following(quarterTurn, move), point(1, 2))).toEqual(point(8, 1))
  expect(mapPoint(following(scaling(2, 3), move), point(1, 2))).toEqual(point(12, 6))
  expect(mapPoint(following(move, scaling(2, 3)), point(1, 2))).toEqual(point(22, 6))
  const half = mapPoint(turning(Math.PI, point(7, 8)), point(1, 2))
  expect(half.x).toBeCloseTo(6, 12)
  expect(half.y).toBeCloseTo(6, 12)
})

test('one map of two does what they do one after the other, to any path', () => {
  const number = fc.integer({ min: -9, max: 9 })
  const anyMatrix: fc.Arbitrary<Matrix> = fc.record({
    a: number,
    b: number,
    c: number,
    d: number,
    e: number,
    f: number,
  })
  fc.assert(
    fc.property(anyMatrix, anyMatrix, number, number, (first, second, x, y) => {
      // Whole numbers, so nothing is rounded.
      const path = openPath(point(x, y))
      const { start } = transform(transform(path, first), second)
      const once = transform(path, following(first, second)).start
      expect([once.x + 0, once.y + 0]).toEqual([start.x + 0, start.y + 0])
    }),
  )
})
