import { expect, test } from 'vitest'
import { bentStrip } from '../../src/geometry/bent-strip.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'

const shares = [0, 0.25, 0.5, 0.75, 1]

test('a strip goes through its marks, and lies straight along marks on a line', () => {
  const marks = [point(0, 0), point(30, 10), point(60, 20), point(120, 40)]
  const on = bentStrip(marks, false)
  for (let i = 0; i < 3; i++) {
    const [a, b] = [marks[i] as Point, marks[i + 1] as Point]
    for (const t of shares) {
      const wanted = point(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y))
      expect(distance(on(i, t), wanted)).toBeLessThan(1e-9)
    }
  }
})

test('worked by hand: a strip over three marks, the middle one 3 mm up between two 10 mm off', () => {
  // chords of sqrt(109): second derivative of y in the middle m with 4 h m = 6 (-3 / h - 3 / h), so m = -9 / h^2
  const on = bentStrip([point(-10, 0), point(0, 3), point(10, 0)], false)
  // halfway: 1.5 - (0.5^3 - 0.5) ... = 1.5 + 0.375 * 9 / 6
  expect(on(0, 0.5).y).toBeCloseTo(1.5 + 0.5625, 9)
  expect(on(1, 0.5).y).toBeCloseTo(1.5 + 0.5625, 9)
  expect(on(0, 0.5).x).toBeCloseTo(-5, 9)
})

test('a strip with its ends lapped runs round a circle alike at every mark', () => {
  const marks = Array.from({ length: 12 }, (_, k) => {
    const angle = (k * Math.PI) / 6
    return point(100 * Math.cos(angle), 100 * Math.sin(angle))
  })
  const on = bentStrip(marks, true)
  for (let i = 0; i < 12; i++) {
    expect(distance(on(i, 0), marks[i] as Point)).toBeLessThan(1e-9)
    expect(distance(on(i, 1), marks[(i + 1) % 12] as Point)).toBeLessThan(1e-9)
    // the lap is four marks long, and a bend dies away to a quarter from one to the next
    expect(Math.abs(Math.hypot(on(i, 0.5).x, on(i, 0.5).y) - 100)).toBeLessThan(0.1)
  }
})
