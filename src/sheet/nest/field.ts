import { discDepth, nearestDiscs, touches } from './overlap.ts'
import { blankOf, copyInto, type Laid, type Shape, turnInto } from './shape.ts'

/** A bed among all beds, which stand one above the other; pieces lie between its sides and left of its limit, mm. */
export interface Plot {
  readonly lowX: number
  readonly lowY: number
  readonly highX: number
  readonly highY: number
  /** how far up it was moved */
  readonly lift: number
  /** where it ends for now, `highX` at most; `lowX` while it is closed */
  limit: number
}

/** All pieces in their places, overlapping or not; changed in place by the search. The last ones never move: pinned pieces, and what is no bed. */
export interface Field {
  readonly shapes: readonly Shape[]
  readonly plots: readonly Plot[]
  /** how many pieces, the fixed ones included */
  readonly count: number
  /** how many of them may move: the first ones */
  readonly free: number
  readonly at: Laid[]
  readonly x: Float64Array
  readonly y: Float64Array
  /** on which plot; -1 is none */
  readonly plot: Int32Array
  /** box of each piece where it lies; of one that lies nowhere no box at all */
  readonly lowX: Float64Array
  readonly lowY: Float64Array
  readonly highX: Float64Array
  readonly highY: Float64Array
  /** how dear an overlap of two pieces is, 1 or more, by rows */
  readonly dear: Float32Array
  /** for pieces that turn freely, the arrays their outline stands in */
  readonly own: readonly (Laid | undefined)[]
  /** the piece that made the last place looked at too dear */
  blocker: number
  /** work done so far, about nanoseconds */
  work: number
}

export function fieldOf(shapes: readonly Shape[], free: number, plots: readonly Plot[], isSearched: boolean): Field {
  const count = shapes.length
  return {
    shapes,
    plots,
    count,
    free,
    at: shapes.map((shape) => shape.laid[0] ?? shape.searched),
    x: new Float64Array(count),
    y: new Float64Array(count),
    plot: new Int32Array(count).fill(-1),
    lowX: new Float64Array(count).fill(Infinity),
    lowY: new Float64Array(count).fill(Infinity),
    highX: new Float64Array(count).fill(-Infinity),
    highY: new Float64Array(count).fill(-Infinity),
    dear: new Float32Array(isSearched ? count * count : 0).fill(1),
    own: shapes.map((shape, i) => (shape.isFree && i < free ? blankOf(shape.searched) : undefined)),
    blocker: 0,
    work: 0,
  }
}

/** Puts piece `i` down at (x, y) as `laid` lies there. */
export function put(field: Field, i: number, laid: Laid, x: number, y: number, plot: number): void {
  let lies = laid
  const own = field.own[i]
  if (own && own !== laid) {
    copyInto(laid, own)
    lies = own
  }
  field.at[i] = lies
  field.x[i] = x
  field.y[i] = y
  field.plot[i] = plot
  field.lowX[i] = x + lies.lowX
  field.lowY[i] = y + lies.lowY
  field.highX[i] = x + lies.highX
  field.highY[i] = y + lies.highY
}

/** Takes piece `i` off all beds. */
export function lift(field: Field, i: number): void {
  field.plot[i] = -1
  field.lowX[i] = Infinity
  field.lowY[i] = Infinity
  field.highX[i] = -Infinity
  field.highY[i] = -Infinity
}

/** Where all pieces lie, to be gone back to. */
export interface Kept {
  readonly x: Float64Array
  readonly y: Float64Array
  readonly plot: Int32Array
  readonly angle: Float64Array
  readonly at: readonly Laid[]
  readonly limits: readonly number[]
}

export const keep = (field: Field): Kept => ({
  x: field.x.slice(),
  y: field.y.slice(),
  plot: field.plot.slice(),
  angle: Float64Array.from(field.at, (laid) => laid.angle),
  at: field.at.slice(),
  limits: field.plots.map((plot) => plot.limit),
})

export function goBack(field: Field, kept: Kept): void {
  for (const [b, plot] of field.plots.entries()) plot.limit = kept.limits[b] ?? plot.lowX
  for (let i = 0; i < field.free; i++) {
    const plot = kept.plot[i] as number
    if (plot < 0) {
      lift(field, i)
      continue
    }
    const own = field.own[i]
    if (own) turnInto((field.shapes[i] as Shape).searched, kept.angle[i] as number, own)
    put(field, i, own ?? (kept.at[i] as Laid), kept.x[i] as number, kept.y[i] as number, plot)
  }
}

/** The length in which the depth of an overlap fades out, as a share of the bigger piece's reach. */
const tailShare = 0.01

/** How bad the overlap of pieces i and j is, dearness left out, when i lies as `laid` at (x, y); 0 where there is none. */
export function lossOf(field: Field, i: number, laid: Laid, x: number, y: number, j: number): number {
  const dx = x - (field.x[j] as number)
  const dy = y - (field.y[j] as number)
  if (areApart(laid, dx, dy, field.at[j] as Laid)) return 0
  return deepLoss(field, i, laid, dx, dy, j, Infinity) || shallowLoss(field, i, laid, dx, dy, j)
}

/** Does a line along x, y or a diagonal lie between the two, the first moved by (dx, dy)? */
function areApart(a: Laid, dx: number, dy: number, b: Laid): boolean {
  const rise = dx + dy
  const fall = dx - dy
  return (
    a.lowX + dx > b.highX ||
    a.highX + dx < b.lowX ||
    a.lowY + dy > b.highY ||
    a.highY + dy < b.lowY ||
    a.lowRise + rise > b.highRise ||
    a.highRise + rise < b.lowRise ||
    a.lowFall + fall > b.highFall ||
    a.highFall + fall < b.lowFall
  )
}

const lossFrom = (depth: number, tail: number, one: Shape, two: Shape): number =>
  Math.sqrt(depth + tail * tail) * one.weight * two.weight

/**
 * The loss where discs lie in each other, the first piece moved by (dx, dy) from the other's origin; else 0. At or above
 * `bound` somewhere there when it is no less.
 */
function deepLoss(field: Field, i: number, laid: Laid, dx: number, dy: number, j: number, bound: number): number {
  const b = field.at[j] as Laid
  const one = field.shapes[i] as Shape
  const two = field.shapes[j] as Shape
  const tail = tailShare * Math.max(one.reach, two.reach)
  field.work += 20 + laid.discX.length * b.discX.length
  const enough = bound / (one.weight * two.weight)
  const depth = discDepth(laid, dx, dy, b, tail, Math.max(0, enough * enough - tail * tail))
  return depth === 0 ? 0 : lossFrom(depth, tail, one, two)
}

/** The loss where edges meet though no discs do; else 0. */
function shallowLoss(field: Field, i: number, laid: Laid, dx: number, dy: number, j: number): number {
  const b = field.at[j] as Laid
  field.work += 2 * (laid.x.length + b.x.length)
  if (!touches(laid, dx, dy, b)) return 0
  const one = field.shapes[i] as Shape
  const two = field.shapes[j] as Shape
  const tail = tailShare * Math.max(one.reach, two.reach)
  return lossFrom(nearestDiscs(laid, dx, dy, b, tail), tail, one, two)
}

/** Pieces near the place looked at whose edges are still to be compared. Nothing in it outlives a call. */
const scratch = { near: new Int32Array(64) }

/** What it costs to have piece i at (x, y) as `laid`; somewhere at or above `bound` when it costs no less than that. */
export function costOf(field: Field, i: number, laid: Laid, x: number, y: number, bound: number): number {
  const { count, lowX, lowY, highX, highY, dear, at } = field
  const left = x + laid.lowX
  const right = x + laid.highX
  const bottom = y + laid.lowY
  const top = y + laid.highY
  const row = i * count
  let sum = 0
  field.work += count
  // what was in the way at the last place looked at is likely to be in the way again
  const last = field.blocker
  const isNear =
    last !== i &&
    (lowX[last] as number) <= right &&
    (highX[last] as number) >= left &&
    (lowY[last] as number) <= top &&
    (highY[last] as number) >= bottom
  if (isNear) {
    const dx = x - (field.x[last] as number)
    const dy = y - (field.y[last] as number)
    const dearness = dear[row + last] as number
    if (!areApart(laid, dx, dy, at[last] as Laid))
      sum =
        (deepLoss(field, i, laid, dx, dy, last, bound / dearness) || shallowLoss(field, i, laid, dx, dy, last)) *
        dearness
    if (sum >= bound) return sum
  }
  if (scratch.near.length < count) scratch.near = new Int32Array(count)
  const { near } = scratch
  let waiting = 0
  for (let j = 0; j < count; j++) {
    if ((lowX[j] as number) > right || (highX[j] as number) < left) continue
    if ((lowY[j] as number) > top || (highY[j] as number) < bottom) continue
    if (j === i || (isNear && j === last)) continue
    const dx = x - (field.x[j] as number)
    const dy = y - (field.y[j] as number)
    if (areApart(laid, dx, dy, at[j] as Laid)) continue
    const loss = deepLoss(field, i, laid, dx, dy, j, (bound - sum) / (dear[row + j] as number))
    if (loss === 0) {
      near[waiting++] = j
      continue
    }
    sum += loss * (dear[row + j] as number)
    if (sum >= bound) {
      field.blocker = j
      return sum
    }
  }
  // edges take longer than discs: only where discs alone do not rule the place out
  for (let k = 0; k < waiting; k++) {
    const j = near[k] as number
    const loss = shallowLoss(field, i, laid, x - (field.x[j] as number), y - (field.y[j] as number), j)
    if (loss === 0) continue
    sum += loss * (dear[row + j] as number)
    if (sum >= bound) {
      field.blocker = j
      return sum
    }
  }
  return sum
}
