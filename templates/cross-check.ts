import { tapeErrorLimit } from '../src/measure/readings.ts'
import type { Warning } from '../src/measure/warning.ts'
import type { Say } from '../src/panel/template.ts'

/** A reading that others give as well, all lengths in mm. */
interface CrossCheck {
  /** the field that was read */
  readonly field: string
  readonly read: number
  /** what the other measures make of it */
  readonly wanted: number
  /** how many readings of a tape bear on the difference */
  readonly readings: number
  /** what the film is made to, such as `the other measures` */
  readonly madeTo: string
}

/** Doubts a reading that differs from what others give by more than all their tapes may be off. */
export function crossDoubts({ field, read, wanted, readings, madeTo }: CrossCheck, say: Say): Warning[] {
  const off = read - wanted
  const explained = readings * tapeErrorLimit(read, 'II')
  if (Math.abs(off) <= explained) return []
  const text = `${field} is ${say(Math.abs(off))} ${off < 0 ? 'less' : 'more'} than the other measures give, and ${readings} readings by a class II tape explain ${say(explained)}. The film is made to ${madeTo}. Measure again what you trust least.`
  return [{ text, field }]
}
