import { paidFor } from './beds.ts'
import { improved } from './improve.ts'
import { reachOf } from './legal.ts'
import type { Nest, NestProblem, NestState } from './problem.ts'
import { searchOf } from './search.ts'

/** Work of one round, about nanoseconds; see `Field.work`. */
const roundWork = 15e6
/** Work of one step, of which a round takes a few: the caller waits for no more than this before it may stop. */
const stepWork = 2e6

/** Before there is a layout: nothing lies anywhere but what is pinned. */
function onlyPinned({ pieces, beds }: NestProblem): NestState {
  const used = beds.map(() => 0)
  for (const { region, pinned } of pieces) {
    if (!pinned || used[pinned.bed] === undefined) continue
    used[pinned.bed] = Math.max(used[pinned.bed] ?? 0, reachOf(region.outer, pinned.angle) + pinned.x)
  }
  const paid = beds.reduce((sum, bed, b) => sum + paidFor(bed, used[b] ?? 0), 0)
  return { round: 0, places: pieces.map((piece) => piece.pinned), used, paid, atLeast: 0 }
}

/** Lays pieces on beds, better and better; see the contract. */
export const nest: Nest = function* (problem, effort) {
  let best = onlyPinned(problem)
  const preparing = searchOf(problem, effort.seed)
  let prepared = preparing.next()
  for (; !prepared.done; prepared = preparing.next()) yield best
  const search = prepared.value
  best = { ...best, atLeast: Math.min(search.atLeast, best.paid) }
  let round = 0
  let next = roundWork
  let nextStep = stepWork
  const { field } = search
  let isFirst = true
  let shown = best
  for (const state of improved(search, () => round)) {
    if (state) {
      best = state
      if (isFirst && effort.rounds === 0) break
      isFirst = false
    }
    if (field.work < nextStep) continue
    nextStep = field.work + stepWork
    if (isFirst || field.work < next) {
      // within a round nothing new is told: as many rounds always come to the same
      yield shown
      continue
    }
    next = field.work + roundWork
    round++
    shown = { ...best, round }
    yield shown
    if (round >= effort.rounds) break
  }
  const last = { ...best, round }
  yield last
  return last
}
