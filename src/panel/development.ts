import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import type { ObjectMark, Stretch } from './panel.ts'
import type { Strain } from './strain.ts'
import type { Surface } from './surface.ts'
import type { TapedPlace } from './taped.ts'

/** One side of a panel as measured, running counter-clockwise round it. */
export interface BareEdge {
  /** what the allowance table and the sheet call it */
  readonly name: string
  readonly path: Path
  /** what a tape along it reads on the object, where that is not the length of the film */
  readonly taped?: readonly TapedPlace[]
  /** mm of film past this edge whatever the allowance: 0 where it meets another edge, more where it laps over one */
  readonly lap?: number
  /** code of the seam it lies on; the edge it meets, on this panel or another of the object, carries the same */
  readonly seam?: string
}

/** A line of the flat panel at whose two ends a tick is wanted. */
export interface TickLine {
  readonly role: 'fold' | 'seam' | 'place'
  readonly line: Stretch
  /** code of the mark on the object that it meets */
  readonly mark: string
}

/** One flat piece as a shape works it out from its measures: bare geometry, before allowances, ticks and slits. */
export interface Development {
  /** which part of the object, such as `band 2`; left out where the object is one panel */
  readonly part?: string
  /** pieces of this form that the object takes; 1 if left out */
  readonly copies?: number
  readonly edges: readonly BareEdge[]
  /** radius of the corner at the start of each edge, between straight edges only, mm; square if left out */
  readonly radii?: readonly number[]
  readonly holes: readonly { readonly name: string; readonly path: Path }[]
  /** closed lines cut inside the panel that stay film, such as letters in their weed border; none meets the edge */
  readonly inner?: readonly Path[]
  /** places measured on the object, shown by a small pen cross */
  readonly points?: readonly Point[]
  /** the line to hang the panel from, from its lower end to its upper one */
  readonly hinge: Stretch
  readonly tickLines?: readonly TickLine[]
  /** set for a closed wrap: once round the object, mm along the mid-line of its surface */
  readonly onceRound?: number
  /** the map between object and panel, where there is one */
  readonly surface?: Surface
  readonly strain?: Strain
  /** where a label may stand, best first */
  readonly labelSpots: readonly { readonly at: Point; readonly turn: number }[]
  /** marks to make on the object; `hinge bottom` and `hinge top` must be among the codes, told at the ends of `hinge` */
  readonly marks: readonly ObjectMark[]
  readonly notes: readonly string[]
}
