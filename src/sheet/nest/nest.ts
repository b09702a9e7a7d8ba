import { chanceOf } from '../../geometry/chance.ts'
import { leastPaid } from './at-least.ts'
import { notBed, paidFor, plotsOf } from './beds.ts'
import { compareStates } from './better-state.ts'
import { type BoxPlace, type BoxTurn, shorterBoxes } from './boxes.ts'
import { type Field, fieldOf, goBack, type Kept, keep, type Plot, put } from './field.ts'
import { type FirstLayout, layFirst } from './first-layout.ts'
import { hair } from './hair.ts'
import { isLegal, type Rules, reachOf, rulesOf } from './legal.ts'
import type { Nest, NestProblem, NestState, Place } from './problem.ts'
import { separate } from './separate.ts'
import { giveDiscs, type Laid, type Shape, shapeOf, shapesOf, turnedBy, turnInto } from './shape.ts'

/** Work of one round, about nanoseconds; see `Field.work`. */
const roundWork = 15e6
/** With more pieces than this only the first layout is made. */
const mostSearched = 1500

/** Where all pieces are upright boxes: pauses spent on orders of them before the next try at anything else, and the work between two. */
const pausesOnBoxes = 500
const boxWork = 150

/** What is no bed may be long and thin. */
const discsOfObstacle = 48

/** The least a try costs, in the same units. */
const workOfTry = 1e5

/** What is searched: the field, and what it was made from. */
interface Search {
  readonly problem: NestProblem
  readonly field: Field
  /** which piece of the problem stands at which index of the field */
  readonly pieceAt: readonly number[]
  readonly atLeast: number
  /** plots that groups are bound to by pinned pieces */
  readonly boundTo: ReadonlyMap<string, number>
  readonly rules: Rules
  readonly chance: () => number
}

function searchOf(problem: NestProblem, seed: number): Search {
  const { pieces, beds } = problem
  const plots = plotsOf(beds)
  const shapes = shapesOf(pieces)
  const movable = pieces.flatMap((piece, i) => (piece.pinned ? [] : [i]))
  const pinned = pieces.flatMap((piece, i) => (piece.pinned ? [i] : []))
  const obstacles = beds.flatMap((bed, b) => notBed(bed).map((region) => ({ b, shape: shapeOf(region, [0]) })))
  const pieceAt = [...movable, ...pinned]
  const all = [...pieceAt.map((i) => shapes[i] as Shape), ...obstacles.map(({ shape }) => shape)]
  const field = fieldOf(all, movable.length, plots, movable.length <= mostSearched)
  for (const [k, i] of pinned.entries()) {
    const place = pieces[i]?.pinned as Place
    const shape = shapes[i] as Shape
    const laid = turnedBy(shape.searched, place.angle)
    put(field, movable.length + k, laid, place.x, place.y + (plots[place.bed]?.lift ?? 0), place.bed)
  }
  for (const [k, { b, shape }] of obstacles.entries()) {
    put(field, pieceAt.length + k, shape.laid[0] as Laid, 0, (plots[b] as Plot).lift, b)
  }
  return {
    problem,
    field,
    pieceAt,
    atLeast: leastPaid(problem, shapes),
    boundTo: new Map(
      pieces.flatMap(({ group, pinned: place }) => (group !== undefined && place ? [[group, place.bed]] : [])),
    ),
    rules: rulesOf(problem, shapes),
    chance: chanceOf(seed),
  }
}

/** The field as a state of the problem. */
function stateOf({ problem, field, pieceAt, atLeast }: Search, round: number): NestState {
  const places: (Place | undefined)[] = problem.pieces.map((piece) => piece.pinned)
  const used = problem.beds.map(() => 0)
  for (const [k, i] of pieceAt.entries()) {
    const bed = field.plot[k] as number
    const plot = field.plots[bed]
    if (!plot) continue
    const laid = field.at[k] as Laid
    const x = field.x[k] as number
    places[i] ??= { bed, x, y: (field.y[k] as number) - plot.lift, angle: laid.angle }
    used[bed] = Math.max(used[bed] as number, reachOf(problem.pieces[i]?.region.outer ?? [], laid.angle) + x)
  }
  const paid = problem.beds.reduce((sum, bed, b) => sum + paidFor(bed, used[b] as number), 0)
  return { round, places, used, paid, atLeast: Math.min(atLeast, paid) }
}

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

/** Better and better layouts; undefined when there is none yet but time to pause. Ends when nothing is left to be tried. */
function* improved(search: Search, round: () => number): Generator<NestState | undefined, void> {
  const { field, problem, chance } = search
  let best: NestState | undefined
  let bestKept = keep(field)
  for (const start of startsOf(search)) {
    for (const plot of field.plots) plot.limit = plot.highX
    yield* paused(layFirst(field, start))
    const state = stateOf(search, round())
    if (!best || compareStates(state, best) < 0) {
      best = state
      bestKept = keep(field)
    }
  }
  if (!best) return
  goBack(field, bestKept)
  yield best
  if (field.free === 0 || field.free > mostSearched || !isLegal(problem, best, search.rules)) return
  const obstacles = new Set(field.shapes.slice(search.pieceAt.length))
  for (const shape of new Set(field.shapes)) {
    giveDiscs(shape, obstacles.has(shape) ? discsOfObstacle : undefined)
    field.work += 1e6
    yield undefined
  }
  for (const [i, own] of field.own.entries()) {
    if (!own) continue
    const { searched } = field.shapes[i] as Shape
    own.discX = new Float64Array(searched.discX.length)
    own.discY = new Float64Array(searched.discY.length)
    own.discR = searched.discR
    turnInto(searched, own.angle, own)
  }
  for (let i = field.free; i < search.pieceAt.length; i++) {
    const { searched } = field.shapes[i] as Shape
    put(
      field,
      i,
      turnedBy(searched, (field.at[i] as Laid).angle),
      field.x[i] as number,
      field.y[i] as number,
      field.plot[i] as number,
    )
  }
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
        best = state
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
        ? { sweeps: 15, starts: 1 }
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
    const result = yield* paused(separate(field, mayLie, patience, chance))
    const state = result.done ? stateOf(search, round()) : undefined
    if (state && isLegal(problem, state, search.rules) && compareStates(state, best) < 0) {
      best = state
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

const isShorten = (goal: Goal): boolean => goal.kind === 'shorten'

/** Runs a generator of its own, with undefined at every pause. */
function* paused<T>(steps: Generator<undefined, T>): Generator<undefined, T> {
  return yield* steps
}

type Goal =
  | { readonly kind: 'insert'; readonly piece: number }
  | { readonly kind: 'shorten'; readonly bed: number }
  | { readonly kind: 'clear'; readonly bed: number }

/** What to try next to make a layout better. */
function goalsOf({ problem, field }: Search, best: NestState): Goal[] {
  const off: Goal[] = []
  for (let i = 0; i < field.free; i++) if ((field.plot[i] as number) < 0) off.push({ kind: 'insert', piece: i })
  const used = problem.beds.flatMap((bed, b) => ((best.used[b] as number) > 0 ? [{ bed, b }] : []))
  const paid = used.filter(({ bed }) => bed.paid !== 'free')
  const shorten = (beds: typeof used): Goal[] => beds.map(({ b }) => ({ kind: 'shorten', bed: b }))
  const clear = (beds: typeof used): Goal[] => (used.length > 1 ? beds.map(({ b }) => ({ kind: 'clear', bed: b })) : [])
  const cheaper: Goal[] =
    paid.length > 0
      ? [
          ...shorten(paid.filter(({ bed }) => bed.paid === 'length')),
          ...clear(paid.filter(({ bed }) => bed.paid === 'whole')),
        ]
      : clear(used)
  const emptiest = used.toSorted((a, b) => (best.used[a.b] as number) - (best.used[b.b] as number)).slice(0, 1)
  return off.length > 0 ? [...off, ...cheaper] : cheaper.length > 0 ? cheaper : shorten(emptiest)
}

/** Opens the beds as far as they may be used without paying more than for the best layout. */
function openAs(field: Field, problem: NestProblem, best: NestState): void {
  for (const [b, plot] of field.plots.entries()) {
    const used = best.used[b] as number
    const paid = problem.beds[b]?.paid
    plot.limit =
      paid === 'length'
        ? Math.min(plot.highX, Math.max(used, plot.lowX))
        : paid === 'free' || used > 0
          ? plot.highX
          : plot.lowX
  }
}

/** Changes the field towards a goal, overlaps and all; false where that cannot be. */
function applyGoal(search: Search, best: NestState, goal: Goal, ratio: number): boolean {
  const { field, chance } = search
  if (goal.kind === 'insert') {
    for (const plot of field.plots) plot.limit = plot.highX
    return throwIn(search, goal.piece, -1)
  }
  const plot = field.plots[goal.bed] as Plot
  if (goal.kind === 'clear') {
    plot.limit = plot.lowX
    for (let i = 0; i < field.free; i++) if (field.plot[i] === goal.bed && !throwIn(search, i, goal.bed)) return false
    return true
  }
  const length = (best.used[goal.bed] as number) - plot.lowX
  const less = length * ratio
  plot.limit = plot.lowX + length - less
  // what lies beyond a cut moves with the end
  const cut = plot.lowX + chance() * length
  for (let i = 0; i < field.free; i++) {
    if (field.plot[i] !== goal.bed) continue
    const laid = field.at[i] as Laid
    const isBeyond = ((field.lowX[i] as number) + (field.highX[i] as number)) / 2 > cut
    const most = plot.limit - laid.highX
    const low = plot.lowX - laid.lowX
    const x = Math.max(low, Math.min((field.x[i] as number) - (isBeyond ? less : 0), most))
    if (most < low && !throwIn(search, i, goal.bed)) return false
    if (most >= low) put(field, i, laid, x, field.y[i] as number, goal.bed)
  }
  return true
}

/** Puts a piece down anywhere on an open bed other than `not`, whatever lies there. */
function throwIn({ field, problem, pieceAt, boundTo, chance }: Search, i: number, not: number): boolean {
  const shape = field.shapes[i] as Shape
  const group = problem.pieces[pieceAt[i] as number]?.group
  const bound = group === undefined ? undefined : (boundTo.get(group) ?? groupPlot(field, problem, pieceAt, group, not))
  const choices: { readonly laid: Laid; readonly b: number }[] = []
  for (const [b, plot] of field.plots.entries()) {
    if (b === not || (bound !== undefined && b !== bound)) continue
    for (const laid of shape.laid)
      if (laid.highX - laid.lowX <= plot.limit - plot.lowX && laid.highY - laid.lowY <= plot.highY - plot.lowY)
        choices.push({ laid, b })
  }
  const choice = choices[Math.floor(chance() * choices.length)]
  if (!choice) return false
  const { laid, b } = choice
  const plot = field.plots[b] as Plot
  const x = plot.lowX - laid.lowX + chance() * (plot.limit - plot.lowX - laid.highX + laid.lowX)
  const y = plot.lowY - laid.lowY + chance() * (plot.highY - plot.lowY - laid.highY + laid.lowY)
  put(field, i, laid, x, y, b)
  return true
}

/** On which plot others of a group lie already. */
function groupPlot(
  field: Field,
  problem: NestProblem,
  pieceAt: readonly number[],
  group: string,
  not: number,
): number | undefined {
  for (const [k, i] of pieceAt.entries()) {
    const plot = field.plot[k] as number
    if (plot >= 0 && plot !== not && problem.pieces[i]?.group === group) return plot
  }
  return undefined
}

/** Two big pieces of different shape on one plot change places. */
function swapTwo(field: Field, chance: () => number): void {
  const big = Array.from({ length: field.free }, (_, i) => i)
    .filter((i) => (field.plot[i] as number) >= 0)
    .sort((a, b) => (field.shapes[b] as Shape).weight - (field.shapes[a] as Shape).weight || a - b)
  const from = big.slice(0, Math.max(2, Math.ceil(big.length / 2)))
  const one = from[Math.floor(chance() * from.length)]
  const others = from.filter(
    (i) => one !== undefined && field.plot[i] === field.plot[one] && field.shapes[i] !== field.shapes[one],
  )
  const two = others[Math.floor(chance() * others.length)]
  if (one === undefined || two === undefined) return
  const [centreOne, centreTwo] = [one, two].map((i) => ({
    x: ((field.lowX[i] as number) + (field.highX[i] as number)) / 2,
    y: ((field.lowY[i] as number) + (field.highY[i] as number)) / 2,
    plot: field.plot[i] as number,
  })) as [Centre, Centre]
  centreAt(field, one, centreTwo)
  centreAt(field, two, centreOne)
}

interface Centre {
  readonly x: number
  readonly y: number
  readonly plot: number
}

function centreAt(field: Field, i: number, { x, y, plot }: Centre): void {
  const laid = field.at[i] as Laid
  const bounds = field.plots[plot] as Plot
  const lowX = bounds.lowX - laid.lowX
  const highX = bounds.limit - laid.highX
  const lowY = bounds.lowY - laid.lowY
  const highY = bounds.highY - laid.highY
  if (lowX > highX || lowY > highY) return
  const ownX = x - (laid.lowX + laid.highX) / 2
  const ownY = y - (laid.lowY + laid.highY) / 2
  put(field, i, laid, Math.min(Math.max(ownX, lowX), highX), Math.min(Math.max(ownY, lowY), highY), plot)
}

/** Orders of pieces and of beds to begin with. */
function startsOf({ problem, field, pieceAt, boundTo }: Search): FirstLayout[] {
  const { pieces, beds } = problem
  const groupOf = (k: number) => pieces[pieceAt[k] as number]?.group
  const sizes = new Map<string, number>()
  const measures: ((shape: Shape) => number)[] = [
    (shape) => shape.area,
    (shape) => shape.weight,
    (shape) => shape.reach,
    (shape) => Math.min(...shape.laid.map((laid) => laid.highY - laid.lowY)) * 1e3 + shape.area ** 0.5,
  ]
  const area = (b: number) => {
    const plot = field.plots[b] as Plot
    return (plot.highX - plot.lowX) * (plot.highY - plot.lowY)
  }
  const free = beds.flatMap((bed, b) => (bed.paid === 'free' ? [b] : [])).sort((a, b) => area(a) - area(b))
  const paid = beds.flatMap((bed, b) => (bed.paid === 'free' ? [] : [b]))
  paid.sort((a, b) => Number(beds[a]?.paid === 'whole') - Number(beds[b]?.paid === 'whole') || area(a) - area(b))
  const turns = field.free > 300 ? 1 : Math.min(4, Math.max(1, paid.length))
  const covers: FirstLayout['covers'] = new Map()
  const starts = measures.slice(0, field.free > 300 ? 1 : 4).flatMap((measure) => {
    sizes.clear()
    const size = field.shapes.map(measure)
    const bulk = new Map<string, number>()
    for (let k = 0; k < field.free; k++) {
      const group = groupOf(k)
      if (group !== undefined) bulk.set(group, (bulk.get(group) ?? 0) + (size[k] as number))
    }
    const rank = (k: number) => bulk.get(groupOf(k) ?? '') ?? (size[k] as number)
    const order = Array.from({ length: field.free }, (_, k) => k).sort(
      (a, b) =>
        rank(b) - rank(a) ||
        compareTexts(groupOf(a) ?? '', groupOf(b) ?? '') ||
        (size[b] as number) - (size[a] as number) ||
        a - b,
    )
    return Array.from({ length: turns }, (_, k) => ({
      order,
      plots: [...free, ...paid.slice(k), ...paid.slice(0, k)],
      groupOf,
      boundTo,
      covers,
    }))
  })
  // orders by other measures may be the same
  const texts = starts.map(({ order: own, plots }) => `${own.join()};${plots.join()}`)
  return starts.filter((_, k) => texts.indexOf(texts[k] ?? '') === k)
}

const compareTexts = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

interface BoxLaid {
  readonly way: BoxTurn
  readonly laid: Laid
}

/** Each piece's ways to lie where all of them are upright boxes on one strip of film; else undefined. */
function boxesOf({ problem, field }: Search, best: NestState): BoxLaid[][] | undefined {
  const [bed] = problem.beds
  const isPlain = problem.beds.length === 1 && bed?.paid === 'length' && field.count === field.free
  if (!isPlain || best.places.some((place) => !place)) return undefined
  const all: BoxLaid[][] = []
  for (const shape of field.shapes) {
    const ways = shape.laid.map((laid) => ({
      way: { across: laid.highY - laid.lowY + 2 * hair, along: laid.highX - laid.lowX + 2 * hair },
      laid,
    }))
    if (shape.isFree || ways.some(({ way }) => shape.area < way.across * way.along * (1 - 1e-9))) return undefined
    all.push(
      ways.filter(({ way }, k) => ways.findIndex((other) => Math.abs(other.way.across - way.across) < 1e-9) === k),
    )
  }
  return all
}

const stripWidth = ({ plots }: Field): number => (plots[0] as Plot).highY - (plots[0] as Plot).lowY

function putBoxes(field: Field, boxes: readonly (readonly BoxLaid[])[], places: readonly BoxPlace[]): void {
  const plot = field.plots[0] as Plot
  for (const [i, { turn, x, y }] of places.entries()) {
    const box = boxes[i]?.[turn]
    if (box) put(field, i, box.laid, plot.lowX + x + hair - box.laid.lowX, plot.lowY + y + hair - box.laid.lowY, 0)
  }
}
