import { type Amount, type Fault, readAmount } from './amount.ts'
import { plainMarks } from './plain-marks.ts'
import type { Problem } from './problem.ts'

export const units = ['mm', 'cm', 'm', 'in', 'ft'] as const
export type Unit = (typeof units)[number]

/** mm in one of each unit; exact by definition, the inch as 25.4 mm. */
export const mmIn: Readonly<Record<Unit, number>> = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 }

const spellings: Readonly<Record<Unit, RegExp>> = {
  mm: /^(mm|millimet(er|re)s?)$/,
  cm: /^(cm|centimet(er|re)s?)$/,
  m: /^(m|met(er|re)s?)$/,
  in: /^("|in\.?|inch|inches)$/,
  ft: /^('|ft\.?|foot|feet)$/,
}

/** No length as people write it is longer than this many characters. */
const mostCharacters = 60

/**
 * A length as people write it, in mm: `9.5`, `9,5`, `95 mm`, `0.4 m`, `3 7/16 in`, `5' 3-7/16"`, `-2 mm`. A bare
 * number is in `defaultUnit`; a number given as such is never anything else. A sign counts for the whole
 * length. Whether a length may be negative or how long it may be is not judged here.
 */
export function readLength(
  text: string | number,
  defaultUnit: Unit,
  field: string,
): { readonly mm: number } | { readonly problem: Problem } {
  const read = typeof text === 'number' ? text * mmIn[defaultUnit] : readText(text, defaultUnit)
  if (typeof read !== 'number') return { problem: { ...read, field, value: asRead(text) } }
  if (!Number.isFinite(read)) return { problem: { ...notFinite, field, value: asRead(text) } }
  return { mm: read === 0 ? 0 : read }
}

const notFinite: Fault = {
  code: 'not_finite',
  limit: 'a length is a finite number',
  cure: 'Write it like 95 mm or 3 7/16 in.',
}

function readText(text: string, defaultUnit: Unit): number | Fault {
  if (text.length > mostCharacters) {
    return {
      code: 'unreadable_length',
      limit: `a length has ${mostCharacters} characters at most`,
      cure: 'Write it like 95 mm or 3 7/16 in.',
    }
  }
  const plain = plainMarks(text)
  if (plain === '') {
    return { code: 'empty_length', limit: 'a length needs a number', cure: 'Write it like 95 mm or 3 7/16 in.' }
  }
  const unsigned = plain.replace(/^[+-] ?/, '')
  if (/^(nan|inf|infinity|\u221e)$/.test(unsigned)) return notFinite
  if (/[\d.,]e[+-]?\d/.test(unsigned)) {
    return { code: 'exponent', limit: 'a length is written without an exponent', cure: 'Write 1500 for 1.5e3.' }
  }
  const read = readUnsigned(unsigned, defaultUnit)
  return typeof read === 'number' && plain.startsWith('-') ? -read : read
}

/** Numbers with their units, one after the other: one of any unit, or feet and then inches. */
function readUnsigned(text: string, defaultUnit: Unit): number | Fault {
  const pairs = [...text.matchAll(/([\d.,/ -]*)([^\d.,/ -]+\.?|$)/g)]
    .map(([, amount = '', word = '']) => ({ amount: amount.trim(), word, unit: unitOf(word) }))
    .filter(({ amount, word }) => amount !== '' || word !== '')
  if (pairs.some(({ word, unit }) => word !== '' && unit === undefined)) {
    return {
      code: 'unknown_unit',
      limit: 'the units are mm, cm, m, in and ft',
      cure: 'Write it like 95 mm, 9.5 cm, 0.4 m, 3 7/16 in or 5 ft 3 in.',
    }
  }
  const [first, second] = pairs
  if (!second) return readOne(first?.amount ?? '', first?.unit ?? defaultUnit)
  if (pairs.length === 2 && first?.unit === 'ft' && second.word === '') {
    return {
      code: 'missing_unit',
      limit: 'inches after feet carry their unit',
      cure: `Write it like 5 ft 3 7/16 in or 5' 3 7/16".`,
    }
  }
  if (pairs.length === 2 && first?.unit === 'ft' && second.unit === 'in') {
    return readFeetAndInches(first.amount, second.amount.replace(/^- ?/, ''))
  }
  return {
    code: 'mixed_units',
    limit: 'a length has one unit, or feet and then inches',
    cure: 'Write 1.2 m for 1 m 20 cm, or 5 ft 3 7/16 in.',
  }
}

const unitOf = (word: string): Unit | undefined => units.find((unit) => spellings[unit].test(word))

function readOne(text: string, unit: Unit): number | Fault {
  const amount = readAmount(text)
  if (isFault(amount)) return amount
  if (amount.form === 'fraction' && unit !== 'in' && unit !== 'ft') {
    return {
      code: 'fraction_unit',
      limit: `a fraction is of inches or feet, and this is read as ${unit}`,
      cure: `Write ${text} in, or decimals like 9.5 ${unit}.`,
    }
  }
  return amount.value * mmIn[unit]
}

function readFeetAndInches(feetText: string, inchText: string): number | Fault {
  const feet = readAmount(feetText)
  const inches = readAmount(inchText)
  if (isFault(feet)) return feet
  if (isFault(inches)) return inches
  if (feet.form !== 'whole') {
    return {
      code: 'feet_not_whole',
      limit: 'feet are whole when inches follow',
      cure: 'Write 5 ft 3 in, or 5.25 ft alone.',
    }
  }
  if (inches.value >= 12) {
    return {
      code: 'inches_after_feet',
      limit: 'inches after feet are less than 12',
      cure: 'Write 5 ft 3 in, or 63 in alone.',
    }
  }
  return (feet.value * 12 + inches.value) * mmIn.in
}

const isFault = (amount: Amount | Fault): amount is Fault => 'code' in amount

/** What was typed, on one line and no longer than a sentence can carry. */
function asRead(text: string | number): string {
  const line = String(text)
    .slice(0, mostCharacters + 1)
    .replace(/[\s\p{Cc}]+/gu, ' ')
    .trim()
  if (line === '') return 'empty'
  return String(text).length > mostCharacters ? `${line.slice(0, mostCharacters)}...` : line
}

/**
 * A length for people: mm to 0.1 with `.0` left off, cm to 0.01, m to 0.001, in and ft to the nearest 1/64 in as
 * `3 7/16 in` and `5 ft 3 7/16 in`. `readLength` reads each back. What rounds to nothing has no sign.
 */
export function writeLength(mm: number, unit: Unit): string {
  const text = writeSize(Math.abs(mm), unit)
  return mm < 0 && /[1-9]/.test(text) ? `-${text}` : text
}

function writeSize(mm: number, unit: Unit): string {
  switch (unit) {
    case 'mm':
      return `${mm.toFixed(1).replace(/\.0$/, '')} mm`
    case 'cm':
      return `${(mm / mmIn.cm).toFixed(2)} cm`
    case 'm':
      return `${(mm / mmIn.m).toFixed(3)} m`
    case 'in':
      return writeInches(sixtyFourths(mm))
    case 'ft': {
      const all = sixtyFourths(mm)
      const feet = Math.floor(all / (12 * 64))
      const rest = all % (12 * 64)
      if (rest === 0) return `${feet} ft`
      return feet === 0 ? writeInches(rest) : `${feet} ft ${writeInches(rest)}`
    }
  }
}

const sixtyFourths = (mm: number): number => Math.round((mm / mmIn.in) * 64)

function writeInches(all: number): string {
  const whole = Math.floor(all / 64)
  let numerator = all % 64
  if (numerator === 0) return `${whole} in`
  let denominator = 64
  while (numerator % 2 === 0) {
    numerator /= 2
    denominator /= 2
  }
  return whole === 0 ? `${numerator}/${denominator} in` : `${whole} ${numerator}/${denominator} in`
}
