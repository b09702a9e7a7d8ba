import type { Arc } from './path.ts'
import { direction, distance, type Point, subtract } from './point.ts'

/** sin(x) / x, smooth through 0. */
export function sinc(x: number): number {
  return Math.abs(x) < 1e-3 ? 1 - (x * x) / 6 + x ** 4 / 120 : Math.sin(x) / x
}

/** Length along an arc, mm. */
export function arcLength(from: Point, arc: Arc): number {
  return distance(from, arc.to) / sinc(arc.sweep / 2)
}

/** Radius in mm; Infinity for an arc that does not turn. */
export function arcRadius(from: Point, arc: Arc): number {
  return arc.sweep === 0 ? Infinity : arcLength(from, arc) / Math.abs(arc.sweep)
}

/** Largest distance between the arc and its chord, mm. */
export function arcSagitta(from: Point, arc: Arc): number {
  const quarter = arc.sweep / 4
  return (distance(from, arc.to) / 2) * Math.abs(Math.tan(quarter))
}

/** Unit direction of travel at the fraction `t` of the arc's length; t may lie outside 0..1. */
export function arcHeading(from: Point, arc: Arc, t: number): Point {
  const chord = subtract(arc.to, from)
  return direction(Math.atan2(chord.y, chord.x) + arc.sweep * (t - 0.5))
}

/**
 * Point at the fraction `t` of the arc's length; t outside 0..1 runs on along the circle.
 * From the chord of the part travelled, so no radius is formed and a nearly straight arc loses nothing.
 */
export function arcPoint(from: Point, arc: Arc, t: number): Point {
  if (t === 1) return arc.to
  const chord = subtract(arc.to, from)
  const travelled = arcLength(from, arc) * t
  const reach = travelled * sinc((arc.sweep * t) / 2)
  const way = direction(Math.atan2(chord.y, chord.x) + (arc.sweep * (t - 1)) / 2)
  return { x: from.x + way.x * reach, y: from.y + way.y * reach }
}

/** Area between the arc and its chord, mm^2, positive where the arc bulges to the right of its chord. */
export function arcBulgeArea(from: Point, arc: Arc): number {
  const length = arcLength(from, arc)
  const s = arc.sweep
  // r^2 (s - sin s) / 2, with s - sin s by series where it would cancel
  const shape =
    Math.abs(s) < 0.1 ? s * (1 / 6 - s ** 2 / 120 + s ** 4 / 5040 - s ** 6 / 362880) : (s - Math.sin(s)) / s ** 2
  return (length * length * shape) / 2
}

/** Fractions strictly inside the arc where it runs level or upright: its extremes in y and x. */
export function arcExtremes(from: Point, arc: Arc): number[] {
  if (arc.sweep === 0) return []
  const first = arcHeading(from, arc, 0)
  const start = Math.atan2(first.y, first.x)
  const low = Math.min(start, start + arc.sweep)
  const high = Math.max(start, start + arc.sweep)
  const found: number[] = []
  for (let k = Math.ceil(low / (Math.PI / 2)); (k * Math.PI) / 2 <= high; k++) {
    const t = ((k * Math.PI) / 2 - start) / arc.sweep
    if (t > 0 && t < 1) found.push(t)
  }
  return found
}
