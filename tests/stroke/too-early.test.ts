import { expect, test } from 'vitest'
import { polyline } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import type { Operation } from '../../src/stroke/stroke.ts'
import { tooEarly } from '../../src/stroke/too-early.ts'

const square = (operation: Operation, x: number, size: number) => ({
  operation,
  path: polyline([point(x, x), point(x + size, x), point(x + size, x + size), point(x, x + size)], true),
})

test('finds a line that is cut before what lies inside it, near or farther in', () => {
  // 100 mm round 60 mm round 20 mm, from the outside in
  const all = [square('kiss', 0, 100), square('kiss', 20, 60), square('kiss', 40, 20)]
  expect(tooEarly([...all].reverse())).toEqual([])
  expect(tooEarly(all)).toEqual([
    { outer: 0, inner: 1 },
    { outer: 1, inner: 2 },
    { outer: 0, inner: 2 },
  ])
})

test('asks for a pen line before the cut round it, and lets a kiss cut go before the through cuts inside it', () => {
  expect(tooEarly([square('kiss', 0, 100), square('pen', 20, 60)])).toEqual([{ outer: 0, inner: 1 }])
  expect(tooEarly([square('kiss', 0, 100), square('through', 20, 60)])).toEqual([])
  // a border round a through cut with a kiss cut in it: the border still waits for that
  const border = [square('kiss', 0, 100), square('kiss', 40, 20), square('through', 20, 60)]
  expect(tooEarly(border)).toEqual([{ outer: 0, inner: 1 }])
})

test('keeps no order among pen lines, and none beside each other', () => {
  expect(tooEarly([square('pen', 0, 100), square('pen', 20, 60)])).toEqual([])
  expect(tooEarly([square('kiss', 0, 10), square('kiss', 20, 10)])).toEqual([])
})
