import type { Lines } from './lines.ts'
import type { UnitJob, UnitStroke } from './units.ts'

/** A way of writing the same strokes. */
export interface Dialect {
  /** what ends a command: `;`, or nothing where the next mnemonic does; only with `;` do tools begin on a new line */
  readonly close: ';' | ''
  /** commands before another tool is taken: the tool is up after them */
  readonly beforeTool: readonly string[]
  /** commands at the end: tool up, home, put away */
  readonly park: readonly string[]
  /** Writes the strokes of one tool. */
  readonly draw: (strokes: readonly UnitStroke[], lines: Lines, job: UnitJob) => void
}
