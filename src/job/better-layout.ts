import { compareLayouts, type Judged } from '../sheet/better-layout.ts'

export { compareLayouts }

/** How well the layout from one seed comes out. */
export interface SeedJudged extends Judged {
  readonly seed: number
}

/** Is the first layout better than the second, if there is one? Of two as good the one from the lower seed. */
export const beats = (a: SeedJudged, b: SeedJudged | undefined): boolean =>
  b === undefined || (compareLayouts(a, b) || a.seed - b.seed) < 0

/** Film over the least there can be, as a share of it, that is told as 0.0 %. */
const hardlyOver = 5e-4

/** Is there no less new film to be found? Neither more than no layout can do without, nor more by what is worth telling. */
export const isLeastFilm = (paid: number, atLeast: number): boolean => paid <= atLeast * (1 + hardlyOver)
