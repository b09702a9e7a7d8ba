import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Base, decodeNumber, decodePolyline, encodeNumber } from '../../../src/file/hpgl/encoded.ts'

const codes = (text: string) => Array.from(text, (c) => c.charCodeAt(0))
const bytes = (text: string) => Uint8Array.from(codes(text))
const items = (text: string) => {
  const found = decodePolyline(bytes(text), 0)
  const all = [...found]
  return all
}

describe('numbers of encoded polylines', () => {
  test('10 525 comes out as published: HP 5961-0509, pages 20-38 to 20-40', () => {
    expect(codes(encodeNumber(10525, 64))).toEqual([121, 71, 196])
    expect(codes(encodeNumber(10525, 32))).toEqual([89, 80, 115])
    expect(encodeNumber(10525, 32)).toBe('YPs')
  })

  test('10 602, which is 82.83 with seven fractional bits, worked by hand: 21 204 = 20 + 11 x 64 + 5 x 64^2', () => {
    expect(codes(encodeNumber(10602, 64))).toEqual([63 + 20, 63 + 11, 191 + 5])
    // 21 204 = 20 + 22 x 32 + 20 x 32^2
    expect(codes(encodeNumber(10602, 32))).toEqual([63 + 20, 63 + 22, 95 + 20])
  })

  // Twice the size with the sign in the lowest bit, least digit first, by hand from HP 5961-0509, page 20-38.
  test.each([
    [0, [0xbf], '_'],
    [1, [0xc1], 'a'],
    [-1, [0xc2], 'b'],
    [31, [0xfd], ']`'],
    [32, [0x3f, 0xc0], '?a'],
    [-32, [0x40, 0xc0], '@a'],
    [400, [0x5f, 0xcb], '?x'],
    [-400, [0x60, 0xcb], '@x'],
    [4000, [0x3f, 0x7c, 0xc0], '?Yf'],
    [-4000, [0x40, 0x7c, 0xc0], '@Yf'],
    [2 ** 30 - 1, [0x7d, 0x7e, 0x7e, 0x7e, 0x7e, 0xc0], ']^^^^^`'],
    [-(2 ** 30), [0x40, 0x3f, 0x3f, 0x3f, 0x3f, 0xc1], '@?????a'],
  ])('%d in both bases', (value, eight, seven) => {
    expect(codes(encodeNumber(value, 64))).toEqual(eight)
    expect(encodeNumber(value, 32)).toBe(seven)
    expect(decodeNumber(Uint8Array.from(eight), 0, 64)).toEqual({ value, at: eight.length })
    expect(decodeNumber(bytes(seven), 0, 32)).toEqual({ value, at: seven.length })
  })

  test('every number comes back, from bytes that are all in their ranges', () => {
    const value = fc.integer({ min: -(2 ** 30), max: 2 ** 30 - 1 })
    fc.assert(
      fc.property(value, fc.constantFrom<Base>(64, 32), (number, base) => {
        const text = encodeNumber(number, base)
        const [first, last] = base === 64 ? [191, 254] : [95, 126]
        expect(codes(text.slice(0, -1)).every((b) => b >= 63 && b < 63 + base)).toBe(true)
        expect(text.charCodeAt(text.length - 1)).toBeGreaterThanOrEqual(first)
        expect(text.charCodeAt(text.length - 1)).toBeLessThanOrEqual(last)
        expect(decodeNumber(bytes(text), 0, base)).toEqual({ value: number, at: text.length })
      }),
      { numRuns: 1000 },
    )
  })

  test.each([0.5, Number.NaN, Infinity, 2 ** 30, -(2 ** 30) - 1])('%d is refused', (value) => {
    expect(() => encodeNumber(value, 64)).toThrow(RangeError)
  })

  test('blanks and idle bytes inside a number are passed over: HP 5961-0509, page 20-36', () => {
    const spread = Uint8Array.of(0x20, 121, 0x0a, 0x80, 71, 0xa0, 0xff, 196)
    expect(decodeNumber(spread, 0, 64)).toEqual({ value: 10525, at: 8 })
  })
})

describe('items of encoded polylines', () => {
  const pair = { up: false, absolute: false }

  test('pairs, flags with either eighth bit, a pen and fractional bits', () => {
    // `<` and `=` once plain and once with the eighth bit; a pen of 2 is 4 = 195; 7 bits are 14 = 205
    const text = `<=${encodeNumber(100, 64)}${encodeNumber(-3, 64)}\u00ba${String.fromCharCode(195)}>${String.fromCharCode(
      205,
    )}yG\u00c4${encodeNumber(0, 64)}\u00bc\u00bd${encodeNumber(128, 64)}${encodeNumber(-64, 64)};`
    expect(items(text)).toEqual([
      { kind: 'pair', x: 100, y: -3, up: true, absolute: true, offset: 2, end: 5 },
      { kind: 'pen', pen: 2, offset: 6 },
      // 10 525 / 128, as published beside the bytes 121, 71, 196
      { kind: 'pair', ...pair, x: 82.2265625, y: 0, offset: 9, end: 13 },
      { kind: 'pair', x: 1, y: -0.5, up: true, absolute: true, offset: 15, end: 19 },
    ])
  })

  test('what cannot be meant is told with its byte, and the rest is read', () => {
    const told = (text: string) =>
      items(text).map((item) => (item.kind === 'fault' ? [item.offset, item.fault.error, item.fault.code] : item.kind))
    expect(told('7_;')).toEqual([[2, 2, 'odd_coordinate']])
    expect(told('7_<__;')).toEqual([[2, 3, 'wrong_byte'], 'pair'])
    expect(told('7!__;')).toEqual([[1, 3, 'wrong_byte'], 'pair'])
    expect(told('7__??;')).toEqual(['pair', [3, 3, 'wrong_byte']])
    // 27 fractional bits: 54 = 22 + 1 x 32
    expect(told('7>U`__;')).toEqual([[2, 3, 'out_of_range'], 'pair'])
  })

  test('an end of data before the `;` is no end', () => {
    const endOf = (text: string) => {
      const found = decodePolyline(bytes(text), 0)
      let next = found.next()
      while (!next.done) next = found.next()
      return next.value
    }
    expect(endOf('7__;PU')).toEqual({ at: 4, ended: true })
    expect(endOf('7__')).toEqual({ at: 3, ended: false })
    expect(endOf('7__?')).toEqual({ at: 4, ended: false })
    expect(endOf('')).toEqual({ at: 0, ended: false })
  })
})
