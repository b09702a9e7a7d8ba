import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import type { Surface } from './surface.ts'

/** A named edge of a four-sided panel; the order round it is bottom, right, top, left. */
export type EdgeName = 'bottom' | 'right' | 'top' | 'left'
export const edgeNames: readonly EdgeName[] = ['bottom', 'right', 'top', 'left']

/** How a tick is made: a pen line, a round-rooted notch in the allowance, or a short cut in the waste. */
export type TickMake = 'pen' | 'notch' | 'waste'

export interface Tick {
  readonly role: 'hinge' | 'seam'
  readonly edge: EdgeName
  /** on the outline, mm */
  readonly at: Point
  /** unit direction into the panel */
  readonly inward: Point
  /** mm along the outline's edge */
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
  readonly name: EdgeName
  readonly bare: Path
  readonly outline: Path
  /** mm past the bare edge; negative is an inset */
  readonly allowance: number
}

/** One flat piece of film, mm, y up, hinge upright through the origin or beside it. */
export interface Panel {
  readonly name: string
  readonly outline: Path
  readonly bare: Path
  readonly edges: readonly PanelEdge[]
  readonly holes: readonly Path[]
  readonly hinge: Stretch
  readonly ticks: readonly Tick[]
  readonly tickReason: string
  readonly slits: readonly Stretch[]
  readonly labels: readonly Label[]
  readonly marks: readonly ObjectMark[]
  readonly surface: Surface
  readonly notes: readonly string[]
}
