import { expect, test } from 'vitest'
import { chanceOf } from '../../src/geometry/chance.ts'

const draws = (seed: number, count: number) => {
  const next = chanceOf(seed)
  return Array.from({ length: count }, next)
}

test('a seed has one row of draws, and another seed another', () => {
  expect(draws(7, 20)).toEqual(draws(7, 20))
  expect(draws(7, 20)).not.toEqual(draws(8, 20))
})

test('draws lie from 0 to 1 and fill it evenly, alone and in pairs', () => {
  for (const seed of [0, 1, -5, 2 ** 31]) {
    const all = draws(seed, 10_000)
    expect(all.filter((x) => !(x >= 0 && x < 1))).toEqual([])
    const tenths = Array(10).fill(0)
    const squares = Array(16).fill(0)
    all.forEach((x, i) => {
      tenths[Math.floor(x * 10)]++
      if (i % 2 === 1) squares[Math.floor(x * 4) * 4 + Math.floor((all[i - 1] ?? 0) * 4)]++
    })
    const off = (counts: readonly number[], each: number) => counts.reduce((sum, n) => sum + (n - each) ** 2 / each, 0)
    // Chi-squared with 9 and 15 degrees of freedom: 27.9 and 37.7 are
    // passed in one of a thousand rows (NIST handbook, 1.3.6.7.4).
    expect(off(tenths, 1000)).toBeLessThan(27.9)
    expect(off(squares, 5000 / 16)).toBeLessThan(37.7)
  }
})
