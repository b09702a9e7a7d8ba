import { type Path, pieces } from './path.ts'
import type { Point } from './point.ts'
import { segmentExtremes, segmentPoint } from './segment.ts'

/** Upright box, mm. */
export interface Box {
  readonly low: Point
  readonly high: Point
}

export const boxWidth = (box: Box): number => box.high.x - box.low.x
export const boxHeight = (box: Box): number => box.high.y - box.low.y

/** Do two boxes have more than an edge in common, or come nearer than `slack` mm? */
export const boxesMeet = (a: Box, b: Box, slack = 0): boolean =>
  a.low.x < b.high.x + slack && b.low.x < a.high.x + slack && a.low.y < b.high.y + slack && b.low.y < a.high.y + slack

/** A box moved in by `by` mm on every side, out where that is negative; inside out where nothing is left of it. */
export const insetBox = ({ low, high }: Box, by: number): Box => ({
  low: { x: low.x + by, y: low.y + by },
  high: { x: high.x - by, y: high.y - by },
})

/** What two boxes have in common; inside out where that is nothing. */
export const commonBox = (a: Box, b: Box): Box => ({
  low: { x: Math.max(a.low.x, b.low.x), y: Math.max(a.low.y, b.low.y) },
  high: { x: Math.min(a.high.x, b.high.x), y: Math.min(a.high.y, b.high.y) },
})

/** Smallest upright box round the curves themselves, not round their control points. Refuses an empty list. */
export function boundsOf(paths: readonly Path[]): Box {
  let lowX = Infinity
  let lowY = Infinity
  let highX = -Infinity
  let highY = -Infinity
  const take = (p: Point) => {
    if (p.x < lowX) lowX = p.x
    if (p.x > highX) highX = p.x
    if (p.y < lowY) lowY = p.y
    if (p.y > highY) highY = p.y
  }
  for (const path of paths) {
    take(path.start)
    for (const { from, segment } of pieces(path)) {
      take(segment.to)
      for (const t of segmentExtremes(from, segment)) take(segmentPoint(from, segment, t))
    }
  }
  if (lowX > highX) throw new RangeError('bounds of nothing')
  return { low: { x: lowX, y: lowY }, high: { x: highX, y: highY } }
}
