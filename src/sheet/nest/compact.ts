import { compareStates } from './better-state.ts'
import { goBack, keep } from './field.ts'
import { isLegal } from './legal.ts'
import { press } from './press.ts'
import type { NestState } from './problem.ts'
import { type Search, stateOf } from './search.ts'

/** With more pieces than this on a bed they are not pressed together: the time grows with the square of their number and more. */
export const mostPressed = 200

/** Times that a layout is pressed: room about each piece is chosen anew each time. */
const mostPasses = 8
/** Less gain than this, as a share, is none; and with less than that it is not pressed again. */
const [leastGain, gainToGoOn] = [1e-6, 1e-4]
/** Less gain than this, as a share, is not enough for a layout to be freed. */
const leastFreed = 1e-5
/** Times that pieces which overlap a little are pressed before it is given up. */
const mostTries = 4

const isPressable = ({ problem, field }: Search, b: number): boolean => {
  let count = 0
  for (let i = 0; i < field.free; i++) if (field.plot[i] === b) count++
  return problem.beds[b]?.paid === 'length' && count > 0 && count <= mostPressed
}

/** The layout in the field, `state`, pressed together on beds whose length is paid; what is better stays in the field. Pauses. */
export function* compacted(search: Search, state: NestState): Generator<undefined, NestState> {
  const { field, problem, rules } = search
  let best = state
  for (const b of problem.beds.keys()) {
    for (let pass = 0; pass < mostPasses && isPressable(search, b); pass++) {
      const before = keep(field)
      const isPressed = yield* press(field, b)
      const after = stateOf(search, state.round)
      const isBetter = isPressed && after.paid < best.paid * (1 - leastGain) && isLegal(problem, after, rules)
      if (!isBetter) {
        goBack(field, before)
        break
      }
      const isWorthMore = after.paid < best.paid * (1 - gainToGoOn)
      best = after
      if (!isWorthMore) break
    }
  }
  return best
}

/**
 * A layout better than `best` from what is in the field, where pieces still overlap a little on bed `b`: they are pressed
 * apart and together. Undefined, with the field as it was, when there is none. Pauses.
 */
export function* freed(
  search: Search,
  best: NestState,
  b: number,
  round: number,
): Generator<undefined, NestState | undefined> {
  const { field, problem, rules } = search
  const before = keep(field)
  for (let pass = 0; pass < mostTries && isPressable(search, b); pass++) {
    if (!(yield* press(field, b))) break
    const after = stateOf(search, round)
    const isBetter = compareStates(after, best) < 0 && after.paid < best.paid * (1 - leastFreed)
    if (isBetter && isLegal(problem, after, rules)) return after
  }
  goBack(field, before)
  return undefined
}
