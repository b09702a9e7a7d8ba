import { endOf, type Path, type Piece, pieces, type Segment } from './path.ts'
import type { Point } from './point.ts'
import { parameterAt, segmentHeading, segmentLength, segmentPart, segmentPoint } from './segment.ts'

/** Length in mm. */
export function pathLength(path: Path): number {
  let sum = 0
  for (const { from, segment } of pieces(path)) sum += segmentLength(from, segment)
  return sum
}

/** A point on a path with the unit direction of travel there. */
export interface Station {
  readonly at: Point
  readonly heading: Point
}

/** Point and direction at `length` mm from the start; refuses a length off the path. */
export function stationAt(path: Path, length: number): Station {
  let left = length
  let last: Piece | undefined
  for (const piece of pieces(path)) {
    const own = segmentLength(piece.from, piece.segment)
    if (left >= 0 && left < own) {
      const t = parameterAt(piece.from, piece.segment, left)
      return { at: segmentPoint(piece.from, piece.segment, t), heading: segmentHeading(piece.from, piece.segment, t) }
    }
    left -= own
    last = piece
  }
  if (!last || length < 0 || left > 1e-9 * (1 + length)) {
    throw new RangeError(`${length} mm along a path of ${pathLength(path)} mm`)
  }
  return { at: endOf(path), heading: segmentHeading(last.from, last.segment, 1) }
}

/** The part of a path from `low` to `high` mm along it, open; 0 <= low < high <= length. */
export function pathPart(path: Path, low: number, high: number): Path {
  const segments: Segment[] = []
  let start: Point | undefined
  let done = 0
  for (const { from, segment } of pieces(path)) {
    const own = segmentLength(from, segment)
    const a = Math.max(0, low - done)
    const b = Math.min(own, high - done)
    if (b - a > 1e-12) {
      const t0 = a === 0 ? 0 : parameterAt(from, segment, a)
      const t1 = b === own ? 1 : parameterAt(from, segment, b)
      const part = segmentPart(from, segment, t0, t1)
      start ??= part.from
      segments.push(part.segment)
    }
    done += own
  }
  return { start: start ?? stationAt(path, low).at, segments, closed: false }
}
