import { expect, test } from 'vitest'
import { areaWords } from '../../src/job/area-words.ts'

test('areas are told in square metres, or in square feet to those who measure in inches', () => {
  expect(areaWords(827_000, 'cm')).toBe('0.827 m²')
  expect(areaWords(5_292_000, 'mm', 2)).toBe('5.29 m²')
  // NIST Special Publication 811, B.8: a square foot is 9.290304 E-02 square metre
  expect(areaWords(92_903.04, 'in')).toBe('1.00 sq ft')
  expect(areaWords(4 * 92_903.04, 'ft', 2)).toBe('4.0 sq ft')
})
