import { expect, test } from 'vitest'
import { circle, lineTo, openPath, polyline, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { enclosing } from '../../src/stroke/nesting.ts'

const lid = rectangle(point(0, 0), point(100, 60))
const line = (x0: number, y0: number, x1: number, y1: number) => openPath(point(x0, y0), lineTo(point(x1, y1)))

test('only the nearest lines round a path are named, at any depth', () => {
  const rings = [40, 30, 20, 10].map((r) => circle(point(0, 0), r))
  expect(enclosing([...rings, line(-1, 0, 1, 0)])).toEqual([[], [0], [1], [2], [3]])
})

test('a path that comes out anywhere lies inside of nothing, though its box does', () => {
  const corner = polyline(
    [point(0, 0), point(100, 0), point(100, 20), point(20, 20), point(20, 100), point(0, 100)],
    true,
  )
  // From one arm of the corner to the other over its open side; begun and ended inside.
  expect(enclosing([corner, line(90, 10, 10, 90)])).toEqual([[], []])
  expect(enclosing([corner, rectangle(point(5, 5), point(40, 40))])).toEqual([[], []])
  expect(enclosing([corner, line(90, 10, 10, 10)])).toEqual([[], [0]])
})

test('what runs along a line is on neither side, and what touches it from inside is inside', () => {
  expect(enclosing([lid, line(20, 0, 50, 0)])).toEqual([[], []])
  expect(enclosing([lid, lid])).toEqual([[], []])
  expect(enclosing([lid, rectangle(point(0, 20), point(30, 40))])).toEqual([[], [0]])
  expect(enclosing([lid, line(50, 60, 50, 57)])).toEqual([[], [0]])
  expect(enclosing([lid, line(50, 60, 50, 63)])).toEqual([[], []])
})
