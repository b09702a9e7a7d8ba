import { expect, test } from 'vitest'
import { closedPath, lineTo, type Path } from '../../src/geometry/path.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import { selfCrossing } from '../../src/geometry/valid.ts'

const ring = ([first = point(0, 0), ...others]: readonly Point[]): Path =>
  closedPath(first, [...others.map((p) => lineTo(p)), lineTo(first)])

/** All eight ways in which a square may lie, each ring begun at every corner and run both ways. */
function everyWay(corners: readonly Point[]): Path[] {
  const flips = [(p: Point) => p, (p: Point) => point(p.y, p.x)]
  const signs = [
    [1, 1],
    [1, -1],
    [-1, 1],
    [-1, -1],
  ] as const
  return flips.flatMap((flip) =>
    signs.flatMap(([sx, sy]) => {
      const own = corners.map(flip).map(({ x, y }) => point(sx * x, sy * y))
      return own.flatMap((_, i) => {
        const begun = [...own.slice(i), ...own.slice(0, i)]
        return [ring(begun), ring(begun.toReversed())]
      })
    }),
  )
}

/** The half of a square of 100 mm left of its diagonal, with a short notch whose root is at `tip`. */
const notched = (tip: Point) => [point(0, 0), point(100, 100), point(0, 100), point(45, 62), tip, point(42, 58)]

test('a short notch through the middle of a long edge crosses it, whichever way it lies', () => {
  for (const path of everyWay(notched(point(51, 49)))) expect(selfCrossing(path)).not.toBe(undefined)
  for (const path of everyWay(notched(point(49, 51)))) expect(selfCrossing(path)).toBe(undefined)
})

test('a corner that only comes to lie on an edge counts', () => {
  for (const path of everyWay(notched(point(50, 50)))) expect(selfCrossing(path)).not.toBe(undefined)
})

test('a triangle is simple, and with fewer corners there is nothing inside', () => {
  expect(selfCrossing(ring([point(0, 0), point(9, 0), point(0, 9)]))).toBe(undefined)
  expect(selfCrossing(ring([point(3, 4), point(9, 4)]))).toEqual(point(3, 4))
  expect(selfCrossing(ring([point(3, 4)]))).toEqual(point(3, 4))
})
