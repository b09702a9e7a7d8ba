import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { combineReadings, type TapeClass, tapeErrorLimit } from '../../src/measure/readings.ts'

describe('the error limit of a tape', () => {
  // a + b L, L rounded up to whole metres: Directive 2014/32/EU Annex X (MI-008); UK SI 2016/1153 Schedule 1I
  const lengths = [0.7, 1, 1.5, 3, 5, 8]
  test.each<[TapeClass, readonly number[]]>([
    ['I', [0.2, 0.2, 0.3, 0.4, 0.6, 0.9]],
    ['II', [0.5, 0.5, 0.7, 0.9, 1.3, 1.9]],
    ['III', [1.0, 1.0, 1.4, 1.8, 2.6, 3.8]],
  ])('of class %s is that of the directive at 0.7, 1, 1.5, 3, 5 and 8 m', (tape, limits) => {
    lengths.forEach((metres, i) => {
      expect(tapeErrorLimit(metres * 1000, tape)).toBeCloseTo(limits[i] ?? Number.NaN, 12)
    })
  })

  test('is the same for a negative allowance', () => {
    expect(tapeErrorLimit(-1500, 'II')).toBe(tapeErrorLimit(1500, 'II'))
  })
})

describe('repeated readings', () => {
  test('give their mean, their spread, and the spreads that the tape and then the hand explain', () => {
    const combined = combineReadings([251, 252, 251.5, 251.5], 'II')
    expect(combined).toEqual({ mean: 251.5, spread: 1, explained: 1, most: 3, verdict: 'agree' })
  })

  test('are in doubt only past twice the limit, for two may be off by it opposite ways', () => {
    expect(combineReadings([251.5, 252.5], 'II').verdict).toBe('agree')
    expect(combineReadings([251.5, 252.6], 'II').verdict).toBe('doubtful')
    expect(combineReadings([251.5, 252.6], 'III').verdict).toBe('agree')
    expect(combineReadings([251.5, 252], 'I').verdict).toBe('doubtful')
  })

  test('that differ by just twice the limit stay free of doubt where tenths are not exact', () => {
    expect(255.1 - 254.7).toBeGreaterThan(0.4)
    expect(combineReadings([254.7, 255.1], 'I').verdict).toBe('agree')
  })

  // common practice: four limits of the tape, no less than 3 mm nor 1 %
  test.each<[string, readonly number[], TapeClass, number]>([
    ['3 mm on short lengths', [100, 102], 'II', 3],
    ['1 % of longer ones', [798, 802], 'II', 8],
    // class III at 250 mm: 0.6 + 0.4 = 1 mm
    ['four limits where they are more', [249, 251], 'III', 4],
    ['and alike below 0', [-798, -802], 'II', 8],
  ])('may be apart by %s', (_, [a = 0, b = 0], tape, most) => {
    expect(combineReadings([a, b], tape).most).toBeCloseTo(most, 9)
    const middle = (a + b) / 2
    expect(combineReadings([middle - most / 2, middle + most / 2], tape).verdict).toBe('doubtful')
    expect(combineReadings([middle - most / 2 - 0.01, middle + most / 2], tape).verdict).toBe('apart')
  })

  test('of a calliper may be apart by 0.1 mm or a tenth', () => {
    expect(combineReadings([0.08, 0.12], 'calliper').verdict).toBe('agree')
    expect(combineReadings([0.08, 0.18], 'calliper').verdict).toBe('doubtful')
    expect(combineReadings([0.08, 0.8], 'calliper').verdict).toBe('apart')
    expect(combineReadings([2, 2.2], 'calliper')).toMatchObject({ most: expect.closeTo(0.21, 9), verdict: 'doubtful' })
  })

  test('of one alone are that one', () => {
    expect(combineReadings([95], 'I')).toMatchObject({ mean: 95, spread: 0, verdict: 'agree' })
  })

  test('are refused when there is none', () => {
    expect(() => combineReadings([], 'II')).toThrow(RangeError)
  })

  test('do not depend on their order', () => {
    const readings = fc.array(fc.integer({ min: 0, max: 100_000 }), { minLength: 1 })
    fc.assert(
      fc.property(readings, (list) => {
        expect(combineReadings([...list].reverse(), 'II')).toEqual(combineReadings(list, 'II'))
      }),
    )
  })

  test('may be very many', () => {
    expect(combineReadings(new Array<number>(300_000).fill(7), 'II')).toMatchObject({ mean: 7, spread: 0 })
  })
})
