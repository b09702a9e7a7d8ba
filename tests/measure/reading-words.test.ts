import { describe, expect, test } from 'vitest'
import type { Unit } from '../../src/measure/length.ts'
import { readLength } from '../../src/measure/length.ts'
import { apartParts } from '../../src/measure/reading-words.ts'
import type { Gauge } from '../../src/measure/readings.ts'

/** Readings as they are typed, in a job in `unit`. */
const told = (typed: readonly (string | number)[], unit: Unit = 'cm', gauge: Gauge = 'II') => {
  const readings = typed.map((text) => {
    const read = readLength(text, unit, '')
    if (!('mm' in read)) throw new Error(`${text} is no length`)
    return { text: String(text), mm: read.mm }
  })
  return apartParts(readings, gauge, unit)
}

describe('readings that contradict each other are refused,', () => {
  test('two with both of them, the limit and what they differ by', () => {
    // 1 % of the mean of 444 mm
    expect(told([53.4, 35.4])).toEqual({
      code: 'readings_apart',
      value: '53.4, 35.4 cm',
      limit: 'readings of one length differ by 0.44 cm at the most, and these do by 18.00 cm',
      cure: 'Measure once more; 53.4 and 35.4 cannot both be right.',
    })
    expect(told(['534 mm', '35.4 cm'])?.value).toBe('534 mm, 35.4 cm')
  })

  test('more with the odd one out', () => {
    expect(told([53.4, 5.34, 53.5])?.cure).toBe('Measure once more; 5.34 is the odd one out.')
    expect(told([534, 534, 543, 543], 'mm')?.cure).toBe('Measure once more; 534 and 543 cannot both be right.')
    expect(told([534, 560, 586], 'mm')?.cure).toBe('Measure once more; 534 and 586 cannot both be right.')
  })

  test('those of a calliper in mm', () => {
    expect(told([0.08, 0.8], 'mm', 'calliper')?.limit).toBe(
      'readings of one length differ by 0.1 mm at the most, and these do by 0.72 mm',
    )
  })
})

describe('decimal commas that part a list', () => {
  test.each<[readonly number[], string]>([
    // [53,4, 53,5, 53,4] and [53,4]
    [[53, 4, 53, 5, 53, 4], '53.4'],
    [[53, 4], '53.4'],
    // 7,25 twice
    [[7, 25, 7, 25], '7.25'],
  ])('are guessed in %j: %s', (typed, first) => {
    expect(told(typed)?.cure).toContain(`write ${first} or quote '${first.replace('.', ',')}' if that is meant`)
  })

  test.each<[readonly (string | number)[]]>([
    [[53.4, 35.4]],
    [[534, 354]],
    // an odd number of them, and pairs that do not agree either
    [[53, 4, 53]],
    [[53, 4, 35, 4]],
    [['53 cm', '4 cm']],
  ])('are not in %j', (typed) => {
    const parts = told(typed)
    expect(parts).toBeDefined()
    expect(parts?.cure).not.toContain('comma')
  })
})

test('readings that only differ by more than the tape explains are not refused', () => {
  expect(told([53.4, 53.9])).toBeUndefined()
  expect(told([53.4])).toBeUndefined()
})
