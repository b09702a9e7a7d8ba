import type { LineStyle } from './picture.ts'

/** Look of a line: width and dash lengths in mm, told apart by dash first so that it reads in black and white. */
export interface Look {
  readonly width: number
  readonly dashes: readonly number[]
  readonly colour: string
  readonly means: string
}

/** Areas: what is kept of the film, and spots that are kept clear of. */
export const fills = { kept: '#e3f1e6', bad: '#f1d6d6' } as const

/** Colours are dark and differ in lightness, so that none is needed to tell two lines apart. */
export const looks: Readonly<Record<LineStyle, Look>> = {
  outline: { width: 0.5, dashes: [], colour: '#111111', means: 'kiss cut: through the film' },
  hole: { width: 0.5, dashes: [], colour: '#111111', means: 'opening, cut out' },
  through: { width: 0.5, dashes: [6, 1, 1, 1, 1, 1], colour: '#111111', means: 'through cut: film and liner' },
  slit: { width: 0.45, dashes: [1.2, 1.2], colour: '#8a3d00', means: 'slit: liner only, from the back' },
  hinge: {
    width: 0.25,
    dashes: [8, 1.5, 1.5, 1.5],
    colour: '#1d4e89',
    means: 'hinge: the line to hang the panel from',
  },
  tick: { width: 0.7, dashes: [], colour: '#1d4e89', means: 'tick' },
  label: { width: 0.3, dashes: [], colour: '#1d4e89', means: 'pen' },
  bare: { width: 0.25, dashes: [3, 1.5], colour: '#555555', means: 'measured edge, without allowance: not cut' },
  dimension: { width: 0.2, dashes: [], colour: '#333333', means: 'dimension' },
  object: { width: 0.6, dashes: [], colour: '#111111', means: 'object' },
  hidden: { width: 0.3, dashes: [2, 1], colour: '#555555', means: 'hidden edge of the object' },
  stock: { width: 0.35, dashes: [10, 2], colour: '#555555', means: 'edge of the film' },
  margin: { width: 0.2, dashes: [1, 2], colour: '#777777', means: 'margin: kept free along the edge' },
  bad: { width: 0.4, dashes: [2, 1, 0.5, 1], colour: '#9b1c1c', means: 'bad spot: kept clear of' },
  kept: {
    width: 0.4,
    dashes: [5, 2, 1, 2, 1, 2],
    colour: '#1f6b3a',
    means: 'left over and worth keeping: cut off by hand',
  },
}
