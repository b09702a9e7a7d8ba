import { chanceOf } from '../../geometry/chance.ts'
import { leastPaid } from './at-least.ts'
import { notBed, paidFor, plotsOf } from './beds.ts'
import { type Field, fieldOf, type Plot, put } from './field.ts'
import { type Rules, reachOf, rulesOf } from './legal.ts'
import type { NestProblem, NestState, Place } from './problem.ts'
import { giveDiscs, type Laid, type Shape, shapeOf, shapesOf, turnedBy, turnInto } from './shape.ts'

/** With more pieces than this only the first layout is made. */
export const mostSearched = 1500

/** What is no bed may be long and thin. */
const discsOfObstacle = 48

/** What is searched: the field, and what it was made from. */
export interface Search {
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

/** A problem made ready; nothing lies anywhere yet but what is pinned. Pauses after every shape. */
export function* searchOf(problem: NestProblem, seed: number): Generator<undefined, Search> {
  const { pieces, beds } = problem
  const plots = plotsOf(beds)
  const shapes = yield* shapesOf(pieces)
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
export function stateOf({ problem, field, pieceAt, atLeast }: Search, round: number): NestState {
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

/** Gives all pieces and obstacles the discs that overlaps are measured by. Pauses after each. */
export function* withDiscs({ field, pieceAt }: Search): Generator<undefined, void> {
  const obstacles = new Set(field.shapes.slice(pieceAt.length))
  for (const shape of new Set(field.shapes)) {
    giveDiscs(shape, obstacles.has(shape) ? discsOfObstacle : undefined)
    field.work += 3e6
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
  for (let i = field.free; i < pieceAt.length; i++) {
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
}
