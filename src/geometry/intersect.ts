import { cubicLength } from './cubic.ts'
import { lengthsOf } from './length.ts'
import { type Path, type Piece, pieces } from './path.ts'
import { cross, distance, dot, type Point, subtract } from './point.ts'
import { segmentExtremes, segmentLength, segmentPoint } from './segment.ts'

/** Where a line meets a path. */
export interface Crossing {
  readonly at: Point
  /** mm along the path */
  readonly length: number
  /** mm along the line from its `through` point, in its direction */
  readonly reach: number
}

/** A piece that comes no nearer to the line than this is looked at no further, mm. */
const slack = 1e-9

/**
 * All places where the endless line through `through` along the unit vector `way` crosses the path, in order along
 * the line. A line that only touches a curve may be missed; a segment lying in the line counts by its ends.
 */
export function crossings(path: Path, through: Point, way: Point): Crossing[] {
  const found: Crossing[] = []
  let i = 0
  for (const piece of pieces(path)) {
    const before = i++ - 1
    if (isBeside(piece, through, way)) continue
    for (const t of parametersOn(piece, through, way)) {
      const at = segmentPoint(piece.from, piece.segment, t)
      const length = (lengthsOf(path)[before] ?? 0) + lengthTo(piece, t)
      const reach = dot(subtract(at, through), way)
      if (!found.some((other) => Math.abs(other.reach - reach) < 1e-7)) found.push({ at, length, reach })
    }
  }
  return found.sort((a, b) => a.reach - b.reach)
}

/** Does the piece certainly keep to one side of the line? */
function isBeside({ from, segment }: Piece, through: Point, way: Point): boolean {
  const side = (p: Point) => way.x * (p.y - through.y) - way.y * (p.x - through.x)
  const [a, b] = [side(from), side(segment.to)]
  // Up to a half turn no point of an arc is farther from its start than its end is.
  if (segment.kind === 'arc') return Math.abs(a) > distance(from, segment.to) + slack
  const low = segment.kind === 'cubic' ? Math.min(side(segment.c1), side(segment.c2)) : a
  const high = segment.kind === 'cubic' ? Math.max(side(segment.c1), side(segment.c2)) : a
  return Math.min(a, b, low) > slack || Math.max(a, b, high) < -slack
}

/** Between neighbouring turning points the distance from the line has one sign change at most: bisect there. */
function parametersOn({ from, segment }: Piece, through: Point, way: Point): number[] {
  const side = (t: number) => cross(way, subtract(segmentPoint(from, segment, t), through))
  const stops = [0, ...splitsAcross(segment, from, way), 1].sort((a, b) => a - b)
  const found: number[] = []
  for (let i = 1; i < stops.length; i++) {
    let low = stops[i - 1] as number
    let high = stops[i] as number
    const atLow = side(low)
    const atHigh = side(high)
    if (Math.abs(atLow) < 1e-10) found.push(low)
    if (Math.abs(atHigh) < 1e-10) found.push(high)
    if (atLow * atHigh >= 0 || Math.abs(atLow) < 1e-10 || Math.abs(atHigh) < 1e-10) continue
    for (let k = 0; k < 80 && high - low > 1e-16; k++) {
      const middle = (low + high) / 2
      if (side(middle) * atLow > 0) low = middle
      else high = middle
    }
    found.push((low + high) / 2)
  }
  return found
}

function splitsAcross(segment: Piece['segment'], from: Point, way: Point): number[] {
  if (segment.kind === 'line') return []
  // Turned so that the line is level, the curve's extremes in y are where it turns back towards the line.
  const level = (p: Point): Point => ({ x: dot(p, way), y: cross(way, p) })
  const turned =
    segment.kind === 'arc'
      ? { ...segment, to: level(segment.to) }
      : { ...segment, c1: level(segment.c1), c2: level(segment.c2), to: level(segment.to) }
  return segmentExtremes(level(from), turned)
}

function lengthTo({ from, segment }: Piece, t: number): number {
  if (t === 0) return 0
  return segment.kind === 'cubic' ? cubicLength(from, segment, 0, t) : t * segmentLength(from, segment)
}
