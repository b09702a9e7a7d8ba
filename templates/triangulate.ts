import { add, type Point, point, scaled, subtract, unit } from '../src/geometry/point.ts'

/** A place on an object, mm: x to the right, y to the back, z up. */
export interface Place {
  readonly x: number
  readonly y: number
  readonly z: number
}

export const place = (x: number, y: number, z: number): Place => ({ x, y, z })

/** Straight through the air from `a` to `b`, mm. */
export function trueLength(a: Place, b: Place): number {
  return Math.hypot(b.x - a.x, b.y - a.y, b.z - a.z)
}

/** The next triangle of a strip: its new corner, on the lower or the upper side of the strip. */
export interface Step {
  readonly side: 'low' | 'high'
  readonly to: Place
}

/** A strip of triangles laid out flat: both its sides from left to right, mm. */
export interface FlatStrip {
  readonly low: readonly Point[]
  readonly high: readonly Point[]
  /** sum of the triangles, mm^2 */
  readonly area: number
}

/**
 * Lays a strip of triangles out flat, each beside the last, as it is seen from outside with the strip running to the
 * right. It begins at the edge from `low` up to `high`, which comes to stand upright at the origin; each step makes a
 * triangle of the newest corner on either side and its own. Every edge keeps its true length (triangulation with true
 * lengths: E. M. Longfield, Sheet Metal Drafting, 1921, ch. XIII; a flat corner is placed by its distance along the
 * shared edge and off it, so that a thin triangle loses nothing).
 */
export function layStrip(low: Place, high: Place, steps: readonly Step[]): FlatStrip {
  const lower = [point(0, 0)]
  const upper = [point(0, trueLength(low, high))]
  let [b, t] = [low, high]
  let [flatB, flatT] = [lower[0] as Point, upper[0] as Point]
  let area = 0
  for (const { side, to } of steps) {
    const base = trueLength(b, t)
    const e = { x: (t.x - b.x) / base, y: (t.y - b.y) / base, z: (t.z - b.z) / base }
    const v = { x: to.x - b.x, y: to.y - b.y, z: to.z - b.z }
    const along = v.x * e.x + v.y * e.y + v.z * e.z
    const off = Math.hypot(v.x - along * e.x, v.y - along * e.y, v.z - along * e.z)
    const up = unit(subtract(flatT, flatB))
    const flat = add(flatB, add(scaled(up, along), scaled(point(up.y, -up.x), off)))
    area += (base * off) / 2
    if (side === 'low') {
      ;[b, flatB] = [to, flat]
      lower.push(flat)
    } else {
      ;[t, flatT] = [to, flat]
      upper.push(flat)
    }
  }
  return { low: lower, high: upper, area }
}
