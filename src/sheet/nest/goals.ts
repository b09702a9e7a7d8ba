import { type Field, type Plot, put } from './field.ts'
import type { NestProblem, NestState } from './problem.ts'
import type { Search } from './search.ts'
import type { Laid, Shape } from './shape.ts'

/** What a try is after: a piece put in, a bed used less far, a bed not used at all. */
export type Goal =
  | { readonly kind: 'insert'; readonly piece: number }
  | { readonly kind: 'shorten'; readonly bed: number }
  | { readonly kind: 'clear'; readonly bed: number }

/** What to try next to make a layout better. */
export function goalsOf({ problem, field }: Search, best: NestState): Goal[] {
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
export function openAs(field: Field, problem: NestProblem, best: NestState): void {
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
export function applyGoal(search: Search, best: NestState, goal: Goal, ratio: number): boolean {
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
export function swapTwo(field: Field, chance: () => number): void {
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
