import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { progressLine } from '../../src/cli/progress-line.ts'
import { type Progress, timeWords } from '../../src/job/send.ts'

const words = { timeWords }
const under = (name: string): Progress => ({
  state: 'sending',
  under: `${name}, copy 2 of 4 (kiss)`,
  reach: { from: 0, cut: 90, begun: 90 },
  down: 250,
  ofDown: 5000,
  left: 30,
  sent: 100,
  ofSent: 378,
})
const states = ['opening', 'sending', 'pausing', 'paused', 'stopping', 'finishing', 'ended'] as const

describe('the line that tells of a run', () => {
  test('says name, tool, length and time', () => {
    const line = progressLine(under('lid'), words, 79)
    expect(line).toBe('lid, copy 2 of 4 (kiss): 0.25 of 5.00 m, about 30 s left')
  })

  test('shortens the name first where it is too long', () => {
    const whole = progressLine(under('lamp shade, upper half'), words, 200)
    const short = progressLine(under('lamp shade, upper half'), words, whole.length - 5)
    // Five too many: six letters go for the sign that stands for them.
    expect(short).toBe(whole.replace('lamp shade, upper half', 'lamp shade, uppe…'))
  })

  test('fits every width, and keeps copy and time left where there is room for them', () => {
    const texts = fc.record({ name: fc.string({ unit: 'grapheme' }), columns: fc.integer({ min: 0, max: 120 }) })
    fc.assert(
      fc.property(texts, fc.constantFrom(...states), ({ name, columns }, state) => {
        const line = progressLine({ ...under(name), state }, words, columns)
        expect(line.length).toBeLessThanOrEqual(columns)
        if (state === 'sending' && columns >= 60) expect(line).toMatch(/, copy 2 of 4 \(kiss\): .* left$/su)
      }),
    )
  })

  test('does not go from piece to piece while the machine empties its buffer after a stop', () => {
    const lines = ['lid', 'flask', 'tin'].map((name) => progressLine({ ...under(name), state: 'stopping' }, words, 79))
    expect(new Set(lines)).toEqual(new Set(['Stopping: it does what it still has in its buffer, then lifts and parks']))
  })
})
