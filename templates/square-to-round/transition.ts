import { type FlatStrip, layStrip, type Place, place, type Step } from '../triangulate.ts'

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
 * The skin from the middle of the face numbered `first` to the middle of the `count`th face after it, laid flat: half
 * a flat triangle, then by turns a bend about a corner and a flat triangle. The planes of the flat triangles touch the
 * rim, so this is the whole skin and all of it unrolls (the convex hull of a rectangle and a circle in level planes).
 */
export function layTransition(shape: Transition, first: number, count: number): FlatStrip {
  const n = shape.divisions
  const steps = Array.from({ length: count }, (_, i): Step[] => {
    const face = first + i
    return [
      { side: 'low', to: cornerAt(shape, face) },
      ...Array.from({ length: n }, (_, k): Step => ({ side: 'high', to: shape.rim(face + (k + 1) / n) })),
    ]
  }).flat()
  return layStrip(footOf(shape, first), shape.rim(first), [...steps, { side: 'low', to: footOf(shape, first + count) }])
}
