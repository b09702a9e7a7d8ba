import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'

/** How a line looks; `styles.ts` gives each its width and dashes. */
export type LineStyle =
  | 'outline'
  | 'bare'
  | 'hole'
  | 'hinge'
  | 'slit'
  | 'tick'
  | 'through'
  | 'label'
  | 'dimension'
  | 'object'
  | 'hidden'
  | 'stock'
  | 'margin'
  | 'bad'
  | 'kept'

export interface Words {
  readonly kind: 'words'
  /** on the baseline, mm */
  readonly at: Point
  readonly text: string
  /** font size, mm */
  readonly size: number
  readonly anchor: 'start' | 'middle' | 'end'
  /** radians, counter-clockwise */
  readonly turn: number
  readonly bold?: boolean
}

/** What of an object a line of its picture stands for, so that the picture can be read back. */
export type PicturePart = 'hinge' | 'mark' | 'left edge' | 'right edge' | 'opening'

export interface Drawn {
  readonly kind: 'drawn'
  readonly path: Path
  readonly style: LineStyle
  readonly part?: PicturePart
}

/** A closed area in one colour, under all lines. */
export interface Filled {
  readonly kind: 'filled'
  readonly path: Path
  /** as #rrggbb */
  readonly colour: string
}

/** What a person looks at, before any file format: areas, lines and words, mm, y up, origin lower left. */
export interface Picture {
  readonly title: string
  readonly width: number
  readonly height: number
  readonly items: readonly (Filled | Drawn | Words)[]
}
