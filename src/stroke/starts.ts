import Flatbush from 'flatbush'
import { type Box, boundsOf } from '../geometry/bounds.ts'
import { cubicLength } from '../geometry/cubic.ts'
import { lengthsOf, pathLength, pathPart, stationAt } from '../geometry/length.ts'
import { type Path, type Piece, pieces } from '../geometry/path.ts'
import { distance, type Point, turnBetween } from '../geometry/point.ts'
import { segmentHeading, segmentLength, segmentPoint } from '../geometry/segment.ts'

/** A turn by more than this between two segments is a corner, rad. */
const leastCorner = (10 * Math.PI) / 180
/** Room from a start to a corner, a tick or a place to avoid, mm, along the path: wanted, and the least. */
const wantedRoom = 10
const leastRoom = 3
/** A place to avoid matters where it is this near to the path, mm. */
const nearPath = 3
/** A bend of less radius than this is not gentle, mm; it is looked at over this length to both sides, mm. */
const gentleRadius = 10
const bendReach = 1.5
/** Starts offered on an outline all of one kind, such as a circle. */
const startsRound = 8
/** Places on a path nearer together than this are one, mm. */
const onePlace = 1e-6

/** Length along a closed or open path of each corner, mm, in order; ends of open paths are none. */
export function cornersOf(path: Path): number[] {
  return joints(path)
    .filter(({ turn }) => turn > leastCorner)
    .map(({ length }) => length)
}

/** A place between two segments. */
interface Joint {
  /** mm along the path */
  readonly length: number
  /** rad, 0 to pi */
  readonly turn: number
  /** Does a straight line meet a curve there, or an arc one of another radius? */
  readonly changes: boolean
}

function joints(path: Path): Joint[] {
  const ends = lengthsOf(path)
  const whole = ends.at(-1) ?? 0
  // Segments without length have no heading.
  const own = [...pieces(path)].flatMap((piece, i) => {
    const end = ends[i] ?? 0
    return end - (ends[i - 1] ?? 0) > onePlace ? [{ piece, end }] : []
  })
  return own.flatMap(({ piece, end }, i) => {
    const isLast = i === own.length - 1
    const next = isLast ? (path.closed ? own[0] : undefined) : own[i + 1]
    if (!next) return []
    const a = segmentHeading(piece.from, piece.segment, 1)
    const b = segmentHeading(next.piece.from, next.piece.segment, 0)
    const turn = Math.abs(turnBetween(a, b))
    return [{ length: isLast ? whole : end, turn, changes: bendChanges(piece, next.piece) }]
  })
}

/** Curvature of an arc, 1/mm, positive to the left; none of a line, nor of a cubic, which has no single one. */
const bendOf = ({ from, segment }: Piece): number =>
  segment.kind === 'arc' ? segment.sweep / segmentLength(from, segment) : 0

function bendChanges(a: Piece, b: Piece): boolean {
  if (a.segment.kind !== b.segment.kind) return true
  // A pair of arcs of one circle may differ by rounding.
  return Math.abs(bendOf(a) - bendOf(b)) > 1e-6 * Math.abs(bendOf(a))
}

/**
 * Lengths along a closed path at which it may well begin, mm: middles of stretches between corners, changes of bend
 * and places to avoid. They are 10 mm from corners and what is to be avoided and on no tight bend, else 3 mm, else as far as
 * the outline allows.
 */
export function goodStarts(path: Path, avoid: readonly Point[]): readonly number[] {
  const whole = pathLength(path)
  if (!path.closed || whole < onePlace) return [0]
  const all = joints(path)
  const hard = apartAlong([...cornersOf(path), ...nearestLengths(path, avoid)], whole)
  const cuts = apartAlong([...hard, ...all.filter(({ changes }) => changes).map(({ length }) => length)], whole)
  const middles = cuts.map((low, i) => {
    const high = cuts[i + 1] ?? (cuts[0] ?? 0) + whole
    return ((low + high) / 2) % whole
  })
  const first = cuts[0] ?? 0
  const round = Array.from({ length: startsRound }, (_, k) => (first + ((k + 0.5) * whole) / startsRound) % whole)
  const places = (cuts.length < 2 ? round : middles).map((length) => ({ length, room: roomRound(hard, length, whole) }))
  const most = places.reduce((best, { room }) => Math.max(best, room), 0)
  const open = places.filter(({ room }) => room > leastRoom)
  const gentle = open.filter(({ length }) => isGentle(path, length, whole))
  const tiers = [
    gentle.filter(({ room }) => room >= wantedRoom),
    gentle,
    open,
    places.filter(({ room }) => room >= 0.99 * most),
  ]
  return (tiers.find((tier) => tier.length > 0) ?? []).map(({ length }) => length)
}

/** From a length along a closed path to the nearest of some others in order, round either way, mm; all of it for none. */
export function roomRound(order: readonly number[], length: number, whole: number): number {
  let low = 0
  let high = order.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((order[middle] ?? 0) < length) low = middle + 1
    else high = middle
  }
  const after = order[low] ?? (order[0] ?? Infinity) + whole
  const before = order[low - 1] ?? (order.at(-1) ?? -Infinity) - whole
  return Math.min(after - length, length - before, whole)
}

/** In order, within 0 to `whole`, each place once. */
function apartAlong(lengths: readonly number[], whole: number): number[] {
  const own = lengths.map((length) => (length >= whole - onePlace ? 0 : length)).sort((a, b) => a - b)
  return own.filter((length, i) => i === 0 || length - (own[i - 1] ?? 0) > onePlace)
}

function isGentle(path: Path, length: number, whole: number): boolean {
  const reach = Math.min(bendReach, whole / 4)
  const a = stationAt(path, (length - reach + whole) % whole).heading
  const b = stationAt(path, (length + reach) % whole).heading
  return Math.abs(turnBetween(a, b)) <= (2 * reach) / gentleRadius
}

/** Where along the path those of the points lie that are near it. */
function nearestLengths(path: Path, points: readonly Point[]): number[] {
  if (points.length === 0) return []
  const box = boundsOf([path])
  const close = points.filter((p) => isNear(box, p))
  if (close.length === 0) return []
  const ends = lengthsOf(path)
  const own = [...pieces(path)]
  const index = new Flatbush(own.length)
  for (const { from, segment } of own) {
    const { low, high } = boundsOf([{ start: from, segments: [segment], closed: false }])
    index.add(low.x - nearPath, low.y - nearPath, high.x + nearPath, high.y + nearPath)
  }
  index.finish()
  return close.flatMap((p) => {
    let best = { by: nearPath, length: -1 }
    for (const i of index.search(p.x, p.y, p.x, p.y).sort((a, b) => a - b)) {
      const piece = own[i] as Piece
      const t = nearestParameter(piece, p)
      const by = distance(segmentPoint(piece.from, piece.segment, t), p)
      if (by < best.by) best = { by, length: (ends[i - 1] ?? 0) + partLength(piece, t) }
    }
    return best.length < 0 ? [] : [best.length]
  })
}

const isNear = ({ low, high }: Box, { x, y }: Point): boolean =>
  x > low.x - nearPath && x < high.x + nearPath && y > low.y - nearPath && y < high.y + nearPath

/** The parameter of the point nearest to `p`, looked for from the best of some places, to well under a micrometre. */
function nearestParameter({ from, segment }: Piece, p: Point): number {
  const by = (t: number) => distance(segmentPoint(from, segment, t), p)
  const count = segment.kind === 'line' ? 1 : 32
  let best = 0
  for (let k = 1; k <= count; k++) if (by(k / count) < by(best / count)) best = k
  let low = Math.max(0, (best - 1) / count)
  let high = Math.min(1, (best + 1) / count)
  for (let k = 0; k < 60; k++) {
    const a = low + (high - low) / 3
    const b = high - (high - low) / 3
    if (by(a) <= by(b)) high = b
    else low = a
  }
  return (low + high) / 2
}

const partLength = ({ from, segment }: Piece, t: number): number =>
  segment.kind === 'cubic' ? cubicLength(from, segment, 0, t) : t * segmentLength(from, segment)

/** A closed path begun anew `length` mm along it, in the same direction; its segments stay exact. Open ones stay. */
export function begunAt(path: Path, length: number): Path {
  const whole = pathLength(path)
  if (!path.closed || length < onePlace || length > whole - onePlace) return path
  // Is there a corner or a joint already? Then nothing is split.
  const end = lengthsOf(path).find((e) => Math.abs(e - length) < onePlace)
  const at = end ?? length
  const tail = pathPart(path, at, whole)
  const segments = [...tail.segments, ...pathPart(path, 0, at).segments]
  const last = segments.at(-1)
  return {
    start: tail.start,
    segments: last ? [...segments.slice(0, -1), { ...last, to: tail.start }] : segments,
    closed: true,
  }
}

/**
 * A closed path begun anew in the middle of a long straight or gently bent stretch, 10 mm from corners and from the
 * places to avoid, or more than 3 mm, or as far as the outline allows; of those the nearest to `near`.
 */
export function startAwayFrom(path: Path, avoid: readonly Point[], near: Point): Path {
  const [first = 0, ...rest] = goodStarts(path, avoid)
  const by = (length: number) => distance(stationAt(path, length).at, near)
  return begunAt(
    path,
    rest.reduce((best, length) => (by(length) < by(best) ? length : best), first),
  )
}
