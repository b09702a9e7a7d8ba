import type { Point } from '../geometry/point.ts'

/** How pieces may be laid: at any angle, in quarter turns, or only as they stand. Never mirrored. */
export type Turn = 'any' | 'quarter' | 'none'

/** Of two rules about turning, the one that allows less. */
export function stricter(a: Turn, b: Turn): Turn {
  if (a === 'none' || b === 'none') return 'none'
  return a === 'quarter' || b === 'quarter' ? 'quarter' : 'any'
}

/** Film as it lies on the machine, face up, mm: x along the roll or sheet from its free end, y across it. */
export interface Stock {
  readonly name: string
  readonly kind: 'roll' | 'sheet' | 'offcut'
  /** extent across */
  readonly width: number
  /** extent along; what is left on a roll */
  readonly length: number
  /** the edge where it is no rectangle: counter-clockwise, the low corner of its box at 0, 0 */
  readonly outline?: readonly Point[]
  /** kept free along every edge */
  readonly margin: number
  /** closed rings in which no film may be cut */
  readonly badSpots: readonly (readonly Point[])[]
  readonly turn: Turn
  /** how many there are, alike; of a roll or an offcut one */
  readonly count: number
  /** of a metre of roll, or of one piece; nothing where it is not known */
  readonly price?: number
  /** does it stand on the shelf, so that a cut job is booked there? */
  readonly shelved: boolean
}

/** The edge of a stock, counter-clockwise; of a roll up to `length`. */
export function edgeOf({ outline, width }: Stock, length: number): readonly Point[] {
  if (outline) return outline
  return [
    { x: 0, y: 0 },
    { x: length, y: 0 },
    { x: length, y: width },
    { x: 0, y: width },
  ]
}
