import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import type { Strain } from './strain.ts'
import type { Surface } from './surface.ts'
import type { TapedPlace } from './taped.ts'

/** The edges of a four-sided panel, counter-clockwise; other shapes name their own. */
export const edgeNames = ['bottom', 'right', 'top', 'left'] as const

/** How a tick is made: a pen line, a round-rooted notch in the allowance, or a short cut in the waste. */
export type TickMake = 'pen' | 'notch' | 'waste'

export interface Tick {
  /** what stands there: the hinge, where another edge comes, where the film bends, or a measured place */
  readonly role: 'hinge' | 'seam' | 'fold' | 'place'
  /** the edge it stands on; empty on the rim of an opening that reaches past the edge */
  readonly edge: string
  /** on the outline, mm */
  readonly at: Point
  /** unit direction into the panel */
  readonly inward: Point
  /** mm along the edge's outline, or along the whole outline where `edge` is empty */
  readonly length: number
  readonly make: TickMake
  /** what is drawn or cut; a notch's path takes the place of the edge between its ends */
  readonly path: Path
  /** the mark on the object that this tick meets */
  readonly mark: string
}

/** A straight line between two points, mm. */
export interface Stretch {
  readonly from: Point
  readonly to: Point
}

export interface Label {
  readonly text: string
  /** middle of the baseline, mm */
  readonly at: Point
  /** cap height, mm */
  readonly height: number
  /** radians */
  readonly turn: number
}

/** A mark to make on the object itself before the film goes on. */
export interface ObjectMark {
  readonly code: string
  readonly text: string
}

export interface PanelEdge {
  readonly name: string
  readonly bare: Path
  /** what a tape along the bare edge reads on the object, where that is not the length of the film */
  readonly taped?: readonly TapedPlace[]
  /** from sharp corner to sharp corner, before openings that reach past the edge are taken out */
  readonly outline: Path
  /** rounding of the panel's corner at its start, mm; 0 for a sharp one */
  readonly radius: number
  /** mm past the bare edge; negative is an inset */
  readonly allowance: number
  /** does it lie on a seam, so that `allowance` is a lap? */
  readonly lapped: boolean
}

/** One flat piece of film, mm, y up. */
export interface Panel {
  readonly name: string
  readonly outline: Path
  readonly bare: Path
  readonly edges: readonly PanelEdge[]
  /** what stays free as it was measured; what of it reaches past an edge is bitten out of the outline */
  readonly openings: readonly Path[]
  readonly holes: readonly Path[]
  /** closed lines cut inside it that are no openings, such as letters */
  readonly inner: readonly Path[]
  readonly points: readonly Point[]
  readonly hinge: Stretch
  readonly ticks: readonly Tick[]
  readonly tickReason: string
  readonly slits: readonly Stretch[]
  readonly labels: readonly Label[]
  readonly marks: readonly ObjectMark[]
  readonly surface?: Surface
  readonly strain?: Strain
  readonly notes: readonly string[]
}
