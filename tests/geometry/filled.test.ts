import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { filledBy } from '../../src/geometry/filled.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import {
  arcTo,
  circle,
  closedPath,
  cubicTo,
  lineTo,
  type Path,
  polyline,
  rectangle,
  reversed,
} from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { mm } from '../templates/measures.ts'

const box = (x: number, y: number, width: number, height: number) =>
  rectangle(point(x, y), point(x + width, y + height))
const area = (paths: readonly Path[]) => paths.reduce((sum, path) => sum + signedArea(path), 0)
const kinds = (path: Path) => [...new Set(path.segments.map(({ kind }) => kind))].sort()

/** Two circles of radii r and R at the distance d have this area in common (Weisstein, Circle-Circle Intersection, 14). */
function lens(d: number, r: number, R: number): number {
  const one = r * r * Math.acos((d * d + r * r - R * R) / (2 * d * r))
  const other = R * R * Math.acos((d * d + R * R - r * r) / (2 * d * R))
  return one + other - Math.sqrt((-d + r + R) * (d + r - R) * (d - r + R) * (d + r + R)) / 2
}

describe('closed lines that overlap', () => {
  test('become the one line round both, arcs staying arcs', () => {
    const { paths, flattened } = filledBy([circle(point(0, 0), 10), circle(point(12, 0), 8)])
    expect(flattened).toBe(false)
    expect(paths).toHaveLength(1)
    expect(paths.map(kinds)).toEqual([['arc']])
    expect(area(paths)).toBeCloseTo(Math.PI * 164 - lens(12, 8, 10), 9)
  })

  test('give the same whichever way round both run', () => {
    const own = [circle(point(0, 0), 10), box(5, -3, 30, 6)]
    expect(area(filledBy(own.map(reversed)).paths)).toBeCloseTo(area(filledBy(own).paths), 9)
    expect(area(filledBy(own.map(reversed)).paths)).toBeGreaterThan(0)
  })

  test('keep cubics as they are beyond the place where they meet', () => {
    // Under y = x (10 - x) / 5 up to x = 10 lies 10^3 / 6 / 5; the cubic is that parabola.
    const hill = closedPath(point(0, 0), [
      lineTo(point(10, 0)),
      cubicTo(point(20 / 3, 20 / 3), point(10 / 3, 20 / 3), point(0, 0)),
    ])
    expect(signedArea(hill)).toBeCloseTo(1000 / 30, 9)
    const { paths } = filledBy([hill, box(-5, -4, 20, 5)])
    // Over y = 1 the hill reaches from 5 - sqrt(20) to 5 + sqrt(20).
    const half = Math.sqrt(20)
    const over = 2 * (4 * half - half ** 3 / 15)
    expect(paths).toHaveLength(1)
    expect(paths.map(kinds)).toEqual([['cubic', 'line']])
    expect(area(paths)).toBeCloseTo(100 + over, 9)
  })

  test('that cross as a ring leave a counter that runs clockwise', () => {
    const { paths } = filledBy([box(0, 0, 30, 5), box(25, 0, 5, 30), box(0, 25, 30, 5), box(0, 0, 5, 30)])
    expect(paths.map(signedArea).sort((a, b) => b - a)).toEqual([expect.closeTo(900, 9), expect.closeTo(-400, 9)])
  })

  test('share an edge, or a part of one, and become one line', () => {
    expect(area(filledBy([box(0, 0, 10, 10), box(10, 0, 10, 10)]).paths)).toBeCloseTo(200, 9)
    expect(filledBy([box(0, 0, 10, 10), box(10, 0, 10, 10)]).paths).toHaveLength(1)
    const stepped = filledBy([box(0, 0, 10, 10), box(10, 5, 10, 10), box(3, 10, 4, 9)])
    expect(stepped.paths).toHaveLength(1)
    expect(area(stepped.paths)).toBeCloseTo(236, 9)
  })

  test('and are one and the same count once', () => {
    expect(filledBy([box(0, 0, 10, 10), box(0, 0, 10, 10)]).paths.map(signedArea)).toEqual([100])
    // Run against each other they wind round nothing.
    expect(filledBy([box(0, 0, 10, 10), reversed(box(0, 0, 10, 10))]).paths).toEqual([])
  })

  test('at one point only stay two lines', () => {
    const { paths } = filledBy([box(0, 0, 10, 10), box(10, 10, 10, 10)])
    expect(paths.map(signedArea)).toEqual([expect.closeTo(100, 9), expect.closeTo(100, 9)])
  })
})

test('a line inside another is a counter if it runs against it, and nothing if it runs with it', () => {
  const [outer, inner] = [circle(point(0, 0), 10), circle(point(0, 0), 6)]
  expect(filledBy([outer, reversed(inner)]).paths.map(signedArea)).toEqual([
    expect.closeTo(100 * Math.PI, 9),
    expect.closeTo(-36 * Math.PI, 9),
  ])
  expect(filledBy([reversed(outer), inner]).paths.map(signedArea)).toEqual([
    expect.closeTo(100 * Math.PI, 9),
    expect.closeTo(-36 * Math.PI, 9),
  ])
  expect(filledBy([outer, inner]).paths).toEqual([outer])
})

test('lines with nothing to do with each other are left as they are', () => {
  const own = [box(0, 0, 10, 10), circle(point(30, 0), 5), box(0, 50, 2, 2)]
  expect(filledBy(own)).toEqual({ paths: own, flattened: false })
})

test('a line that crosses itself is worked out on chords, and it is said', () => {
  const bow = polyline([point(0, 0), point(10, 10), point(10, 0), point(0, 10)], true)
  const { paths, flattened } = filledBy([bow, circle(point(50, 0), 5)])
  expect(flattened).toBe(true)
  // Two triangles of 10 x 5 mm that meet in a point.
  expect(area(paths.filter((path) => path.start.x < 20))).toBeCloseTo(50, 3)
  expect(paths.at(-1)).toEqual(circle(point(50, 0), 5))
})

/** Rectangles, discs and half discs anywhere on a plate of 100 mm, either way round. */
const anyForm = fc
  .record({ x: mm(0, 80), y: mm(0, 80), width: mm(3, 50), height: mm(3, 50), kind: fc.nat(2), back: fc.boolean() })
  .map(({ x, y, width, height, kind, back }): Path => {
    const half = closedPath(point(x, y), [lineTo(point(x + width, y)), arcTo(point(x, y), Math.PI)])
    const path = kind === 0 ? box(x, y, width, height) : kind === 1 ? circle(point(x, y), width / 2) : half
    return back ? reversed(path) : path
  })

test('a point is inside the result where the lines wind round it, and only there', () => {
  fc.assert(
    fc.property(
      fc.array(anyForm, { minLength: 1, maxLength: 7 }),
      fc.array(fc.record({ x: mm(-30, 140), y: mm(-30, 140) }), { minLength: 20, maxLength: 20 }),
      (own, places) => {
        const { paths, flattened } = filledBy(own)
        expect(flattened).toBe(false)
        for (const place of places) {
          const winds = own.reduce((sum, path) => sum + (pointInside(path, place) ? Math.sign(signedArea(path)) : 0), 0)
          const found = paths.reduce(
            (sum, path) => sum + (pointInside(path, place) ? Math.sign(signedArea(path)) : 0),
            0,
          )
          expect(found).toBe(winds === 0 ? 0 : 1)
        }
      },
    ),
    { numRuns: 400 },
  )
})
