import { endOf, type Path, type Piece, pieces, type Segment } from './path.ts'
import type { Point } from './point.ts'
import { parameterAt, segmentHeading, segmentLength, segmentPart, segmentPoint } from './segment.ts'

/** mm from the start to the end of each segment; paths do not change, so each is measured once. */
const measured = new WeakMap<Path, readonly number[]>()

/** mm along the path at the end of each segment. */
export function lengthsOf(path: Path): readonly number[] {
  const known = measured.get(path)
  if (known) return known
  let sum = 0
  const ends: number[] = []
  for (const { from, segment } of pieces(path)) {
    sum += segmentLength(from, segment)
    ends.push(sum)
  }
  measured.set(path, ends)
  return ends
}

/** Length in mm. */
export const pathLength = (path: Path): number => lengthsOf(path).at(-1) ?? 0

/** A point on a path with the unit direction of travel there. */
export interface Station {
  readonly at: Point
  readonly heading: Point
}

/** Point and direction at `length` mm from the start; refuses a length off the path. */
export function stationAt(path: Path, length: number): Station {
  const ends = lengthsOf(path)
  const whole = ends.at(-1) ?? 0
  const found = length >= 0 ? ends.findIndex((end) => length < end) : -1
  if (found >= 0) {
    const { from, segment } = pieceAt(path, found)
    const t = parameterAt(from, segment, length - (ends[found - 1] ?? 0))
    return { at: segmentPoint(from, segment, t), heading: segmentHeading(from, segment, t) }
  }
  if (ends.length === 0 || length < 0 || length - whole > 1e-9 * (1 + length)) {
    throw new RangeError(`${length} mm along a path of ${whole} mm`)
  }
  const { from, segment } = pieceAt(path, ends.length - 1)
  return { at: endOf(path), heading: segmentHeading(from, segment, 1) }
}

/** The segment of that number, with where it starts. */
function pieceAt({ start, segments }: Path, i: number): Piece {
  const segment = segments[i]
  if (!segment) throw new RangeError(`no segment ${i}`)
  return { from: segments[i - 1]?.to ?? start, segment }
}

/** The part of a path from `low` to `high` mm along it, open; 0 <= low < high <= length. */
export function pathPart(path: Path, low: number, high: number): Path {
  const segments: Segment[] = []
  let start: Point | undefined
  const ends = lengthsOf(path)
  let i = 0
  for (const { from, segment } of pieces(path)) {
    const done = ends[i - 1] ?? 0
    const own = (ends[i] ?? 0) - done
    i++
    const a = Math.max(0, low - done)
    const b = Math.min(own, high - done)
    if (b - a > 1e-12) {
      const t0 = a === 0 ? 0 : parameterAt(from, segment, a)
      const t1 = b === own ? 1 : parameterAt(from, segment, b)
      const part = segmentPart(from, segment, t0, t1)
      start ??= part.from
      segments.push(part.segment)
    }
  }
  return { start: start ?? stationAt(path, low).at, segments, closed: false }
}
