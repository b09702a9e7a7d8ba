import Flatbush from 'flatbush'
import { toChord } from '../geometry/chord.ts'
import { flatten } from '../geometry/flatten.ts'
import type { Path, Piece } from '../geometry/path.ts'
import { between, direction, distance, type Point, turnBetween } from '../geometry/point.ts'
import { segmentHeading, segmentLength, segmentPart, segmentPoint } from '../geometry/segment.ts'
import { type Blade, endWay, movingParts, startWay } from './blade.ts'
import { anyHeading } from './lead-in.ts'
import type { Stroke } from './stroke.ts'
import { headingAfter, tipWay } from './tip.ts'

/** One stroke of the axis, as it was read back from a file, mm on the sheet. */
export interface Drive {
  readonly path: Path
  /** is it a stroke on scrap that only turns the blade, with no asked stroke of its own? */
  readonly leadIn?: boolean
}

export interface TipOptions {
  /** rad, how the blade stands before the first stroke. Left out, it stands as does the most harm to the first cut. */
  readonly heading?: number
}

/** A largest distance, mm, and the place of it on the line that was looked along. */
export interface Miss {
  readonly distance: number
  readonly at: Point
}

/** A feature smaller than the blade. */
export interface Forbidden {
  readonly kind: 'tight curve' | 'short step'
  readonly at: Point
  /** mm: least radius of the curve, or length of the step. A blade of an offset up to this can do it */
  readonly size: number
}

export interface StrokeTip {
  readonly name: string
  /** the tip's own way, as points whose chords stay near to it */
  readonly way: readonly Point[]
  /** of the cut from the line asked for */
  readonly cut: Miss
  /** of the line asked for from the cut: what was left uncut shows here */
  readonly uncut: Miss
  readonly forbidden: readonly Forbidden[]
}

/** A miss with the number of its stroke, from 0, and its name. */
export interface WorstMiss extends Miss {
  readonly stroke: number
  readonly name: string
}

export interface TipReport {
  /** one for each asked stroke, in order */
  readonly strokes: readonly StrokeTip[]
  /** undefined where nothing was asked for */
  readonly worstCut: WorstMiss | undefined
  readonly worstUncut: WorstMiss | undefined
}

/** Chords of the asked line and of the drive stay this near to their curves, mm. */
const fine = 0.001
/** Chords of the tip's way stay this near to it, mm. */
const tipTolerance = 0.002
/** A chord this near, mm, is found without asking for the nearest boxes in order: most cuts are nearly right. */
const close = 0.05
/** A largest distance is found to this, mm. */
const sure = 5e-4

/**
 * Where the tip of a blade goes when its axis goes along `drives`, and how far that is from what was asked for, to about
 * 0.005 mm. The drives that are no lead-ins belong to the asked strokes in order, one each; the blade keeps its heading
 * from stroke to stroke. Each cut is held against its own asked stroke only, so that a neighbour hides nothing.
 */
export function checkTip(
  asked: readonly Stroke[],
  drives: readonly Drive[],
  blade: Blade,
  options: TipOptions = {},
): TipReport {
  const cuts = drives.filter((drive) => !drive.leadIn).length
  if (cuts !== asked.length) {
    throw new RangeError(`${cuts} strokes driven for ${asked.length} asked for; there must be one for each`)
  }
  let heading = options.heading ?? worstHeading(asked, drives, blade)
  const strokes: StrokeTip[] = []
  for (const drive of drives) {
    const tip = tipWay(flatten(drive.path, fine), heading, blade.offset, tipTolerance)
    heading = tip.heading
    const stroke = asked[strokes.length]
    if (drive.leadIn || !stroke) continue
    const line = roundOnce(stroke.path)
    strokes.push({
      name: stroke.name,
      way: tip.points,
      cut: farthest(tip.points, line),
      uncut: farthest(line, tip.points),
      forbidden: forbiddenIn(stroke.path, blade),
    })
  }
  return { strokes, worstCut: worst(strokes, 'cut'), worstUncut: worst(strokes, 'uncut') }
}

const worst = (strokes: readonly StrokeTip[], of: 'cut' | 'uncut'): WorstMiss | undefined =>
  strokes.reduce<WorstMiss | undefined>(
    (most, { name, [of]: own }, stroke) => (most && most.distance >= own.distance ? most : { ...own, stroke, name }),
    undefined,
  )

/** Headings that are tried where nothing brings the blade round: every so many of `anyHeading`. */
const tried = 10

/** Of the headings from which the blade may come down, the one after which the first cut is the farthest off. */
function worstHeading(asked: readonly Stroke[], drives: readonly Drive[], { offset }: Blade): number {
  const first = drives.findIndex((drive) => !drive.leadIn)
  const [stroke, drive] = [asked[0], drives[first]]
  if (offset === 0 || !stroke || !drive) return 0
  if (first > 0) {
    const leads = drives.slice(0, first).map(({ path }) => flatten(path, fine))
    const [part] = movingParts(stroke.path)
    const way = part ? startWay(part) : direction(0)
    const astray = (heading: number) => {
      const stands = leads.reduce((own, lead) => headingAfter(lead, own, offset), heading)
      return Math.abs(turnBetween(way, direction(stands)))
    }
    return farthestOff(anyHeading, astray)
  }
  const [line, way] = [roundOnce(stroke.path), flatten(drive.path, fine)]
  const few = anyHeading.filter((_, i) => i % tried === 0)
  return farthestOff(few, (heading) => {
    const { points } = tipWay(way, heading, offset, tipTolerance)
    return Math.max(farthest(points, line).distance, farthest(line, points).distance)
  })
}

/** The heading of which a measure is the largest. */
function farthestOff(headings: readonly number[], measure: (heading: number) => number): number {
  const [worst] = headings.reduce<readonly [number, number]>(
    (most, heading) => {
      const own = measure(heading)
      return own > most[1] ? [heading, own] : most
    },
    [0, -1],
  )
  return worst
}

function roundOnce(path: Path): readonly Point[] {
  const points = flatten(path, fine)
  return path.closed ? [...points, path.start] : points
}

/** The place on `line`, chords included, that lies farthest from `other`; its distance to within `sure`. */
function farthest(line: readonly Point[], other: readonly Point[]): Miss {
  const near = nearestTo(other)
  const first = line[0] as Point
  let most: Miss = { distance: near(first).distance, at: first }
  const look = (at: Point): Near => {
    const found = near(at)
    if (found.distance > most.distance) most = { distance: found.distance, at }
    return found
  }
  /** The distance to one chord has no maximum inside a stretch, so the nearest chords of its ends bound the whole. */
  const search = (a: Point, nearA: Near, b: Point, nearB: Near): void => {
    const bound = Math.min(
      Math.max(nearA.distance, nearA.of(b)),
      Math.max(nearB.distance, nearB.of(a)),
      (nearA.distance + nearB.distance + distance(a, b)) / 2,
    )
    if (bound <= most.distance + sure) return
    const middle = between(a, b, 0.5)
    const nearMiddle = look(middle)
    search(a, nearA, middle, nearMiddle)
    search(middle, nearMiddle, b, nearB)
  }
  let before = first
  let nearBefore = look(first)
  for (const p of line.slice(1)) {
    const nearP = look(p)
    search(before, nearBefore, p, nearP)
    before = p
    nearBefore = nearP
  }
  return most
}

/** The nearest chord of a line: how far it is, and how far it is from any other place. */
interface Near {
  readonly distance: number
  readonly of: (p: Point) => number
}

function nearestTo(line: readonly Point[]): (p: Point) => Near {
  const ends = line.length > 1 ? line : [...line, ...line]
  const index = new Flatbush(ends.length - 1)
  ends.slice(1).forEach((b, i) => {
    const a = ends[i] as Point
    index.add(Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y))
  })
  index.finish()
  const toChordOf = (p: Point, i: number) => toChord(p, ends[i] as Point, ends[i + 1] as Point)
  return (p) => {
    let best = 0
    let least = Infinity
    const among = (chords: readonly number[]) => {
      for (const i of chords) {
        const own = toChordOf(p, i)
        if (own >= least) continue
        least = own
        best = i
      }
    }
    const within = (reach: number) => among(index.search(p.x - reach, p.y - reach, p.x + reach, p.y + reach))
    within(close)
    if (least > close) {
      // Of the nearest boxes one may belong to a long slanting chord that is far off, hence several.
      among(index.neighbors(p.x, p.y, 4))
      within(least)
    }
    return { distance: least, of: (q) => toChordOf(q, best) }
  }
}

/** A short stretch of a path, or a corner (length 0), with the turn in it, rad, left is positive. */
interface Stretch {
  readonly at: Point
  readonly length: number
  readonly turn: number
}

/** Stretches into which a curve is parted to find how tight it is. */
const stretches = 64

/**
 * What is smaller than the blade, from the asked path alone:
 *
 * - tight curve: a curve that turns by half a turn or more one way, all of it on radii under the offset, such as a hole
 *   of that radius or the round end of a narrow slot. (Less than half a turn is cut as a corner is, with a swing.)
 * - short step: two corners of `leastTurn` or more that turn opposite ways, less than the offset apart along the path.
 *
 * A towed point would follow both. A real blade is about as long as its offset: in the one it is dragged more sideways
 * than along (it lags by atan(L / R)), in the other it swings back before it has left its own first cut. A curve handed
 * over as chords is judged by its corners.
 */
function forbiddenIn(path: Path, { offset, leastTurn }: Blade): Forbidden[] {
  if (offset === 0) return []
  const all = stretchesOf(path)
  const isCorner = (s: Stretch) => s.length === 0 && Math.abs(s.turn) >= Math.max(leastTurn, 1e-6)
  const isTight = (s: Stretch) => s.length > 0 && s.length < offset * Math.abs(s.turn)
  const smooth = all.filter((s) => s.length > 0 || isCorner(s))
  const corner = all.find(isCorner)
  if (!path.closed) return [...tightCurves(smooth, isTight), ...shortSteps(all, isCorner, offset)]
  // What runs over the start of a closed path is one: begin where nothing can, and end with the first corner again.
  const steps = corner ? [...beginningAt(all, isCorner), corner] : []
  return [
    ...tightCurves(
      beginningAt(smooth, (s) => !isTight(s)),
      isTight,
    ),
    ...shortSteps(steps, isCorner, offset),
  ]
}

function beginningAt(all: readonly Stretch[], isFirst: (s: Stretch) => boolean): readonly Stretch[] {
  const first = Math.max(0, all.findIndex(isFirst))
  return [...all.slice(first), ...all.slice(0, first)]
}

function tightCurves(all: readonly Stretch[], isTight: (s: Stretch) => boolean): Forbidden[] {
  const found: Forbidden[] = []
  let turn = 0
  let tightest: Stretch | undefined
  const radius = (s: Stretch) => s.length / Math.abs(s.turn)
  const end = () => {
    if (tightest && Math.abs(turn) >= Math.PI - 1e-6) {
      found.push({ kind: 'tight curve', at: tightest.at, size: radius(tightest) })
    }
    turn = 0
    tightest = undefined
  }
  for (const s of all) {
    const tight = isTight(s)
    if (!tight || s.turn * turn < 0) end()
    if (!tight) continue
    turn += s.turn
    if (!tightest || radius(s) < radius(tightest) * (1 - 1e-9)) tightest = s
  }
  end()
  return found
}

function shortSteps(all: readonly Stretch[], isCorner: (s: Stretch) => boolean, offset: number): Forbidden[] {
  const found: Forbidden[] = []
  let last: Stretch | undefined
  let length = 0
  for (const s of all) {
    length += s.length
    if (!isCorner(s)) continue
    if (last && last.turn * s.turn < 0 && length < offset) {
      found.push({ kind: 'short step', at: between(last.at, s.at, 0.5), size: length })
    }
    last = s
    length = 0
  }
  return found
}

function stretchesOf(path: Path): Stretch[] {
  const parts = movingParts(path)
  const corner = (before: Piece | undefined, part: Piece): Stretch[] =>
    before ? [{ at: part.from, length: 0, turn: turnBetween(endWay(before), startWay(part)) }] : []
  return parts.flatMap((part, i) => [
    ...corner(i === 0 ? (path.closed ? parts.at(-1) : undefined) : parts[i - 1], part),
    ...curveStretches(part),
  ])
}

function curveStretches(part: Piece): Stretch[] {
  const { from, segment } = part
  const length = segmentLength(from, segment)
  if (segment.kind === 'line') return [{ at: between(from, segment.to, 0.5), length, turn: 0 }]
  if (segment.kind === 'arc') return [{ at: segmentPoint(from, segment, 0.5), length, turn: segment.sweep }]
  const wayAt = (i: number) =>
    i === 0 ? startWay(part) : i === stretches ? endWay(part) : segmentHeading(from, segment, i / stretches)
  return Array.from({ length: stretches }, (_, i) => {
    const own = segmentPart(from, segment, i / stretches, (i + 1) / stretches)
    return {
      at: segmentPoint(from, segment, (i + 0.5) / stretches),
      length: segmentLength(own.from, own.segment),
      turn: turnBetween(wayAt(i), wayAt(i + 1)),
    }
  })
}
