import fc from 'fast-check'
import { expect, test } from 'vitest'
import { pathLength, pathPart, stationAt } from '../../src/geometry/length.ts'
import { circle, endOf, type Path, polyline, rectangle } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { overcut } from '../../src/stroke/overcut.ts'
import { anyPath, anyPoint } from '../geometry/paths.ts'

test('a square runs on along its first side', () => {
  const made = overcut(rectangle(point(0, 0), point(20, 20)), 3)
  expect(made.closed).toBe(false)
  expect(pathLength(made)).toBe(83)
  expect(endOf(made)).toEqual(point(3, 0))
})

test('a circle runs on along its arc', () => {
  const made = overcut(circle(point(0, 0), 10), 5)
  // 5 mm on a radius of 10 mm are half a radian.
  expect(distance(endOf(made), point(10 * Math.cos(0.5), 10 * Math.sin(0.5)))).toBeLessThan(1e-9)
  expect(pathLength(made)).toBeCloseTo(20 * Math.PI + 5, 9)
})

test('past a corner it goes on round it, and longer than the path round again', () => {
  const lid = rectangle(point(0, 0), point(20, 10))
  expect(endOf(overcut(lid, 25))).toEqual(point(20, 5))
  const twice = overcut(lid, 60 + 22)
  expect(endOf(twice)).toEqual(point(20, 2))
  expect(pathLength(twice)).toBeCloseTo(60 + 82, 9)
})

const closed: fc.Arbitrary<Path> = fc.oneof(
  fc.array(anyPoint, { minLength: 3, maxLength: 6 }).map((points) => polyline(points, true)),
  fc.tuple(anyPoint, fc.integer({ min: 1, max: 80 })).map(([p, r]) => circle(p, r)),
)

test('lengths add up, and what is cut twice is the beginning of the path', () => {
  fc.assert(
    fc.property(closed, fc.integer({ min: 1, max: 999 }), (path, part) => {
      const whole = pathLength(path)
      fc.pre(whole > 1)
      const length = (whole * part) / 1000
      const made = overcut(path, length)
      expect(pathLength(made)).toBeCloseTo(whole + length, 6)
      expect(made.segments.slice(0, path.segments.length)).toEqual(path.segments)
      expect(made.start).toEqual(path.start)
      for (const t of [0.1, 0.5, 0.9]) {
        const again = stationAt(made, whole + t * length).at
        expect(distance(again, stationAt(pathPart(path, 0, length), t * length).at)).toBeLessThan(1e-6)
      }
    }),
  )
})

test('open paths stay, and so do closed ones without overcut', () => {
  fc.assert(
    fc.property(anyPath, (path) => {
      expect(overcut(path, 4)).toBe(path)
    }),
  )
  const lid = rectangle(point(0, 0), point(20, 10))
  expect(overcut(lid, 0)).toBe(lid)
})

test('a length that is none is refused by its value', () => {
  const lid = rectangle(point(0, 0), point(20, 10))
  expect(() => overcut(lid, -1)).toThrow('an overcut of -1 mm; it must be 0 or more')
  expect(() => overcut(lid, Number.NaN)).toThrow('NaN')
  expect(() => overcut(lid, Infinity)).toThrow('Infinity')
})
