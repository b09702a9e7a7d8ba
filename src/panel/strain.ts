import type { Path } from '../geometry/path.ts'

/** How much the flat film must give to lie on what does not unroll; relative, positive where it must stretch. */
export interface Strain {
  /** the worst stretch (>= 0) and the worst shrink (<= 0) on the panel */
  readonly stretch: number
  readonly shrink: number
  /** patches that cover the bare panel */
  readonly cells: readonly { readonly path: Path; readonly strain: number }[]
  /** the rule it was worked out by, in words, with its source */
  readonly rule: string
}
