import { compareStates } from './better-state.ts'
import { boxesOf, putBoxes, stripWidth } from './box-search.ts'
import { shorterBoxes } from './boxes.ts'
import { compacted, freed, mostPressed } from './compact.ts'
import { goBack, type Kept, keep } from './field.ts'
import { layFirst } from './first-layout.ts'
import { applyGoal, type Goal, goalsOf, openAs, swapTwo } from './goals.ts'
import { isLegal } from './legal.ts'
import type { NestState } from './problem.ts'
import { mostSearched, type Search, stateOf, withDiscs } from './search.ts'
import { separate } from './separate.ts'
import { settle } from './settle.ts'
import { startsOf } from './starts.ts'

/** Where all pieces are upright boxes: pauses spent on orders of them before the next try at anything else, and the work between two. */
const pausesOnBoxes = 500
const boxWork = 150

/** The least a try costs, about nanoseconds; see `Field.work`. */
const workOfTry = 1e5

/** Better and better layouts; undefined when there is none yet but time to pause. Ends when nothing is left to be tried. */
export function* improved(search: Search, round: () => number): Generator<NestState | undefined, void> {
  const { field, problem, chance } = search
  let best: NestState | undefined
  let bestKept = keep(field)
  for (const start of startsOf(search)) {
    for (const plot of field.plots) plot.limit = plot.highX
    yield* layFirst(field, start)
    const state = stateOf(search, round())
    if (isLegal(problem, state, search.rules) && (!best || compareStates(state, best) < 0)) {
      best = state
      bestKept = keep(field)
    }
  }
  if (!best) return
  goBack(field, bestKept)
  best = yield* tidied(search, best)
  bestKept = keep(field)
  yield best
  if (field.free === 0 || field.free > mostSearched) return
  yield* withDiscs(search)
  const groups = problem.pieces.map((piece) => piece.group)
  const groupAt = search.pieceAt.map((i) => groups[i])
  const boxes = boxesOf(search, best)
  const boxSteps =
    boxes &&
    shorterBoxes(
      boxes.map((box) => box.map(({ way }) => way)),
      stripWidth(field),
      chance,
    )
  let step = 0.02
  let fails = 0
  const pool: { readonly kept: Kept; readonly loss: number }[] = []
  let fineSteps = 0
  for (;;) {
    if (boxes && boxSteps) {
      for (let k = 0; k < pausesOnBoxes; k++) {
        const shorter = boxSteps.next().value
        field.work += boxWork * field.free * field.free
        yield undefined
        if (!shorter || shorter.length >= (best.used[0] as number)) continue
        putBoxes(field, boxes, shorter.places)
        const state = stateOf(search, round())
        if (!isLegal(problem, state, search.rules) || compareStates(state, best) >= 0) continue
        best = yield* settled(search, state)
        bestKept = keep(field)
        yield best
      }
    }
    goBack(field, bestKept)
    openAs(field, problem, best)
    const goals = goalsOf(search, best)
    if (goals.length === 0 || (best.paid > 0 && best.paid <= best.atLeast && goals.every(isShorten))) return
    const goal = goals[Math.floor(chance() * goals.length)] as Goal
    const isFine = fineSteps > 0
    const isPooled = goal.kind === 'shorten' && !isFine && fails > 0 && pool.length > 0
    const ratio = isFine ? 0.0005 * 0.6 ** (6 - fineSteps) : step
    if (isPooled) {
      const pick = Math.min(pool.length - 1, Math.floor(Math.abs(chance() + chance() - 1) * 0.6 * pool.length))
      goBack(field, (pool[pick] as { readonly kept: Kept }).kept)
      swapTwo(field, chance)
    } else if (!applyGoal(search, best, goal, ratio)) {
      field.work += workOfTry
      if (goal.kind === 'shorten') step = Math.max(0.001, step / 2)
      yield undefined
      continue
    }
    // a try may come to nothing at once, and time to pause must come all the same
    field.work += workOfTry
    yield undefined
    const patience = isFine
      ? { sweeps: 60, starts: 1 }
      : step > 0.0015
        ? { sweeps: 30, starts: 1 }
        : { sweeps: 40, starts: 2 }
    const groupPlots = new Map(search.boundTo)
    for (let i = 0; i < field.free; i++) {
      const group = groupAt[i]
      if (group !== undefined && (field.plot[i] as number) >= 0) groupPlots.set(group, field.plot[i] as number)
    }
    const mayLie = (piece: number, plot: number) => {
      const group = groupAt[piece]
      return group === undefined || groupPlots.get(group) === plot
    }
    const result = yield* separate(field, mayLie, patience, chance)
    const ended: NestState | undefined = result.done ? stateOf(search, round()) : undefined
    const isLess: boolean =
      ended !== undefined && isLegal(problem, ended, search.rules) && compareStates(ended, best) < 0
    const state: NestState | undefined = isLess
      ? ended
      : goal.kind === 'shorten'
        ? yield* freed(search, best, goal.bed, round())
        : undefined
    if (state) {
      best = yield* tidied(search, state)
      bestKept = keep(field)
      fails = 0
      pool.length = 0
      if (goal.kind === 'shorten' && fineSteps === 0) step = Math.min(0.04, step * 1.5)
      yield best
      continue
    }
    if (goal.kind !== 'shorten') continue
    if (isFine) {
      fineSteps--
      if (fineSteps === 0) fails = 0
      continue
    }
    if (step > 0.001) {
      step = Math.max(0.001, step / 2)
      pool.length = 0
      continue
    }
    fails++
    pool.push({ kept: keep(field), loss: result.loss })
    pool.sort((a, b) => a.loss - b.loss)
    if (fails >= 6) {
      fineSteps = 6
      pool.length = 0
    }
  }
}

/** Below this two layouts pay the same, as a share. */
const same = 1e-9

/** The layout in the field slid together and, unless there are too many pieces for it, pressed together and slid again. */
function* tidied(search: Search, state: NestState): Generator<undefined, NestState> {
  const slid = yield* settled(search, state)
  if (search.field.free > mostPressed) return slid
  return yield* settled(search, yield* compacted(search, slid))
}

/**
 * The layout in the field, `state`, after its pieces have slid low and left. Left in the field is what is to be searched on
 * from: the settled one where it is paid with less, else the one that was there, whose looser pieces leave more ways open.
 */
function* settled(search: Search, state: NestState): Generator<undefined, NestState> {
  const { field, problem, rules } = search
  const before = keep(field)
  yield* settle(field)
  const after = stateOf(search, state.round)
  const isBetter = isLegal(problem, after, rules) && compareStates(after, state) <= 0
  if (!isBetter || after.paid >= state.paid * (1 - same)) goBack(field, before)
  return isBetter ? after : state
}

const isShorten = (goal: Goal): boolean => goal.kind === 'shorten'
