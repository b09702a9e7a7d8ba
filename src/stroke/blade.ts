import { cubicDerivative, cubicExtremes, cubicSplit, cubicTurnRate } from '../geometry/cubic.ts'
import { fittedCurve } from '../geometry/fit.ts'
import {
  arcTo,
  type Cubic,
  cubicTo,
  lineTo,
  openPath,
  type Path,
  type Piece,
  pieces,
  type Segment,
} from '../geometry/path.ts'
import {
  add,
  cross,
  direction,
  distance,
  dot,
  leftOf,
  norm,
  type Point,
  point,
  scaled,
  subtract,
  turnBetween,
  turned,
  unit,
} from '../geometry/point.ts'
import { segmentHeading, segmentLength, segmentPoint } from '../geometry/segment.ts'

/** A blade that trails behind the axis on which it turns. */
export interface Blade {
  /** mm from the swivel axis back to the tip; 0 for a pen, or where the machine itself allows for it */
  readonly offset: number
  /** rad; at corners that turn by less the axis runs straight over to the next piece instead of swinging round */
  readonly leastTurn: number
}

/** Largest distance of the axis's way along a cubic from the true one, mm: a tenth of the flattening tolerance. */
const fitTolerance = 0.002

/** A segment shorter than this, mm, has no direction to speak of. */
const hairline = 1e-4

/** The axis is not sent aside by less than this, mm: 1/25 of a plotter unit. */
const leastStep = 0.001

/**
 * A swing comes in parts no farther than this from their chords, mm. On chords inside a swing the tip is pushed back and
 * forth on the spot and its turn falls behind; at the ordinary flattening tolerance of 0.02 mm that adds up to 0.07 mm.
 */
const swingChord = 0.003

/** A curve of a radius under this many offsets is driven more aside than along, and comes in short parts as a swing does. */
const tight = 2

/** A range of a cubic's parameter is not halved below this. */
const leastRange = 1e-12

/** A cubic slower than this share of its size stands still there, and its direction may jump. */
const standstill = 1e-7

/**
 * The way of the swivel axis on which the tip cuts `path`: the path shifted forward along its own tangent by the offset,
 * P = T + L t, because a towed tip never moves sideways. Open; a closed path is cut once round, so for an overcut hand
 * in the path made open with the overcut at its end.
 *
 * - A straight piece is shifted along itself, so that it overruns its end by the offset.
 * - An arc of radius R becomes the concentric arc of radius sqrt(R^2 + L^2), which runs ahead by atan(L / R).
 * - A cubic becomes cubics within 0.002 mm of the shifted curve.
 * - At a corner the axis swings on an arc of radius L about the corner, while the tip stands and turns. Below
 *   `leastTurn` it goes the chord of that arc, which misses by about L turn^2 / 8.
 *
 * `heading`, rad, is how the blade stands when it comes down, and the one handed back is how it stands at the end.
 * Undefined means that it stands right. Where it does not, the blade comes down with its tip on the start and is turned
 * there, in the film: nothing is cut beside the line, but the film is twisted at that one place, and can lift where it is
 * thin or the turn large. A `leadIn` on scrap spares the film that and costs a stroke.
 */
export function drivenPath(path: Path, blade: Blade, heading: number | undefined): { path: Path; heading: number } {
  const { offset, leastTurn } = blade
  if (!(offset >= 0 && Number.isFinite(offset))) {
    throw new RangeError(`a blade offset of ${offset} mm; it must be 0 or more`)
  }
  const parts = movingParts(path)
  const first = parts[0]
  if (!first) {
    const stands = heading ?? 0
    return { path: openPath(ahead(path.start, direction(stands), offset)), heading: stands }
  }
  if (offset === 0) {
    return { path: { ...path, closed: false }, heading: angleOf(endWay(parts.at(-1) ?? first)) }
  }
  let way = heading === undefined ? startWay(first) : direction(heading)
  let at = ahead(first.from, way, offset)
  const start = at
  const segments: Segment[] = []
  for (const part of parts) {
    const turn = turnBetween(way, startWay(part))
    const begin = ahead(part.from, startWay(part), offset)
    if (distance(at, begin) >= leastStep) {
      segments.push(...(Math.abs(turn) < leastTurn ? [lineTo(begin)] : swing(part.from, way, turn, offset)))
    }
    segments.push(...drivenPart(part, offset))
    way = endWay(part)
    at = ahead(part.segment.to, way, offset)
  }
  return { path: { start, segments, closed: false }, heading: angleOf(way) }
}

const ahead = (tip: Point, way: Point, offset: number): Point => add(tip, scaled(way, offset))
const angleOf = (way: Point): number => Math.atan2(way.y, way.x)

function drivenPart(part: Piece, offset: number): readonly Segment[] {
  const { from, segment } = part
  if (segment.kind === 'line') return [lineTo(ahead(segment.to, endWay(part), offset))]
  if (segment.kind === 'arc') {
    const isTight = segmentLength(from, segment) < tight * offset * Math.abs(segment.sweep)
    const count = isTight ? Math.ceil(Math.abs(segment.sweep) / partTurn(offset)) : 1
    return Array.from({ length: count }, (_, i) => {
      const t = (i + 1) / count
      return arcTo(ahead(segmentPoint(from, segment, t), wayAt(part, t), offset), segment.sweep / count)
    })
  }
  const at = (t: number) => ahead(segmentPoint(from, segment, t), wayAt(part, t), offset)
  const rate = (t: number) =>
    add(cubicDerivative(from, segment, t), scaled(leftOf(wayAt(part, t)), offset * turnRateAt(from, segment, t)))
  const ranges = partedByTurn(part, offset)
  return ranges.flatMap(([low, high]) => fittedCurve(at, rate, low, high, fitTolerance).segments)
}

/** The swing of the axis about a tip that stands at `tip`, from the direction `way` by `turn`. */
function swing(tip: Point, way: Point, turn: number, offset: number): Segment[] {
  const count = Math.ceil(Math.abs(turn) / partTurn(offset))
  return Array.from({ length: count }, (_, i) =>
    arcTo(ahead(tip, turned(way, (turn * (i + 1)) / count), offset), turn / count),
  )
}

/** The most that the blade turns on one part of a swing, rad, so that the part's chord is `swingChord` off it. */
const partTurn = (offset: number): number => 2 * Math.acos(Math.max(0, 1 - swingChord / offset))

type Range = readonly [low: number, high: number]

/** The ranges of a cubic's parameter to be driven one by one: tight ones turn by `partTurn` at most. */
function partedByTurn(part: Piece, offset: number): Range[] {
  const most = partTurn(offset)
  const found: Range[] = []
  let isGentleBefore = false
  const halve = (low: number, high: number) => {
    const places = [0, 1, 2, 3, 4].map((i) => (i === 4 ? high : low + ((high - low) * i) / 4))
    const ways = places.map((t) => wayAt(part, t))
    const turn = ways.slice(1).reduce((sum, way, i) => sum + Math.abs(turnBetween(ways[i] as Point, way)), 0)
    if (turn > most && high - low > leastRange) {
      const middle = (low + high) / 2
      halve(low, middle)
      halve(middle, high)
      return
    }
    const spots = places.map((t) => segmentPoint(part.from, part.segment, t))
    const length = spots.slice(1).reduce((sum, p, i) => sum + distance(spots[i] as Point, p), 0)
    const isGentle = length >= tight * offset * turn
    const last = found.at(-1)
    if (isGentle && isGentleBefore && last) found[found.length - 1] = [last[0], high]
    else found.push([low, high])
    isGentleBefore = isGentle
  }
  halve(0, 1)
  return found
}

/** Rad per unit of the parameter. Where a cubic stands still at an end it turns as it does a little to the inside. */
function turnRateAt(from: Point, cubic: Cubic, t: number): number {
  const rate = cubicTurnRate(from, cubic, t)
  return Number.isFinite(rate) ? rate : cubicTurnRate(from, cubic, t < 0.5 ? t + 1e-6 : t - 1e-6)
}

export const startWay = (part: Piece): Point => wayAt(part, 0)
export const endWay = (part: Piece): Point => wayAt(part, 1)

/** Unit direction of travel; a cubic that stands still at an end sets out towards its next handle there. */
function wayAt({ from, segment }: Piece, t: number): Point {
  if (segment.kind === 'cubic' && (t === 0 || t === 1)) {
    const { c1, c2, to } = segment
    const legs = t === 0 ? [c1, c2, to].map((p) => subtract(p, from)) : [c2, c1, from].map((p) => subtract(to, p))
    const size = Math.max(...legs.map(norm))
    const leg = legs.find((own) => norm(own) > standstill * size)
    if (leg) return unit(leg)
  }
  return segmentHeading(from, segment, t)
}

/**
 * The segments along which something moves, each without a jump in its direction: hairlines left out (a run of them
 * counts as one straight piece once it is long enough), cubics parted where they stand still.
 */
export function movingParts(path: Path): Piece[] {
  const parts: Piece[] = []
  // Where the first of the hairlines not counted yet began.
  let held: Point | undefined
  for (const piece of pieces(path)) {
    const { from, segment } = piece
    if (segmentLength(from, segment) >= hairline) {
      held = undefined
      parts.push(
        ...(segment.kind === 'cubic' ? (straightened(from, segment) ?? partedAtStops(from, segment)) : [piece]),
      )
      continue
    }
    held ??= from
    if (distance(held, segment.to) < hairline) continue
    parts.push({ from: held, segment: lineTo(segment.to) })
    held = undefined
  }
  return parts
}

/** A cubic no wider than a hairline as the straight pieces along which it runs, to and fro where it does so. */
function straightened(from: Point, cubic: Cubic): Piece[] | undefined {
  const legs = [cubic.c1, cubic.c2, cubic.to].map((p) => subtract(p, from))
  const longest = legs.reduce((most, leg) => (norm(leg) > norm(most) ? leg : most))
  const way = unit(longest)
  if (legs.some((leg) => Math.abs(cross(way, leg)) > hairline)) return undefined
  const [c1, c2, to] = legs.map((leg) => point(dot(way, leg), 0)) as [Point, Point, Point]
  const turns = cubicExtremes(point(0, 0), cubicTo(c1, c2, to)).sort((a, b) => a - b)
  const ends = [...turns.map((t) => segmentPoint(from, cubic, t)), cubic.to]
  return movingParts(openPath(from, ...ends.map(lineTo)))
}

/** The parts of a cubic between the places where it stands still. Handles no longer than a hairline point nowhere. */
function partedAtStops(from: Point, { c1, c2, to }: Cubic): Piece[] {
  const cubic = cubicTo(distance(from, c1) < hairline ? from : c1, distance(c2, to) < hairline ? to : c2, to)
  if (segmentLength(from, cubic) < hairline) return []
  const size = distance(from, c1) + distance(c1, c2) + distance(c2, to)
  const stop = cubicExtremes(from, cubic).find(
    (t) => t > standstill && t < 1 - standstill && norm(cubicDerivative(from, cubic, t)) <= standstill * size,
  )
  if (stop === undefined) return [{ from, segment: cubic }]
  const [head, tail] = cubicSplit(from, cubic, stop)
  return [
    ...partedAtStops(from, cubicTo(head.c1, head.to, head.to)),
    ...partedAtStops(head.to, cubicTo(head.to, tail.c2, tail.to)),
  ]
}
