import fc from 'fast-check'
import { expect, test } from 'vitest'
import * as portable from '../../src/geometry/portable-math.ts'

/** Units in the last place between two numbers of one size. */
function ulps(a: number, b: number): number {
  if (Object.is(a, b) || (Number.isNaN(a) && Number.isNaN(b))) return 0
  const bits = new DataView(new ArrayBuffer(16))
  bits.setFloat64(0, a)
  bits.setFloat64(8, b)
  const [x, y] = [bits.getBigInt64(0), bits.getBigInt64(8)]
  const along = (v: bigint) => (v < 0n ? -(v & 0x7fffffffffffffffn) : v)
  return Number(along(x) - along(y) < 0n ? along(y) - along(x) : along(x) - along(y))
}

const angle = fc.double({ min: -1000, max: 1000, noNaN: true })
const ratio = fc.double({ min: -1, max: 1, noNaN: true })
const any = fc.double({ noNaN: true })
const runs = { numRuns: 20_000 }

test('comes within two units in the last place of what this platform has', () => {
  fc.assert(
    fc.property(angle, (x) => ulps(portable.sin(x), Math.sin(x)) <= 1 && ulps(portable.cos(x), Math.cos(x)) <= 1),
    runs,
  )
  fc.assert(
    fc.property(angle, (x) => ulps(portable.tan(x), Math.tan(x)) <= 3),
    runs,
  )
  fc.assert(
    fc.property(any, (x) => ulps(portable.atan(x), Math.atan(x)) <= 1),
    runs,
  )
  fc.assert(
    fc.property(any, any, (y, x) => ulps(portable.atan2(y, x), Math.atan2(y, x)) <= 1),
    runs,
  )
  fc.assert(
    fc.property(ratio, (x) => ulps(portable.asin(x), Math.asin(x)) <= 3),
    runs,
  )
  fc.assert(
    fc.property(any, any, (x, y) => ulps(portable.hypot(x, y), Math.hypot(x, y)) <= 2),
    runs,
  )
  fc.assert(
    fc.property(
      fc.double({ min: 0.01, max: 100, noNaN: true }),
      fc.integer({ min: -8, max: 8 }),
      (x, n) => ulps(portable.pow(x, n), x ** n) <= 8,
    ),
    runs,
  )
})

test('is right where quarter turns all but cancel', () => {
  // sin of the double nearest pi is what pi lies above it: 1.2246467991473531772e-16 (Abramowitz and Stegun, table 1.1)
  expect(portable.sin(Math.PI)).toBe(1.2246467991473532e-16)
  expect(portable.cos(Math.PI / 2)).toBe(6.123233995736766e-17)
  expect(portable.sin(Math.PI / 2)).toBe(1)
  expect(portable.cos(Math.PI)).toBe(-1)
  for (let n = 1; n < 400; n++)
    expect(ulps(portable.sin((n * Math.PI) / 2), Math.sin((n * Math.PI) / 2))).toBeLessThanOrEqual(1)
})

test('keeps signs of nothing, and what has no value', () => {
  expect(portable.sin(-0)).toBe(-0)
  expect([portable.sin(Infinity), portable.cos(Number.NaN), portable.atan2(Number.NaN, 1)].every(Number.isNaN)).toBe(
    true,
  )
  expect(portable.atan2(0, -0)).toBe(Math.PI)
  expect(portable.atan2(-0, -1)).toBe(-Math.PI)
  expect(portable.atan2(-0, 1)).toBe(-0)
  expect(portable.atan2(Infinity, -Infinity)).toBe((3 * Math.PI) / 4)
  expect(portable.hypot()).toBe(0)
  expect(ulps(portable.hypot(3e200, 4e200), 5e200)).toBeLessThanOrEqual(1)
  expect(ulps(portable.hypot(3e-200, -4e-200), 5e-200)).toBeLessThanOrEqual(1)
  expect(Number.isNaN(portable.hypot(Number.NaN, 1))).toBe(true)
  expect(portable.acos(-1)).toBe(Math.PI)
  expect(Number.isNaN(portable.asin(1.1))).toBe(true)
  expect(portable.pow(-2, 3)).toBe(-8)
  expect(portable.pow(2, -2)).toBe(0.25)
})
