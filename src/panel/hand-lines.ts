import { arcHeading, arcRadius } from '../geometry/arc.ts'
import { toChord } from '../geometry/chord.ts'
import { flatten } from '../geometry/flatten.ts'
import { type Path, type Piece, pieces } from '../geometry/path.ts'
import { add, distance, leftOf, type Point, scaled, turnBetween } from '../geometry/point.ts'
import { segmentHeading, segmentLength } from '../geometry/segment.ts'
import { stripMarks } from './strip-marks.ts'

/** A part of an outline as a hand draws it between two marks, mm. */
export type HandLine =
  | { readonly kind: 'straight'; readonly from: Point; readonly to: Point }
  | {
      readonly kind: 'arc'
      readonly from: Point
      readonly to: Point
      readonly centre: Point
      readonly radius: number
      /** radians, positive to the left; a full turn for a circle */
      readonly sweep: number
    }
  | {
      readonly kind: 'strip'
      readonly from: Point
      readonly to: Point
      /** marks between its ends; with `from`, which is `to` where it is closed, all that it is bent along */
      readonly marks: readonly Point[]
      readonly closed: boolean
    }

export type ArcLine = Extract<HandLine, { kind: 'arc' }>

/** Tapes from the ends of an arc that turns further cross too flat to show its middle, radians. */
export const widestSwing = (2 * Math.PI) / 3
/** The longest thread that is swung round a pin where a panel does not need more room itself, mm (common practice, no source). */
export const longestThread = 3000
/** A line that stands off its chord by less than this is drawn straight, mm. */
const straightEnough = 0.1
/** A straight piece shorter than this may be a facet of a curve, mm. */
const longestFacet = 40
/** A bend that a strip rounds off by no more than this is none, mm. */
const softEnough = 0.05
/** A piece whose ends are no farther apart than this is no line to draw, mm. */
const leastPiece = 0.1

type Kind = 'line' | 'facet' | 'arc' | 'curve'

/** Pieces that are drawn in one go. */
interface Run {
  readonly kind: Kind
  readonly own: readonly Piece[]
}

/**
 * An outline as straight lines, arcs that a thread reaches, and strips bent along the fewest even marks that hold them
 * to the edge. Every tangent jump is an end of two of them. A closed path begins at such an end where it has one.
 * `thread` is the longest that is swung, mm.
 */
export function handLines(path: Path, thread: number): HandLine[] {
  const found: Run[] = []
  const all = [...pieces(path)].filter(({ from, segment }) => distance(from, segment.to) > leastPiece)
  const kinds = all.map((piece, i) => kindOf(piece, neighbour(all, i - 1, path), neighbour(all, i + 1, path), thread))
  all.forEach((piece, i) => {
    const run: Run = { kind: kinds[i] as Kind, own: [piece] }
    const last = found.at(-1)
    if (last && runsOn(last, run)) found.splice(-1, 1, joined(last, run))
    else found.push(run)
  })
  const [first, last] = [found[0], found.at(-1)]
  if (!path.closed || !first || !last || !runsOn(last, first)) return found.flatMap((run) => drawn(run, false))
  if (first === last) return drawn(first, true)
  return [joined(last, first), ...found.slice(1, -1)].flatMap((run) => drawn(run, false))
}

const joined = (a: Run, b: Run): Run => ({ kind: a.kind, own: [...a.own, ...b.own] })

function neighbour(all: readonly Piece[], i: number, { closed }: Path): Piece | undefined {
  return closed ? all[(i + all.length) % all.length] : all[i]
}

function kindOf(piece: Piece, before: Piece | undefined, after: Piece | undefined, thread: number): Kind {
  const { from, segment } = piece
  if (segment.kind === 'arc') return arcRadius(from, segment) <= thread ? 'arc' : 'curve'
  if (segment.kind === 'cubic') return 'curve'
  const isFacet = (before && isSoft(before, piece)) || (after && isSoft(piece, after))
  return isFacet ? 'facet' : 'line'
}

/** Do two short straight pieces bend so little that they are facets of one curve? */
function isSoft(a: Piece, b: Piece): boolean {
  if (a.segment.kind !== 'line' || b.segment.kind !== 'line') return false
  const turn = Math.abs(turnOf(a, b))
  const [shorter = 0, longer = 0] = [a, b].map((p) => segmentLength(p.from, p.segment)).sort((p, q) => p - q)
  return longer < longestFacet && turn > collinear && turn < 0.15 && (turn * shorter) / 8 <= softEnough
}

const turnOf = (a: Piece, b: Piece): number =>
  turnBetween(segmentHeading(a.from, a.segment, 1), segmentHeading(b.from, b.segment, 0))

/** Turns under these are none, radians: of straight lines, and of curves. */
const collinear = 1e-5
const smooth = 1e-3

/** Is the second run the same line going on? */
function runsOn(a: Run, b: Run): boolean {
  const [last, first] = [a.own.at(-1) as Piece, b.own[0] as Piece]
  if (a.kind !== b.kind || distance(last.segment.to, first.from) > 2 * leastPiece) return false
  const turn = Math.abs(turnOf(last, first))
  if (a.kind === 'line') return turn < collinear
  if (a.kind === 'facet') return turn < collinear || isSoft(last, first)
  if (turn > smooth) return false
  return a.kind === 'curve' || distance(centreOf(last), centreOf(first)) < 0.01
}

/** The middle of an arc's circle, mm. */
function centreOf({ from, segment }: Piece): Point {
  if (segment.kind !== 'arc') throw new RangeError('only an arc has a centre')
  const inward = scaled(leftOf(arcHeading(from, segment, 0)), Math.sign(segment.sweep))
  return add(from, scaled(inward, arcRadius(from, segment)))
}

function drawn({ kind, own }: Run, closed: boolean): HandLine[] {
  const from = (own[0] as Piece).from
  const to = (own.at(-1) as Piece).segment.to
  if (kind === 'line') return [{ kind: 'straight', from, to }]
  const path = { start: from, segments: own.map(({ segment }) => segment), closed: false }
  const dense = flatten(path, 0.02)
  if (!closed && dense.every((p) => toChord(p, from, to) < straightEnough)) return [{ kind: 'straight', from, to }]
  if (kind === 'arc') {
    const first = own[0] as Piece
    const sweep = own.reduce((sum, { segment }) => sum + (segment.kind === 'arc' ? segment.sweep : 0), 0)
    const radius = first.segment.kind === 'arc' ? arcRadius(first.from, first.segment) : 0
    return [{ kind: 'arc', from, to, centre: centreOf(first), radius, sweep }]
  }
  const marks = stripMarks(dense, closed)
  if (kind === 'facet' && marks.length >= own.length - 1) {
    return own.map((piece) => ({ kind: 'straight', from: piece.from, to: piece.segment.to }))
  }
  return [{ kind: 'strip', from, to, marks, closed }]
}

/** Does the arc turn so little that its pin is found by tapes swung from its ends? */
export const isSwung = ({ sweep }: ArcLine): boolean => Math.abs(sweep) <= widestSwing
