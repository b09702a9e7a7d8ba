import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readLength, type Unit, units, writeLength } from '../../src/measure/length.ts'
import { formatProblem, type Problem } from '../../src/measure/problem.ts'

function mmOf(text: string | number, unit: Unit = 'mm'): number {
  const read = readLength(text, unit, 'girth')
  if ('problem' in read) throw new Error(formatProblem(read.problem))
  return read.mm
}

function problemOf(text: string | number, unit: Unit = 'mm'): Problem {
  const read = readLength(text, unit, 'girth')
  if ('mm' in read) throw new Error(`${text} was read as ${read.mm} mm`)
  return read.problem
}

describe('a length is read', () => {
  test.each<[string | number, Unit, number]>([
    [9.5, 'mm', 9.5],
    [9.5, 'cm', 95],
    [-2, 'mm', -2],
    ['9.5', 'mm', 9.5],
    ['9,5', 'cm', 95],
    ['.5', 'in', 12.7],
    ['1234.5', 'mm', 1234.5],
    ['1.234 m', 'mm', 1234],
    ['0,400 m', 'mm', 400],
    ['1234,567', 'mm', 1234.567],
    ['3 7/16', 'in', 87.3125],
    ['1/2', 'ft', 152.4],
  ])('%s in %s by default as %d mm', (text, unit, mm) => {
    expect(mmOf(text, unit)).toBeCloseTo(mm, 9)
  })

  test.each<[string, number]>([
    ['95 mm', 95],
    ['95mm', 95],
    ['  95  MM ', 95],
    ['95\u00a0mm', 95],
    ['95 millimetres', 95],
    ['9.5 cm', 95],
    ['9,5 centimeters', 95],
    ['0.4 m', 400],
    ['0.4 metres', 400],
    ['1 meter', 1000],
    ['1/2 in', 12.7],
    ['1 / 2 in', 12.7],
    ['0 1/2 in', 12.7],
    ['63/64 in', 25.003125],
    ['1 inch', 25.4],
    ['2 inches', 50.8],
    ['2 in.', 50.8],
    ['2"', 50.8],
    ['1 foot', 304.8],
    ["6'", 1828.8],
    ['5.25 ft', 1600.2],
    ['5 1/2 ft', 1676.4],
    ['5 feet 3 inches', 1600.2],
    ['5 ft. 3 in.', 1600.2],
    [`5' - 3"`, 1600.2],
    [`0' 11.5"`, 292.1],
  ])('in its own unit: %s', (text, mm) => {
    expect(mmOf(text, 'cm')).toBeCloseTo(mm, 9)
  })

  // 3.4375 x 25.4 = 87.3125, with the inch as 25.4 mm (International yard and pound agreement, 1959)
  test.each([
    '3 7/16 in',
    '3-7/16 in',
    '3-7/16"',
    '3 7/16\u2033',
    '3 7/16\u201d',
    "3 7/16''",
    '3 7/16\u2032\u2032',
    '3 7\u204416 in',
    '3.4375 in',
    '3,4375 inches',
    '3 28/64 in',
  ])('3 7/16 in as just 87.3125 mm: %s', (text) => {
    expect(mmOf(text)).toBe(87.3125)
  })

  // 63.4375 x 25.4 = 1611.3125
  test.each([
    `5' 3 7/16"`,
    `5' 3-7/16"`,
    `5'3-7/16"`,
    `5'3 7/16"`,
    `5'-3 7/16"`,
    '5 ft 3 7/16 in',
    '5ft 3-7/16in',
    '5 ft 3.4375 in',
    '5 feet 3 7/16 inches',
    '5\u2032 3 7/16\u2033',
    '5\u2019 3 7/16\u201d',
    '63 7/16 in',
    '63.4375"',
    `+5' 3 7/16"`,
  ])('5 ft 3 7/16 in as just 1611.3125 mm: %s', (text) => {
    expect(mmOf(text)).toBe(1611.3125)
  })

  test.each<[string, number]>([
    ['½ in', 0.5],
    ['½"', 0.5],
    ['3½ in', 3.5],
    ['3 ½ in', 3.5],
    ['3-½"', 3.5],
    ['-½"', -0.5],
    ['⅞ in', 0.875],
    [`5' 3¼"`, 63.25],
    [`5'-¾"`, 60.75],
  ])('with a fraction character: %s', (text, inches) => {
    expect(mmOf(text)).toBeCloseTo(inches * 25.4, 9)
  })

  test.each<[string, number]>([
    ['-2 mm', -2],
    ['\u22122 mm', -2],
    ['- 2 mm', -2],
    ['+2 mm', 2],
    ['-3 7/16 in', -87.3125],
    [`-5' 3 7/16"`, -1611.3125],
  ])('with a sign for the whole of it: %s', (text, mm) => {
    expect(mmOf(text)).toBe(mm)
  })

  test.each(['-0', '-0.0 mm', -0, '-0/2 in'])('and nothing has no sign: %s', (text) => {
    expect(mmOf(text)).toBe(0)
  })
})

describe('a length is refused', () => {
  test.each<[string, string | number, string]>([
    ['an empty text', '', 'empty_length'],
    ['blanks', ' \t\n', 'empty_length'],
    ['no number', Number.NaN, 'not_finite'],
    ['an endless number', Number.POSITIVE_INFINITY, 'not_finite'],
    ['NaN in words', 'NaN', 'not_finite'],
    ['infinity in words', '-Infinity', 'not_finite'],
    ['an exponent', '1e3', 'exponent'],
    ['an exponent before a unit', '1.5E+3 mm', 'exponent'],
    ['thousands the English way', '1,234.5', 'thousands_separator'],
    ['thousands the German way', '1.234,5', 'thousands_separator'],
    ['thousands twice', '1,234,567 mm', 'thousands_separator'],
    ['thousands by a blank', '1 234 mm', 'thousands_separator'],
    ['thousands by a blank, with decimals', '1 234,5 mm', 'thousands_separator'],
    ['a comma that may be either', '1,234 mm', 'ambiguous_comma'],
    ['thousands the Swiss way', "1'234.5", 'missing_unit'],
    ['an unknown unit', '3 furlongs', 'unknown_unit'],
    ['a word', 'wide', 'unknown_unit'],
    ['square feet', '3 square feet', 'unknown_unit'],
    ['metres with inches', '1 m 3 in', 'mixed_units'],
    ['metres with centimetres', '1 m 20 cm', 'mixed_units'],
    ['inches before feet', '3 in 5 ft', 'mixed_units'],
    ['three parts', '5 ft 3 in 2 in', 'mixed_units'],
    ['thirds', '1/3 in', 'bad_fraction'],
    ['the character for a third', '1⅓ in', 'bad_fraction'],
    ['tenths', '3 7/10 in', 'bad_fraction'],
    ['a fraction of nothing', '1/0 in', 'bad_fraction'],
    ['finer than 1/64', '1/128 in', 'bad_fraction'],
    ['a fraction over 1', '17/16 in', 'bad_fraction'],
    ['a fraction far over 1', '5 100/64 in', 'bad_fraction'],
    ['a fraction of 1', '3 2/2 in', 'bad_fraction'],
    ['a fraction of mm', '1/2 mm', 'fraction_unit'],
    ['a bare fraction', '1/2', 'fraction_unit'],
    ['twelve inches after feet', '5 ft 12 in', 'inches_after_feet'],
    ['inches without their unit after feet', "5' 3", 'missing_unit'],
    ['broken feet before inches', '5.5 ft 3 in', 'feet_not_whole'],
    ['a broken fraction of inches after feet', '5 ft 3 1/3 in', 'bad_fraction'],
    ['broken feet in thousands before inches', '1,234 ft 3 in', 'ambiguous_comma'],
    ['a unit alone', 'mm', 'unreadable_length'],
    ['a sign alone', '-', 'unreadable_length'],
    ['two signs', '--2 mm', 'unreadable_length'],
    ['a sum', '2 - 3/4 in', 'unreadable_length'],
    ['decimals with a fraction', '3.5 1/2 in', 'unreadable_length'],
    ['a fraction of a fraction', '½/2 in', 'unreadable_length'],
    ['a digit behind a fraction character', '½5 in', 'unreadable_length'],
    ['a point with nothing behind it', '3. mm', 'unreadable_length'],
    ['a very long text', '1'.repeat(500), 'unreadable_length'],
  ])('that is %s: %s', (_, text, code) => {
    const problem = problemOf(text)
    expect(problem.code).toBe(code)
    expect(problem.field).toBe('girth')
    expect(problem.cure).toMatch(/^Write .*\d.*\.$/)
  })

  test('that is too big a number to be held in mm', () => {
    expect(problemOf(1e308, 'm').code).toBe('not_finite')
  })

  test('in a sentence that says what was read and what would do', () => {
    expect(formatProblem(problemOf('1,234  mm'))).toBe(
      'girth is 1,234 mm; a comma before three digits may part off thousands or decimals. Write 1.234 or 1234.',
    )
    expect(formatProblem(problemOf(' 23/16 in'))).toBe(
      'girth is 23/16 in; a fraction is less than 1. Write 1 7/16 if that is meant.',
    )
    expect(problemOf('3 2/2 in').cure).toBe('Write 4 if that is meant.')
    expect(formatProblem(problemOf('  '))).toMatch(/^girth is empty; /)
  })

  test('with no more of the text than a sentence carries, on one line', () => {
    expect(problemOf('1'.repeat(500)).value).toBe(`${'1'.repeat(60)}...`)
    expect(problemOf('wi\n\u0007de').value).toBe('wi de')
  })

  test('never by an exception, whatever was typed', () => {
    const marks = fc.string({ unit: fc.constantFrom(...`0123456789.,/-+ '"½⅓mcinfte′″`), maxLength: 14 })
    fc.assert(
      fc.property(fc.oneof(marks, fc.string({ unit: 'binary' })), fc.constantFrom(...units), (text, unit) => {
        const read = readLength(text, unit, 'height')
        if ('mm' in read) expect(Number.isFinite(read.mm)).toBe(true)
        else expect(formatProblem(read.problem)).not.toContain('\n')
      }),
      { numRuns: 2000 },
    )
  })
})

describe('a length is written', () => {
  test.each<[number, Unit, string]>([
    [95, 'mm', '95 mm'],
    [95.04, 'mm', '95 mm'],
    [9.46, 'mm', '9.5 mm'],
    [-2, 'mm', '-2 mm'],
    [95, 'cm', '9.50 cm'],
    [-2.5, 'cm', '-0.25 cm'],
    [400, 'm', '0.400 m'],
    [87.3125, 'in', '3 7/16 in'],
    [-87.3125, 'in', '-3 7/16 in'],
    [0.396875, 'in', '1/64 in'],
    [12.7, 'in', '1/2 in'],
    [50.8, 'in', '2 in'],
    [25.3, 'in', '1 in'],
    [1611.3125, 'in', '63 7/16 in'],
    [1611.3125, 'ft', '5 ft 3 7/16 in'],
    [1524, 'ft', '5 ft'],
    [1523.9, 'ft', '5 ft'],
    [87.3125, 'ft', '3 7/16 in'],
    [-1611.3125, 'ft', '-5 ft 3 7/16 in'],
  ])('%d mm in %s as %s', (mm, unit, text) => {
    expect(writeLength(mm, unit)).toBe(text)
  })

  test.each<[Unit, string]>([
    ['mm', '0 mm'],
    ['cm', '0.00 cm'],
    ['m', '0.000 m'],
    ['in', '0 in'],
    ['ft', '0 ft'],
  ])('without a sign in %s where it rounds to nothing', (unit, text) => {
    expect([writeLength(-0.04, unit), writeLength(-0, unit), writeLength(0, unit)]).toEqual([text, text, text])
  })

  const resolution: Readonly<Record<Unit, number>> = { mm: 0.1, cm: 0.1, m: 1, in: 25.4 / 64, ft: 25.4 / 64 }

  test.each(units)('in %s such that it is read back within half of what is written, whatever the default', (unit) => {
    const length = fc.double({ min: -100_000, max: 100_000, noNaN: true })
    fc.assert(
      fc.property(length, fc.constantFrom(...units), (mm, other) => {
        expect(Math.abs(mmOf(writeLength(mm, unit), other) - mm)).toBeLessThanOrEqual(resolution[unit] / 2 + 1e-9)
      }),
    )
  })
})
