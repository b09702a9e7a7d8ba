import { improved } from './improve.ts'
import type { Nest, NestState } from './problem.ts'
import { searchOf } from './search.ts'

/** Work of one round, about nanoseconds; see `Field.work`. */
const roundWork = 15e6

/** Lays pieces on beds, better and better; see the contract. */
export const nest: Nest = function* (problem, effort) {
  const search = searchOf(problem, effort.seed)
  let best: NestState = {
    round: 0,
    places: problem.pieces.map((piece) => piece.pinned),
    used: problem.beds.map(() => 0),
    paid: 0,
    atLeast: search.atLeast,
  }
  let round = 0
  let next = roundWork
  const { field } = search
  let isFirst = true
  for (const state of improved(search, () => round)) {
    if (state) {
      best = state
      if (isFirst && effort.rounds === 0) break
      isFirst = false
    }
    if (field.work < next) continue
    next = field.work + roundWork
    if (isFirst) {
      yield best
      continue
    }
    round++
    yield { ...best, round }
    if (round >= effort.rounds) break
  }
  const last = { ...best, round }
  yield last
  return last
}
