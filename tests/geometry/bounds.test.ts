import { expect, test } from 'vitest'
import { boundsOf, boxesMeet, boxHeight, boxWidth } from '../../src/geometry/bounds.ts'
import { arcTo, openPath } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'

const box = (x: number, y: number, width: number, height: number) => ({
  low: point(x, y),
  high: point(x + width, y + height),
})

test('the half circle over 10 to 30 is 20 wide and 10 high', () => {
  const half = boundsOf([openPath(point(30, 5), arcTo(point(10, 5), Math.PI))])
  expect(boxWidth(half)).toBeCloseTo(20, 9)
  expect(boxHeight(half)).toBeCloseTo(10, 9)
  expect([half.low.x, half.low.y]).toEqual([expect.closeTo(10, 9), expect.closeTo(5, 9)])
})

test('there are no bounds of nothing', () => {
  expect(() => boundsOf([])).toThrow(new RangeError('bounds of nothing'))
})

test.each([
  [box(10, 0, 5, 5), 0, false],
  [box(9.9, 0, 5, 5), 0, true],
  [box(12, 0, 5, 5), 2, false],
  [box(12, 0, 5, 5), 2.1, true],
  [box(-7, 0, 5, 5), 2, false],
  [box(-7, 0, 5, 5), 2.1, true],
  [box(0, 12, 5, 5), 2, false],
  [box(0, 12, 5, 5), 2.1, true],
  [box(0, -7, 5, 5), 2, false],
  [box(0, -7, 5, 5), 2.1, true],
  [box(3, 3, 1, 1), 0, true],
])('10 x 10 at 0,0 and %j with %d mm of room: %s', (other, slack, meet) => {
  expect(boxesMeet(box(0, 0, 10, 10), other, slack)).toBe(meet)
  expect(boxesMeet(other, box(0, 0, 10, 10), slack)).toBe(meet)
})
