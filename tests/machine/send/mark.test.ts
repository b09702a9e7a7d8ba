import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { formatMark, readMark } from '../../../src/machine/send/mark.ts'
import { partWords } from '../../../src/machine/send/parts.ts'
import { planSend, type SendPlan } from '../../../src/machine/send/plan.ts'
import { formatProblem } from '../../../src/measure/problem.ts'
import { lidBytes, lidPlan, lids } from './jobs.ts'

/** What is drawn and cut of two lids, beside a cross; the second lid's tick is cut in passing, before the first lid. */
const owners = [
  ['lining-up cross 1', undefined, 'through'],
  ['lid 1: tick', 'lid, copy 1 of 20', 'kiss'],
  ['lid 2: tick', 'lid, copy 2 of 20', 'kiss'],
  ['lid 1: outline', 'lid, copy 1 of 20', 'kiss'],
  ['lid 2: outline', 'lid, copy 2 of 20', 'kiss'],
  ['lid 20: label', 'lid, copy 20 of 20', 'pen'],
  ['lid 20: outline', 'lid, copy 20 of 20', 'kiss'],
] as const
const plan: SendPlan = planSend('lids.hpgl', lidBytes('strict'), {
  names: owners.map(([name, piece, operation]) => ({ name, piece, operation, lines: 1 })),
})

const lineAt = (text: string): number | string => {
  const found = readMark(text, plan)
  return 'code' in found ? formatProblem(found) : found.line
}

describe('the parts of a file', () => {
  test('are one a piece and tool, however its lines are strewn', () => {
    expect(plan.parts.map((part) => [partWords(part), part.lines, part.isPiece])).toEqual([
      ['lining-up cross 1 (through)', [0], false],
      ['lid, copy 1 of 20 (kiss)', [1, 3], true],
      ['lid, copy 2 of 20 (kiss)', [2, 4], true],
      ['lid, copy 20 of 20 (pen)', [5], true],
      ['lid, copy 20 of 20 (kiss)', [6], true],
    ])
  })

  test('are called by where they lie where no report tells', () => {
    const { parts } = planSend('lids.hpgl', lidBytes('strict', lids.slice(2)))
    expect(parts.map(partWords)).toEqual([
      'outline at 80, 10 (pen 2)',
      'outline at 10, 10 (pen 1)',
      'outline at 80, 10 (pen 1)',
    ])
    const loose = planSend('lids.hpgl', lidBytes('strict', lids.slice(0, 3)))
    expect(loose.parts.map((part) => [partWords(part), part.isPiece])).toEqual([
      ['loose lines at 30, 10 (pen 2)', false],
    ])
  })
})

describe('a place to begin with', () => {
  test.each([
    ['lid, copy 2 of 20, kiss', 2],
    ['lid, copy 2 of 20', 2],
    ['Lid, copy 2', 2],
    ['lid 2', 2],
    ['lid copy 2 (kiss)', 2],
    ['lid, copy 2, kiss, line 2', 4],
    ['lid 2 line 2 point 3', 4],
    ['lid, copy 20, pen', 5],
    ['lining', 0],
  ])('%s', (text, line) => {
    expect(lineAt(text)).toBe(line)
  })

  test.each([
    ['lidd, copy 2 of 20', 'Did you mean "lid, copy 2 of 20"?'],
    ['flask', 'in the file are "lid, copy 1 of 20", "lid, copy 2 of 20" and "lid, copy 20 of 20".'],
    ['lid', 'that fits more than one. Say which: "lid, copy 1 of 20, kiss", "lid, copy 2 of 20, kiss"'],
    ['lid 20', 'lid, copy 20 of 20 is done by pen and by kiss. Say which: "lid, copy 20 of 20, pen" or'],
    ['lid 2, line 3', 'lid, copy 2 of 20 (kiss) has 2 lines. Give one of these, or none.'],
    ['4.2', 'in the file are'],
    ['  ', 'in the file are'],
  ])('is refused with what to do: %s', (text, words) => {
    expect(lineAt(text)).toContain(words)
  })

  test('does not take the beginning of a number for the number', () => {
    const few = planSend('lids.hpgl', lidBytes('strict'), {
      names: owners.map(([name, piece, operation]) => ({
        name,
        piece: piece?.replace('copy 2 ', 'copy 21 '),
        operation,
        lines: 1,
      })),
    })
    expect(readMark('lid 2', few)).toMatchObject({ code: 'no_such_place' })
  })

  test('is read as it is written, for every line and point and whatever a piece is called', () => {
    const any = lidPlan()
    const named = fc.array(fc.string({ minLength: 1 }), { minLength: any.parts.length, maxLength: any.parts.length })
    fc.assert(
      fc.property(named, fc.nat({ max: 6 }), fc.integer({ min: 1, max: 99 }), (names, line, point) => {
        const parts = any.parts.map((part, i) => ({ ...part, name: `${i} ${names[i]} lid` }))
        const own = { ...any, parts }
        expect(readMark(formatMark(own, { line, point }), own)).toEqual({ line, point })
      }),
    )
  })
})
