import type { Path } from '../geometry/path.ts'

/** What a tool does to the film. `slit` faces the liner, the others the film. */
export type Operation = 'pen' | 'kiss' | 'through' | 'slit'

export const operations: readonly Operation[] = ['pen', 'kiss', 'through', 'slit']

/** One tool-down stroke on a sheet, mm from the sheet's lower left corner, y up. */
export interface Stroke {
  readonly operation: Operation
  readonly path: Path
  /** what it belongs to, such as `paint tin 1: outline` */
  readonly name: string
  /** which piece that is, as a person calls it: `paint tin, copy 1 of 6`; none for what lies beside the pieces */
  readonly piece?: string
}
