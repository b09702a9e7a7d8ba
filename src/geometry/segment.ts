import { arcBulgeArea, arcExtremes, arcHeading, arcLength, arcPoint } from './arc.ts'
import { cubicDerivative, cubicExtremes, cubicLength, cubicParameterAt, cubicPoint, cubicSplit } from './cubic.ts'
import { arcTo, lineTo, type Segment } from './path.ts'
import { between, cross, distance, type Point, subtract, unit } from './point.ts'

/** Length in mm. */
export function segmentLength(from: Point, s: Segment): number {
  if (s.kind === 'line') return distance(from, s.to)
  return s.kind === 'arc' ? arcLength(from, s) : cubicLength(from, s)
}

/** Point at the segment's own parameter, 0 at the start and 1 its very end; lines and arcs run on outside 0..1. */
export function segmentPoint(from: Point, s: Segment, t: number): Point {
  // Next to the end by a rounding would be another place for whoever asks which side of it something lies.
  if (t === 1) return s.to
  if (s.kind === 'line') return between(from, s.to, t)
  return s.kind === 'arc' ? arcPoint(from, s, t) : cubicPoint(from, s, t)
}

/** Unit direction of travel at the parameter `t`. */
export function segmentHeading(from: Point, s: Segment, t: number): Point {
  if (s.kind === 'line') return unit(subtract(s.to, from))
  if (s.kind === 'arc') return arcHeading(from, s, t)
  const d = cubicDerivative(from, s, t)
  // Does the curve stand still here (a handle of no length)? Look a little to the inside.
  return Math.hypot(d.x, d.y) > 1e-12 ? unit(d) : unit(cubicDerivative(from, s, t < 0.5 ? t + 1e-6 : t - 1e-6))
}

/** The parameter at the length `length` (mm) from the segment's start. */
export function parameterAt(from: Point, s: Segment, length: number): number {
  if (s.kind === 'cubic') return cubicParameterAt(from, s, length)
  const whole = segmentLength(from, s)
  return whole === 0 ? 0 : length / whole
}

/** The part from parameter `low` to `high`; lines and arcs may be extended past 0..1. */
export function segmentPart(from: Point, s: Segment, low: number, high: number): { from: Point; segment: Segment } {
  if (s.kind === 'cubic') {
    const [head] = cubicSplit(from, s, high)
    if (low === 0) return { from, segment: head }
    const [, tail] = cubicSplit(from, head, low / high)
    return { from: cubicPoint(from, s, low), segment: tail }
  }
  const start = low === 0 ? from : segmentPoint(from, s, low)
  const end = high === 1 ? s.to : segmentPoint(from, s, high)
  return { from: start, segment: s.kind === 'line' ? lineTo(end) : arcTo(end, s.sweep * (high - low)) }
}

/** Parameters strictly inside where x or y is at an extreme. */
export function segmentExtremes(from: Point, s: Segment): number[] {
  if (s.kind === 'line') return []
  return s.kind === 'arc' ? arcExtremes(from, s) : cubicExtremes(from, s)
}

/** This segment's share of a closed path's signed area, by Green's theorem, mm^2. */
export function segmentArea(from: Point, s: Segment): number {
  if (s.kind === 'line') return cross(from, s.to) / 2
  if (s.kind === 'arc') return cross(from, s.to) / 2 + arcBulgeArea(from, s)
  return (
    (3 * (2 * cross(from, s.c1) + cross(from, s.c2) + cross(s.c1, s.c2) + cross(s.c1, s.to) + 2 * cross(s.c2, s.to)) +
      cross(from, s.to)) /
    20
  )
}
