import { expect, test } from 'vitest'
import { lineTo, openPath, rectangle } from '../../src/geometry/path.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import { lapLabels, nameLabel, seamLabels } from '../../src/panel/labels.ts'
import { lettersWidth } from '../../src/panel/lettering.ts'
import type { PanelEdge } from '../../src/panel/panel.ts'

test('a name is as high as fits with 2 mm to the edge and 1 mm round it', () => {
  const strip = (height: number) =>
    nameLabel('tin', [{ at: point(150, 3), turn: 0 }], rectangle(point(0, 0), point(300, height)), [])
  // 3 + 1 mm below and above the letters: 12 mm hold letters of 6, 8.9 mm none of 3.
  expect([12.1, 11.1, 10.1, 9.1, 8.9].map((height) => strip(height)[0]?.height)).toEqual([6, 5, 4, 3, undefined])
  expect(strip(12.1)).toEqual([{ text: 'tin ↑ UP', at: point(150, 3), height: 6, turn: 0 }])
})

test('a name keeps off openings, and takes the next place, turned if that is what the place is', () => {
  const outline = rectangle(point(0, 0), point(300, 200))
  const spots = [
    { at: point(150, 100), turn: 0 },
    { at: point(50, 100), turn: Math.PI / 2 },
  ]
  const hole = rectangle(point(140, 90), point(160, 110))
  expect(nameLabel('tin', spots, outline, []).map(({ at }) => at)).toEqual([point(150, 100)])
  expect(nameLabel('tin', spots, outline, [hole])).toEqual([
    { text: 'tin ↑ UP', at: point(50, 100), height: 6, turn: Math.PI / 2 },
  ])
})

const lap = (from: Point, to: readonly Point[], allowance: number, lapped = true): PanelEdge => {
  const path = openPath(from, ...to.map((p) => lineTo(p)))
  return { name: 'right', bare: path, outline: path, radius: 0, allowance, lapped }
}

test('the word stands in the middle of a lap of 5 mm or more, along it', () => {
  const upright = (allowance: number) => lapLabels([lap(point(80, 0), [point(80, 100)], allowance)], [])
  // 10 mm of lap left of the upright edge: 3 mm letters with 3.5 mm on both sides.
  expect(upright(10)).toEqual([{ text: 'OVERLAP', at: point(76.5, 50), height: 3, turn: Math.PI / 2 }])
  expect(upright(5)).toEqual([{ text: 'OVERLAP', at: point(78.75, 50), height: 2.5, turn: Math.PI / 2 }])
  expect(upright(4.9)).toEqual([])
})

test('no word stands on an edge that laps over nothing, bends, or is shorter than the word with 3 mm at each end', () => {
  expect(lapLabels([lap(point(80, 0), [point(80, 100)], 10, false)], [])).toEqual([])
  expect(lapLabels([lap(point(80, 0), [point(80, 50), point(81, 100)], 10)], [])).toEqual([])
  const width = lettersWidth('OVERLAP', 3)
  expect(lapLabels([lap(point(80, 0), [point(80, width + 5.9)], 10)], [])).toEqual([])
  expect(lapLabels([lap(point(80, 0), [point(80, width + 6.1)], 10)], [])).toHaveLength(1)
})

test('the code of a seam stands 3 mm inside, 1.5 mm past the tick', () => {
  const spot = { at: point(50, 0), heading: point(1, 0), edge: undefined, length: 50 }
  const half = lettersWidth('A1', 3) / 2
  expect(seamLabels([{ spot, code: 'A1' }])).toEqual([{ text: 'A1', at: point(51.5 + half, 3), height: 3, turn: 0 }])
  const up = { ...spot, heading: point(0, 1) }
  const [label] = seamLabels([{ spot: up, code: 'A1' }])
  expect(label?.at.x).toBeCloseTo(47, 9)
  expect(label?.at.y).toBeCloseTo(1.5 + half, 9)
  expect(label?.turn).toBeCloseTo(Math.PI / 2, 12)
})
