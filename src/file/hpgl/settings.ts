import type { Operation } from '../../stroke/stroke.ts'
import type { HpglOptions, HpglTool } from './write.ts'

/** Bytes in a line unless said, and the least: a pen-down command with one pair of the longest coordinates fits. */
export const usualLineBytes = 80
export const leastLineBytes = 40

/** Coordinate limits: a signed 16-bit integer in HP-GL, 30 bits in HP-GL/2. */
export const narrowLimit = 32767
export const wideLimit = 2 ** 30 - 1

/** Largest machine coordinate, units. */
export const rangeOf = ({ range, wideRange }: Pick<HpglOptions, 'range' | 'wideRange'>): number =>
  range ?? (wideRange ? wideLimit : narrowLimit)

/** What does an operation, if anything. */
export function toolOf(operation: Operation, { pens, tools }: HpglOptions): HpglTool | undefined {
  if (tools) return tools[operation]
  const number = pens[operation]
  return number === undefined ? undefined : { number }
}
