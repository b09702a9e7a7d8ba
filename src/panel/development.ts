import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import type { EdgeName, ObjectMark, Stretch } from './panel.ts'
import type { Surface } from './surface.ts'

/** What a shape works out from its measures: bare geometry, before allowances, ticks and slits. */
export interface Development {
  /** bare edges counter-clockwise from the bottom, mm */
  readonly edges: readonly { readonly name: EdgeName; readonly path: Path }[]
  /** radius of the corner at the start of each edge, mm */
  readonly radii: readonly number[]
  readonly holes: readonly { readonly name: string; readonly path: Path }[]
  /** from the bottom edge's middle to the top edge's */
  readonly hinge: Stretch
  /** set for a full wrap: how far the right edge laps over the left, mm, 0 for a butt seam */
  readonly overlap?: number
  readonly surface: Surface
  /** where a label may stand, best first */
  readonly labelSpots: readonly { readonly at: Point; readonly turn: number }[]
  /** object-side marks; `hingeBottom` and `hingeTop` must be among the codes */
  readonly marks: readonly ObjectMark[]
  readonly notes: readonly string[]
}
