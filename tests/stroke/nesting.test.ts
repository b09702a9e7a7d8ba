import fc from 'fast-check'
import { expect, test } from 'vitest'
import { circle, lineTo, openPath, polyline, rectangle, reversed } from '../../src/geometry/path.ts'
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

const corner = fc.integer({ min: 0, max: 12 })
const size = fc.integer({ min: 1, max: 12 })
const anyBox = fc.record({ x: corner, y: corner, width: size, height: size, back: fc.boolean() })

test('of boxes that cross, touch or lie in each other the nearest round each are named, as their corners have it', () => {
  fc.assert(
    fc.property(fc.array(anyBox, { maxLength: 12 }), (boxes) => {
      const paths = boxes.map(({ x, y, width, height, back }) => {
        const path = rectangle(point(x, y), point(x + width, y + height))
        return back ? reversed(path) : path
      })
      const isIn = (i: number, k: number) => {
        const [a, b] = [boxes[i], boxes[k]]
        if (!a || !b || (a.width === b.width && a.height === b.height)) return false
        return a.x >= b.x && a.y >= b.y && a.x + a.width <= b.x + b.width && a.y + a.height <= b.y + b.height
      }
      const wanted = boxes.map((_, i) => {
        const round = boxes.flatMap((_, k) => (isIn(i, k) ? [k] : []))
        return round.filter((k) => !round.some((other) => isIn(other, k)))
      })
      expect(enclosing(paths).map((round) => round.sort((a, b) => a - b))).toEqual(wanted)
    }),
  )
})

test('lines many deep in each other are each named by the next, slanting and curved ones too', () => {
  const depth = 150
  const kinds = [
    (r: number) => rectangle(point(-r, -r), point(r, r)),
    (r: number) => polyline([point(-r, 0), point(0, -r), point(r, 0), point(0, r)], true),
  ]
  for (const kind of kinds) {
    const paths = Array.from({ length: depth }, (_, k) => kind(1 + k / 5))
    const wanted = Array.from({ length: depth }, (_, k) => (k + 1 < depth ? [k + 1] : []))
    expect(enclosing(paths)).toEqual(wanted)
  }
})
