import { add, between, type Point, point, scaled, subtract, unit } from '../../src/geometry/point.ts'
import { type FlatStrip, layStrip, type Place, place, type Step, trueLength } from '../triangulate.ts'

/** The measures that make the form, mm. */
export interface Measures {
  readonly length: number
  readonly width: number
  readonly height: number
  /** from the middle of the rectangle to the middle of the rim */
  readonly right: number
  readonly back: number
  /** straight pieces in each quarter of the rim */
  readonly divisions: number
}

/** What lies under the film. Faces, corners and quarters of the rim are numbered from the front to the right. */
export interface Transition {
  /** the corner at the right end of each face */
  readonly corners: readonly Place[]
  readonly divisions: number
  /** the place of the rim so many quarters to the right of its foremost one */
  readonly rim: (quarters: number) => Place
}

/** The object from its measures, mm; the middle of the rectangle is the origin. */
export function transitionOf(v: Measures, diameter: number): Transition {
  const [w, d] = [v.length / 2, v.width / 2]
  return {
    divisions: v.divisions,
    corners: [place(w, -d, 0), place(w, d, 0), place(-w, d, 0), place(-w, -d, 0)],
    rim: (quarters) => {
      const angle = ((quarters - 1) * Math.PI) / 2
      const r = diameter / 2
      return place(v.right + r * Math.cos(angle), v.back + r * Math.sin(angle), v.height)
    },
  }
}

export const cornerAt = ({ corners }: Transition, i: number): Place => corners[((i % 4) + 4) % 4] ?? place(0, 0, 0)

/** The middle of a face's lower edge: between the corner at its left end and the one at its right end. */
export function footOf(shape: Transition, face: number): Place {
  const [a, b] = [cornerAt(shape, face - 1), cornerAt(shape, face)]
  return place((a.x + b.x) / 2, (a.y + b.y) / 2, 0)
}

/**
 * The direction square to the skin, outward, at a place of the rim; `corner` is the one that the skin runs up from there.
 * On a flat face both its corners give the same.
 */
function outward(shape: Transition, quarters: number, corner: Place): Place {
  const angle = ((quarters - 1) * Math.PI) / 2
  const [along, across] = [-Math.sin(angle), Math.cos(angle)]
  const rim = shape.rim(quarters)
  const up = place(rim.x - corner.x, rim.y - corner.y, rim.z - corner.z)
  const n = place(across * up.z, -along * up.z, along * up.y - across * up.x)
  const long = Math.hypot(n.x, n.y, n.z)
  return place(n.x / long, n.y / long, n.z / long)
}

const moved = (p: Place, way: Place, mm: number): Place => place(p.x + way.x * mm, p.y + way.y * mm, p.z + way.z * mm)

/**
 * The skin from the middle of the face numbered `first` to the middle of the `count`th face after it, laid flat: half
 * a flat triangle, then by turns a bend about a corner and a flat triangle. The planes of the flat triangles touch the
 * rim, so this is the whole skin and all of it unrolls (the convex hull of a rectangle and a circle in level planes).
 *
 * Of a sheet of `thickness` mm it is the middle, half of that off the skin and square to it. About a sharp corner that
 * turns in a little arc, which stands in the strip as a point.
 */
export function layTransition(shape: Transition, first: number, count: number, thickness = 0): FlatStrip {
  const n = shape.divisions
  const half = thickness / 2
  const normal = (face: number, corner: number, k = 0) => outward(shape, face + k / n, cornerAt(shape, corner))
  const steps = Array.from({ length: count }, (_, i): Step[] => {
    const face = first + i
    const corner = cornerAt(shape, face)
    const high = (k: number): Step => ({
      side: 'high',
      to: moved(shape.rim(face + k / n), normal(face, face, k), half),
    })
    const low = (k: number): Step => ({ side: 'low', to: moved(corner, normal(face, face, k), half) })
    const rim = Array.from({ length: n }, (_, k) => k + 1)
    return [low(0), ...rim.flatMap((k) => (half === 0 ? [high(k)] : [high(k), low(k)]))]
  }).flat()
  const ends = [first, first + count].map((face) => moved(footOf(shape, face), normal(face, face), half))
  const start = moved(shape.rim(first), normal(first, first), half)
  const laid = layStrip(ends[0] ?? footOf(shape, first), start, [
    ...steps,
    { side: 'low', to: ends[1] ?? footOf(shape, first + count) },
  ])
  if (half === 0) return laid
  const turns = Array.from({ length: count }, (_, i) =>
    turnBetween(normal(first + i, first + i), normal(first + i, first + i, n)),
  )
  return {
    ...laid,
    low: turnsAsPoints(
      laid.low,
      n,
      turns.map((turn) => (turn * half) / 2),
    ),
  }
}

const turnBetween = (a: Place, b: Place): number => 2 * Math.asin(Math.min(1, trueLength(a, b) / 2))

/**
 * Each turn about a corner, of `n` steps, as one point that keeps the way round it: two thirds of the way from the middle
 * of its ends to that of the flat edges before and after it, run on by its `half`, mm. The first and the last point stay.
 */
function turnsAsPoints(low: readonly Point[], n: number, halves: readonly number[]): Point[] {
  const at = (i: number) => low[i] ?? point(0, 0)
  const on = (from: Point, to: Point, mm: number) => add(to, scaled(unit(subtract(to, from)), mm))
  const corners = halves.map((half, i) => {
    const [start, end] = [1 + i * (n + 1), (i + 1) * (n + 1)]
    const tip = between(on(at(start - 1), at(start), half), on(at(end + 1), at(end), half), 0.5)
    return between(between(at(start), at(end), 0.5), tip, 2 / 3)
  })
  return [at(0), ...corners, at(low.length - 1)]
}
