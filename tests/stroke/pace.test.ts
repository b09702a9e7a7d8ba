import { expect, test } from 'vitest'
import { circle, lineTo, openPath, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { stretchSeconds, timeWords, travelOf } from '../../src/stroke/pace.ts'

const pace = { down: 200, up: 400, acceleration: 2000, lift: 0.05 }

test('a long stretch speeds up, runs and slows down; a short one never reaches its speed', () => {
  // 200 mm/s at 2000 mm/s^2 is reached after 0.1 s and 10 mm: 100 mm = 2 x 10 mm in 0.2 s, and 80 mm in 0.4 s.
  expect(stretchSeconds(100, 200, 2000)).toBeCloseTo(0.6, 12)
  // 5 mm: half of it speeding up, sqrt(2 x 2.5 / 2000) = 0.05 s each way.
  expect(stretchSeconds(5, 200, 2000)).toBeCloseTo(0.1, 12)
  expect(stretchSeconds(20, 200, 2000)).toBeCloseTo(0.2, 12)
  expect(stretchSeconds(0, 200, 2000)).toBe(0)
})

test('a square stops at its corners, a circle runs through', () => {
  // From 0,0 to the square at 30,40: 50 mm up, 0.325 s at 400 mm/s; four sides of 100 mm, 0.6 s each; one drop, one lift.
  const square = rectangle(point(30, 40), point(130, 140))
  const { down, up, seconds } = travelOf([square], pace)
  expect([down, up]).toEqual([400, 50])
  expect(seconds).toBeCloseTo(stretchSeconds(50, 400, 2000) + 4 * 0.6 + 0.1, 9)
  const round = travelOf([circle(point(0, 0), 50)], pace)
  expect(round.seconds).toBeCloseTo(stretchSeconds(50, 400, 2000) + stretchSeconds(Math.PI * 100, 200, 2000) + 0.1, 9)
})

test('the way between strokes runs from the end of one to the start of the next', () => {
  const line = (x: number) => openPath(point(x, 0), lineTo(point(x, 30)))
  expect(travelOf([line(0), line(40)], pace)).toMatchObject({ down: 60, up: 50 })
})

test.each([
  [0.2, '1 s'],
  [89, '89 s'],
  [90, '2 min'],
  [120, '2 min'],
  [121, '3 min'],
])('%d s are said as %s', (seconds, words) => {
  expect(timeWords(seconds)).toBe(words)
})
