import type { NestState } from './problem.ts'

const unplaced = (state: NestState): number => state.places.reduce((sum, place) => sum + (place ? 0 : 1), 0)
const inUse = (state: NestState): number => state.used.reduce((sum, length) => sum + (length > 0 ? 1 : 0), 0)
const emptiest = (state: NestState): number =>
  state.used.reduce((least, length) => (length > 0 && length < least ? length : least), Infinity)

/**
 * Which of two layouts of one problem is better: negative when `a` is. Most pieces placed, then least film paid, then
 * fewest beds, then the least used of the emptiest bed. Of equal ones the first in a list is to be kept.
 */
export function compareStates(a: NestState, b: NestState): number {
  return unplaced(a) - unplaced(b) || a.paid - b.paid || inUse(a) - inUse(b) || emptiest(a) - emptiest(b) || 0
}
