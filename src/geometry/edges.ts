import { arcPoint } from './arc.ts'
import { cubicDerivative, cubicTurnRate } from './cubic.ts'
import { fittedCurve } from './fit.ts'
import { pathLength } from './length.ts'
import { meetings } from './meet.ts'
import {
  arcTo,
  type Cubic,
  closedPath,
  endOf,
  lineTo,
  type Path,
  type Piece,
  pieces,
  reversed,
  type Segment,
} from './path.ts'
import {
  add,
  between,
  cross,
  distance,
  dot,
  leftOf,
  norm,
  type Point,
  scaled,
  subtract,
  turnBetween,
  unit,
} from './point.ts'
import { parameterAt, segmentHeading, segmentLength, segmentPart, segmentPoint } from './segment.ts'

/** Largest distance of a moved cubic from the true parallel, mm. */
const parallelTolerance = 5e-5

/** Segments that turn by no more than this from one to the next, radians, run smoothly into each other. */
const smoothTurn = 1e-6

/** Ends of smooth neighbours nearer than this, mm, are one point. */
const samePoint = 1e-4

/** A tip farther from its corner than this many times the move is cut off: the default limit of SVG strokes. */
const mitreLimit = 4

/** A piece shorter than this, mm, is left out. */
const hairline = 1e-9

/**
 * An open path moved `move` mm to its right (outward for a counter-clockwise outline): exact for lines and arcs, within
 * 1e-4 mm for cubics, with exact ends and end tangents. At corners inside it the moved pieces are run on or cut back to
 * meet, and what is cut away whole is left out. Undefined where a curve would turn inside out, or nothing is left.
 */
export function movedOut(edge: Path, move: number): Path | undefined {
  // What is settled, and the last run, which the next corner may still cut back.
  const settled: Piece[] = []
  let last: readonly Piece[] = []
  // Was a run cut away whole? Then what stands before it may still cross what comes after.
  let skipped = false
  for (const run of smoothRuns(edge)) {
    const moved = movedRun(run, move)
    if (!moved) return undefined
    if (last.length === 0) {
      last = moved
      continue
    }
    const near: Parted | undefined = skipped ? undefined : partedAt(last, jointOf(last, moved), moved)
    const parted: Parted | undefined = near ?? partedFar([...settled, ...last], moved, skipped)
    skipped = !parted
    if (!parted) continue
    if (!near) settled.length = 0
    settled.push(...parted.before)
    last = parted.after
  }
  if (skipped) return undefined
  const kept = [...settled, ...last]
  return { start: kept[0]?.from ?? edge.start, segments: kept.map((piece) => piece.segment), closed: false }
}

/** A corner that eats more than the last run is looked for on all that stands before it. */
const partedFar = (before: readonly Piece[], moved: readonly Piece[], skipped: boolean): Parted | undefined =>
  partedAt(before, skipped ? crossingJoint(before, moved, 0, 0) : jointOf(before, moved), moved)

/** The pieces of a path parted at its corners. */
function smoothRuns(path: Path): Piece[][] {
  const runs: Piece[][] = []
  for (const piece of pieces(path)) {
    const run = runs.at(-1)
    const last = run?.at(-1)
    if (run && last && Math.abs(turnBetween(endHeading(last), startHeading(piece))) <= smoothTurn) run.push(piece)
    else runs.push([piece])
  }
  return runs
}

/** Each piece moved by itself; as the run is smooth, their ends fall together. */
function movedRun(run: readonly Piece[], move: number): Piece[] | undefined {
  const segments: Segment[] = []
  for (const piece of run) {
    const { from, segment } = piece
    if (segment.kind === 'cubic') {
      const own = move === 0 ? [segment] : parallelOf(from, segment, move)
      if (!own) return undefined
      segments.push(...own)
      continue
    }
    const end = beside(piece, 1, move)
    if (dot(subtract(end, beside(piece, 0, move)), subtract(segment.to, from)) <= 0) return undefined
    segments.push(segment.kind === 'line' ? lineTo(end) : arcTo(end, segment.sweep))
  }
  return [...pieces({ start: beside(run[0] as Piece, 0, move), segments, closed: false })]
}

const rightOf = (a: Point): Point => scaled(leftOf(a), -1)

/** The place `move` mm to the right of the piece at its parameter `t`. */
function beside(piece: Piece, t: number, move: number): Point {
  const { from, segment } = piece
  const at = t === 0 ? from : t === 1 ? segment.to : segmentPoint(from, segment, t)
  return add(at, scaled(rightOf(headingAt(piece, t)), move))
}

/** Unit direction of travel, exact where a cubic stands still at an end: there it sets out towards its next handle. */
function headingAt({ from, segment }: Piece, t: number): Point {
  if (segment.kind === 'cubic' && (t === 0 || t === 1)) {
    const { c1, c2, to } = segment
    const ways = t === 0 ? [c1, c2, to].map((p) => subtract(p, from)) : [c2, c1, from].map((p) => subtract(to, p))
    const way = ways.find((leg) => norm(leg) > 1e-12)
    if (way) return unit(way)
  }
  return segmentHeading(from, segment, t)
}

/** A cubic moved `move` mm to its right, as cubics. Undefined where that, or the cubic itself, would turn back. */
function parallelOf(from: Point, cubic: Cubic, move: number): readonly Segment[] | undefined {
  const turnRate = (t: number) => {
    // Does the curve stand still at an end (a handle of no length)? It turns there as it does a little to the inside.
    const still = norm(cubicDerivative(from, cubic, t)) <= 1e-12
    return cubicTurnRate(from, cubic, still ? (t < 0.5 ? 1e-6 : 1 - 1e-6) : t)
  }
  // The parallel is o' = p' (1 + curvature move), written so that it holds where p' is 0.
  const speed = (t: number) => norm(cubicDerivative(from, cubic, t)) + move * turnRate(t)
  if (isCusped(from, cubic) || least(speed) < 0) return undefined
  const at = (t: number) => beside({ from, segment: cubic }, t, move)
  const rate = (t: number) => scaled(headingAt({ from, segment: cubic }, t), speed(t))
  return fittedCurve(at, rate, 0, 1, parallelTolerance).segments
}

/** Does the cubic stand still inside, where its heading jumps? */
function isCusped(from: Point, cubic: Cubic): boolean {
  const size = distance(from, cubic.c1) + distance(cubic.c1, cubic.c2) + distance(cubic.c2, cubic.to)
  return least((t) => norm(cubicDerivative(from, cubic, 0.001 + 0.998 * t))) <= 1e-9 * size
}

/** The least value of a function over 0..1 with few dips: 32 places, then thirds about the lowest. */
function least(value: (t: number) => number): number {
  const count = 32
  let lowest = 0
  let found = value(0)
  for (let i = 1; i <= count; i++) {
    const here = value(i / count)
    if (here < found) {
      lowest = i
      found = here
    }
  }
  let low = Math.max(0, (lowest - 1) / count)
  let high = Math.min(1, (lowest + 1) / count)
  for (let i = 0; i < 50; i++) {
    const a = low + (high - low) / 3
    const b = high - (high - low) / 3
    if (value(a) < value(b)) high = b
    else low = a
  }
  return Math.min(found, value((low + high) / 2))
}

/**
 * Where an edge is cut: `reach` is the number of the piece plus the parameter on it, so 0..pieces is on the edge itself.
 * Past that the first or last piece runs on along its own curve, or, if `straight`, along its end's heading, in mm.
 */
interface Cut {
  readonly reach: number
  readonly straight: boolean
}

/** How an edge goes over into the next: from its end at `at`, by a straight piece where `next` is another point. */
interface Joint {
  readonly end: Cut
  readonly begin: Cut
  readonly at: Point
  readonly next: Point
}

/**
 * Moved edges in order round a shape made into one closed path: each is run on, or cut back, to where it meets the next.
 * Neighbours had a common corner before they were moved. Lines and arcs run on along their own curve, cubics straight.
 *
 * - Where two edges run smoothly into each other the joint is their common point, or, moved by different distances, a
 *   straight step from one to the other; so too at a corner so flat that they would meet far off, past an end.
 * - A tip farther from its corner than 4 times the larger move (under 28.96 degrees where the moves are alike) is cut
 *   off square there.
 *
 * Steps and cut tips lie in the outline between the edges. Undefined where neighbours do not meet near their common
 * corner, or where nothing is left of an edge.
 */
export function joinEdges(edges: readonly Path[]): { outline: Path; edges: readonly Path[] } | undefined {
  const owns = edges.map((edge) => [...pieces(edge)])
  const joints: Joint[] = []
  for (const [i, own] of owns.entries()) {
    const joint = jointOf(own, owns[(i + 1) % owns.length] as readonly Piece[])
    if (!joint) return undefined
    joints.push(joint)
  }
  const trimmed: Path[] = []
  const segments: Segment[] = []
  for (const [i, own] of owns.entries()) {
    const before = joints.at(i - 1) as Joint
    const after = joints[i] as Joint
    const path = trim(own, before.begin, after.end, before.next, after.at)
    if (!path) return undefined
    trimmed.push(path)
    segments.push(...path.segments, ...stepOf(after))
  }
  return { outline: closedPath((trimmed[0] as Path).start, segments), edges: trimmed }
}

const lastOf = (own: readonly Piece[]): Piece => own.at(-1) as Piece
const firstOf = (own: readonly Piece[]): Piece => own[0] as Piece
const startHeading = (piece: Piece): Point => headingAt(piece, 0)
const endHeading = (piece: Piece): Point => headingAt(piece, 1)
const stepOf = ({ at, next }: Joint): Segment[] => (at === next ? [] : [lineTo(next)])

interface Parted {
  readonly before: readonly Piece[]
  readonly after: readonly Piece[]
}

/** Two parts of one edge up to their joint and from it on. Undefined where nothing is left of one of them. */
function partedAt(a: readonly Piece[], joint: Joint | undefined, b: readonly Piece[]): Parted | undefined {
  if (!joint) return undefined
  const before = trim(a, { reach: 0, straight: false }, joint.end, firstOf(a).from, joint.at)
  const after = trim(b, joint.begin, { reach: b.length, straight: false }, joint.next, lastOf(b).segment.to)
  if (!before || !after) return undefined
  const stepped = { ...before, segments: [...before.segments, ...stepOf(joint)] }
  return { before: [...pieces(stepped)], after: [...pieces(after)] }
}

/** The corner that two moved ends came from, and where their tangents meet. */
interface Corner {
  /** end of the one edge and heading there */
  readonly p: Point
  readonly u: Point
  /** start of the next edge and heading there */
  readonly q: Point
  readonly v: Point
  /** mm from `p` along `u`, and from `q` along `v`, to where the tangents meet; negative is back */
  readonly onU: number
  readonly onV: number
  /** the corner before the edges were moved, and the larger of the two moves, mm */
  readonly foot: Point
  readonly move: number
}

/**
 * With p = foot + a right(u) and q = foot + b right(v) the moves a and b follow from q - p. In a hairpin, where u and v
 * are opposite, only their sum does, and the tangents never meet.
 */
function cornerOf(p: Point, u: Point, q: Point, v: Point): Corner {
  const det = cross(u, v)
  const gap = subtract(q, p)
  if (Math.abs(det) < 1e-9) {
    const onU = dot(gap, rightOf(u)) < 0 ? Infinity : -Infinity
    return { p, u, q, v, onU, onV: -onU, foot: between(p, q, 0.5), move: norm(gap) / 2 }
  }
  const a = cross(rightOf(v), gap) / det
  const b = cross(rightOf(u), gap) / det
  const foot = add(p, scaled(rightOf(u), -a))
  const move = Math.max(Math.abs(a), Math.abs(b))
  return { p, u, q, v, onU: cross(gap, v) / det, onV: cross(gap, u) / det, foot, move }
}

/** The joint between the end of `a` and the start of `b`. */
function jointOf(a: readonly Piece[], b: readonly Piece[]): Joint | undefined {
  const p = lastOf(a).segment.to
  const q = firstOf(b).from
  const u = endHeading(lastOf(a))
  const v = startHeading(firstOf(b))
  const asTheyAre = { end: { reach: a.length, straight: false }, begin: { reach: 0, straight: false }, at: p }
  const smooth = Math.abs(turnBetween(u, v)) <= smoothTurn
  if (distance(p, q) <= (smooth ? samePoint : hairline)) return { ...asTheyAre, next: p }
  if (smooth) return { ...asTheyAre, next: q }

  const corner = cornerOf(p, u, q, v)
  const limit = mitreLimit * corner.move
  const runOn = corner.onU > 0 && corner.onV < 0
  const isFar = (tip: Point) => !(distance(tip, corner.foot) <= limit * (1 + 1e-9))
  const met = singleMeeting(a, b, true) ?? crossingNear(a, b, corner)
  if (met && !(runOn && met.end.reach > a.length && met.begin.reach < 0 && isFar(met.at))) return met
  const tip = add(p, scaled(u, corner.onU))
  if (runOn && isFar(tip)) return cutTip(a, b, corner, limit)
  if (runOn) return { end: runOnEnd(a, corner.onU), begin: runOnStart(b, corner.onV), at: tip, next: tip }
  // Is one run on and the other cut back, at so flat a corner that they meet only beyond?
  if (corner.onU * corner.onV > 0 && isFar(tip)) return { ...asTheyAre, next: q }
  return singleMeeting(a, b, false)
}

/** The tip cut off square to the line from the corner to it, `limit` mm from the corner. */
function cutTip(a: readonly Piece[], b: readonly Piece[], { p, u, q, v, onU, foot }: Corner, limit: number): Joint {
  const out = onU < Infinity ? unit(subtract(add(p, scaled(u, onU)), foot)) : u
  const base = add(foot, scaled(out, limit))
  const s = dot(subtract(base, p), out) / dot(u, out)
  const t = dot(subtract(base, q), out) / dot(v, out)
  return { end: runOnEnd(a, s), begin: runOnStart(b, t), at: add(p, scaled(u, s)), next: add(q, scaled(v, t)) }
}

/** A cut `on` mm past the end along the heading there: a line stays one piece. */
const runOnEnd = (own: readonly Piece[], on: number): Cut =>
  lastOf(own).segment.kind === 'line' ? alongEnd(own, on) : { reach: own.length + on, straight: true }

/** As `runOnEnd` before the start, `on` being negative, mm. */
const runOnStart = (own: readonly Piece[], on: number): Cut =>
  firstOf(own).segment.kind === 'line' ? alongStart(own, on) : { reach: on, straight: true }

/** The crossing of two edges, run on as far as a tip at their corner may stand out, or as their tangents meet. */
function crossingNear(a: readonly Piece[], b: readonly Piece[], { onU, onV, move }: Corner): Joint | undefined {
  const far = (on: number) => (mitreLimit + 1) * move + (on > 0 && on < Infinity ? 1.5 * on : 0)
  // A few pieces on either side mostly hold it: a crossing nearer than they reach is the nearest there is.
  for (const count of [4, 32]) {
    if (a.length <= count && b.length <= count) break
    const [tail, head] = [a.slice(-count), b.slice(0, count)]
    const joint = crossingJoint(tail, head, far(onU), far(-onV))
    if (!joint) continue
    const end = { ...joint.end, reach: joint.end.reach + a.length - tail.length }
    const used = lengthBetween(tail, joint.end.reach, tail.length) + lengthBetween(head, 0, joint.begin.reach)
    if (used < Math.min(pathLength(pathOf(tail)), pathLength(pathOf(head)))) return { ...joint, end }
  }
  return crossingJoint(a, b, far(onU), far(-onV))
}

/** About how many mm of an edge lie between two reaches on it; 0 past its ends, where nothing is cut away. */
function lengthBetween(own: readonly Piece[], low: number, high: number): number {
  const inside = (reach: number) => Math.max(0, Math.min(own.length, reach))
  const [from, to] = [inside(low), inside(high)]
  return own.reduce((sum, { from: start, segment }, i) => {
    const [s, t] = [Math.max(0, from - i), Math.min(1, to - i)]
    return t > s ? sum + (t - s) * segmentLength(start, segment) : sum
  }, 0)
}

/**
 * Where the end of `a`, run on by `onA` mm, crosses the start of `b`, run on backward by `onB` mm: of several places
 * the one with the least length between it and the edges' own ends.
 */
function crossingJoint(a: readonly Piece[], b: readonly Piece[], onA: number, onB: number): Joint | undefined {
  const backB = [...pieces(reversed(pathOf(b)))]
  const longB = reversed(runOnBy(backB, onB))
  const lengthA = pathLength(pathOf(a))
  const lengthB = pathLength(pathOf(b))
  const startB = pathLength(longB) - lengthB
  const [nearest] = meetings(runOnBy(a, onA), longB)
    .map(({ at, onA, onB }) => ({ at, past: onA - lengthA, after: onB - startB }))
    .filter(({ past, after }) => past > -lengthA && after < lengthB)
    .sort((x, y) => Math.abs(x.past) + Math.abs(x.after) - Math.abs(y.past) - Math.abs(y.after))
  if (!nearest) return undefined
  const { at, past, after } = nearest
  const end = past > 0 ? alongEnd(a, past) : { reach: reachAt(a, lengthA + past), straight: false }
  const begin = after < 0 ? alongStart(b, after) : { reach: reachAt(b, after), straight: false }
  return { end, begin, at, next: at }
}

const pathOf = (own: readonly Piece[]): Path => ({
  start: firstOf(own).from,
  segments: own.map((piece) => piece.segment),
  closed: false,
})

/** The edge with its end run on by `on` mm, an arc by half a turn at most. */
function runOnBy(own: readonly Piece[], on: number): Path {
  const path = pathOf(own)
  const { from, segment } = lastOf(own)
  if (on === 0) return path
  if (segment.kind === 'cubic') {
    const end = add(segment.to, scaled(endHeading(lastOf(own)), on))
    return { ...path, segments: [...path.segments, lineTo(end)] }
  }
  const share = on / segmentLength(from, segment)
  if (segment.kind === 'line') {
    const end = segmentPoint(from, segment, 1 + share)
    return { ...path, segments: [...path.segments.slice(0, -1), lineTo(end)] }
  }
  const most = Math.min(share, Math.PI / Math.abs(segment.sweep))
  return { ...path, segments: [...path.segments, arcTo(arcPoint(from, segment, 1 + most), segment.sweep * most)] }
}

/** A cut `on` mm past the end: on the last piece's own curve, after a cubic straight. */
function alongEnd(own: readonly Piece[], on: number): Cut {
  const { from, segment } = lastOf(own)
  if (segment.kind === 'cubic') return { reach: own.length + on, straight: true }
  return { reach: own.length + on / segmentLength(from, segment), straight: false }
}

/** As `alongEnd` before the start, `on` being negative, mm. */
function alongStart(own: readonly Piece[], on: number): Cut {
  const { from, segment } = firstOf(own)
  if (segment.kind === 'cubic') return { reach: on, straight: true }
  return { reach: on / segmentLength(from, segment), straight: false }
}

/** The reach at `length` mm along the edge. */
function reachAt(own: readonly Piece[], length: number): number {
  let left = length
  for (const [i, { from, segment }] of own.entries()) {
    const piece = segmentLength(from, segment)
    if (left < piece) return i + parameterAt(from, segment, Math.max(0, left))
    left -= piece
  }
  return own.length
}

/**
 * Two edges of one line or arc each, run on or cut back along their own curves until they meet, by Newton's method from
 * their corner. With `near` only where both keep some of what they are; else past the other end too, which may itself
 * be run on.
 */
function singleMeeting(a: readonly Piece[], b: readonly Piece[], near: boolean): Joint | undefined {
  const [one] = a
  const [other] = b
  if (!one || !other || a.length > 1 || b.length > 1) return undefined
  if (one.segment.kind === 'cubic' || other.segment.kind === 'cubic') return undefined
  const la = segmentLength(one.from, one.segment)
  const lb = segmentLength(other.from, other.segment)
  let s = 1
  let t = 0
  for (let i = 0; i < 40; i++) {
    const gap = subtract(segmentPoint(other.from, other.segment, t), segmentPoint(one.from, one.segment, s))
    const ua = scaled(segmentHeading(one.from, one.segment, s), la)
    const ub = scaled(segmentHeading(other.from, other.segment, t), lb)
    const det = cross(ua, ub)
    if (Math.abs(det) < 1e-9 * la * lb) return undefined
    s += cross(gap, ub) / det
    t += cross(gap, ua) / det
    if (norm(gap) < 1e-12 * (1 + la + lb)) break
  }
  if (near && (s <= 0 || t >= 1)) return undefined
  // Did it go round a circle to the far side, where the edges meet as well?
  const round = ({ segment }: Piece, on: number) => segment.kind === 'arc' && Math.abs(segment.sweep) * on > Math.PI
  if (round(one, s - 1) || round(other, -t)) return undefined
  const at = segmentPoint(one.from, one.segment, s)
  if (!(distance(at, segmentPoint(other.from, other.segment, t)) < 1e-6)) return undefined
  return { end: { reach: s, straight: false }, begin: { reach: t, straight: false }, at, next: at }
}

/** An edge between two cuts, from `start` to `end` exactly. Undefined where nothing is left of it. */
function trim(own: readonly Piece[], begin: Cut, end: Cut, start: Point, finish: Point): Path | undefined {
  if (begin.reach >= end.reach) return undefined
  const first = indexAt(own, begin.reach)
  const last = indexAt(own, end.reach)
  const segments: Segment[] = []
  if (begin.straight) segments.push(lineTo(firstOf(own).from))
  for (let i = first; i <= last; i++) {
    const { from, segment } = own[i] as Piece
    const low = i > first || begin.straight ? 0 : begin.reach - i
    const high = i < last || end.straight ? 1 : end.reach - i
    const isWhole = low === 0 && high === 1
    if (isWhole) segments.push(segment)
    else if ((high - low) * segmentLength(from, segment) > hairline) segments.push(...partOf(from, segment, low, high))
  }
  if (end.straight) segments.push(lineTo(finish))
  const tail = segments.at(-1)
  return tail && { start, segments: [...segments.slice(0, -1), { ...tail, to: finish }], closed: false }
}

const indexAt = (own: readonly Piece[], reach: number): number =>
  Math.max(0, Math.min(own.length - 1, Math.floor(reach)))

/** A part as one segment, or as two arcs where one would turn by more than half a turn. */
function partOf(from: Point, segment: Segment, low: number, high: number): Segment[] {
  const isLong = segment.kind === 'arc' && Math.abs(segment.sweep) * (high - low) > Math.PI
  const middle = (low + high) / 2
  const stops = isLong ? [low, middle, high] : [low, high]
  return stops.slice(1).map((stop, i) => segmentPart(from, segment, stops[i] as number, stop).segment)
}

/**
 * A closed path of straight edges with its corners rounded; `radii` in mm from the corner at its start on, 0 for square.
 * Whether the roundings have room beside each other is not judged here. Refuses an edge that is not straight.
 */
export function roundedCorners(outline: Path, radii: readonly number[]): Path {
  const own = [...pieces(outline)]
  if (own.some(({ segment }) => segment.kind !== 'line'))
    throw new RangeError('corners are rounded between straight edges')
  const segments: Segment[] = []
  let start: Point | undefined
  own.forEach(({ from, segment }, i) => {
    const before = own[(i + own.length - 1) % own.length] as Piece
    const next = own[(i + 1) % own.length] as Piece
    const way = segmentHeading(from, segment, 0)
    const cut = (a: Point, b: Point, r: number) => r * Math.tan(turnBetween(a, b) / 2)
    const nearCut = cut(segmentHeading(before.from, before.segment, 1), way, radii[i] ?? 0)
    const nextWay = segmentHeading(next.from, next.segment, 0)
    const r = radii[(i + 1) % own.length] ?? 0
    const farCut = cut(way, nextWay, r)
    start ??= add(from, scaled(way, nearCut))
    segments.push(lineTo(add(segment.to, scaled(way, -farCut))))
    if (r > 0) {
      segments.push(arcTo(add(segment.to, scaled(nextWay, farCut)), turnBetween(way, nextWay)))
    }
  })
  const path = { start: start ?? outline.start, segments, closed: true }
  const end = endOf(path)
  const last = segments.at(-1) as Segment
  return end === path.start ? path : { ...path, segments: [...segments.slice(0, -1), { ...last, to: path.start }] }
}
