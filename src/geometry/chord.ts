import type { Point } from './point.ts'

/** mm from a place to the nearest point of the straight line from `a` to `b`, ends included; these may be one. */
export function toChord(p: Point, a: Point, b: Point): number {
  const dx = b.x - a.x
  const dy = b.y - a.y
  const square = dx * dx + dy * dy
  const t = square === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square))
  return Math.hypot(a.x + t * dx - p.x, a.y + t * dy - p.y)
}
