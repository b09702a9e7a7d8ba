import { compareLayouts, type Judged } from '../sheet/better-layout.ts'

export { compareLayouts }

/** How well the layout from one seed comes out. */
export interface SeedJudged extends Judged {
  readonly seed: number
}

/** Is the first layout better than the second, if there is one? Of two as good the one from the lower seed. */
export const beats = (a: SeedJudged, b: SeedJudged | undefined): boolean =>
  b === undefined || (compareLayouts(a, b) || a.seed - b.seed) < 0
