import fc from 'fast-check'
import { expect, test } from 'vitest'
import { decimal } from '../../src/file/number.ts'

test.each([
  [0, 4, '0'],
  [-0, 4, '0'],
  [-0.00001, 4, '0'],
  [1.5, 4, '1.5'],
  [100, 0, '100'],
  [100, 2, '100'],
  [1e-7, 4, '0'],
  [1e20, 2, '100000000000000000000'],
  [-12.34567, 4, '-12.3457'],
])('%d at %d places is %s', (value, places, text) => {
  expect(decimal(value, places)).toBe(text)
})

test.each([Number.NaN, Infinity, -Infinity, 1e21])('%d is refused', (value) => {
  expect(() => decimal(value, 4)).toThrow(RangeError)
})

test('any number below 1e21 is plain, short and within half a last place', () => {
  fc.assert(
    fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.integer({ min: 0, max: 8 }), (value, places) => {
      const text = decimal(value, places)
      expect(text).toMatch(/^(0|-?[1-9]\d*|-?(0|[1-9]\d*)\.\d*[1-9])$/)
      expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(0.5 * 10 ** -places + 1e-9)
    }),
  )
})

test('rounds as the platform does, by the exact value, halves of the last place among them', () => {
  const near = fc.tuple(
    fc.integer({ min: -1e7, max: 1e7 }),
    fc.integer({ min: 0, max: 7 }),
    fc.constantFrom(0, 0.5, 0.4999, 0.5001),
  )
  fc.assert(
    fc.property(near, fc.double({ min: -1e14, max: 1e14, noNaN: true }), ([n, places, past], any) => {
      for (const value of [(n + past) / 10 ** places, any, any / 1e12]) {
        expect(Number(decimal(value, places))).toBe(Number(value.toFixed(places)) + 0)
      }
    }),
    { numRuns: 2000 },
  )
})
