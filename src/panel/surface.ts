import { sinc } from '../geometry/arc.ts'
import type { Point } from '../geometry/point.ts'

/**
 * The map between the object's skin and the flat panel. `taper` is the curvature of the mid-line, 1/mm: 0 for a
 * plane or a cylinder, positive where the object is wider above. Both ways are exact and smooth through 0.
 * Reference: the nearly cylindrical form of a cone's development, which never forms the far apex.
 */
export interface Surface {
  readonly kind: 'flat' | 'round'
  readonly taper: number
}

/**
 * From the object to the panel.
 * @param round mm from the hinge along the mid-line, positive to the right
 * @param up mm up the slant from the mid-line
 */
export function onPanel({ taper }: Surface, round: number, up: number): Point {
  const half = sinc((taper * round) / 2)
  return {
    x: round * sinc(taper * round) * (1 + taper * up),
    y: up * Math.cos(taper * round) - ((taper * round * round) / 2) * half * half,
  }
}

/** From the panel back to the object: the inverse of `onPanel`. */
export function onObject({ taper }: Surface, { x, y }: Point): { round: number; up: number } {
  const w = taper * (2 * y + taper * (x * x + y * y))
  const up = (2 * y + taper * (x * x + y * y)) / (1 + Math.sqrt(1 + w))
  const away = 1 + taper * y
  const q = (taper * x) / away
  const small = away > 0 && Math.abs(q) < 1e-4
  const round = small ? (x / away) * (1 - (q * q) / 3) : Math.atan2(taper * x, away) / taper
  return { round, up }
}
