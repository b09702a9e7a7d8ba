import { type Path, type Piece, pieces } from './path.ts'
import type { Point } from './point.ts'
import { difference, ringsArea, ringsOf } from './polygon.ts'
import { segmentExtremes, segmentPoint } from './segment.ts'

/** Is the point inside the closed path, by the crossing number of a ray to the right? Exact for arcs and cubics too. */
export function pointInside(path: Path, p: Point): boolean {
  let inside = false
  for (const piece of pieces(path)) {
    const { from, segment } = piece
    // Between its extremes a piece only rises or only falls, and only leads to one side.
    const stops = [0, ...segmentExtremes(from, segment).sort((a, b) => a - b), 1]
    let low = 0
    let start = from
    for (const high of stops.slice(1)) {
      const end = segmentPoint(from, segment, high)
      if (start.y > p.y !== end.y > p.y && passesRight(piece, low, high, start, end, p)) inside = !inside
      low = high
      start = end
    }
  }
  return inside
}

/** Is the piece right of `p` where it is as high as `p`? From `low` to `high` it passes that height once. */
function passesRight({ from, segment }: Piece, low: number, high: number, start: Point, end: Point, p: Point): boolean {
  if (Math.min(start.x, end.x) > p.x) return true
  if (Math.max(start.x, end.x) <= p.x) return false
  let a = low
  let b = high
  const startsAbove = start.y > p.y
  for (let i = 0; i < 60; i++) {
    const middle = (a + b) / 2
    if (middle === a || middle === b) break
    if (segmentPoint(from, segment, middle).y > p.y === startsAbove) a = middle
    else b = middle
  }
  return segmentPoint(from, segment, (a + b) / 2).x > p.x
}

/** Does `inner` lie wholly within `outer` (both closed)? Less than 0.001 mm^2 outside counts as within. */
export function liesWithin(inner: Path, outer: Path): boolean {
  return ringsArea(difference(ringsOf([inner], 0.001), ringsOf([outer], 0.001))) < 1e-3
}
