import { ringsArea, ringsOf } from '../geometry/polygon.ts'
import { compareLayouts } from '../sheet/better-layout.ts'
import { type Laid, type LayoutRequest, layOut } from '../sheet/lay-out.ts'
import { beats, type SeedJudged } from './better-layout.ts'
import type { Plan } from './plan-job.ts'

export { layoutFile, namingPlaces } from './layout-file.ts'

/** How a search stands. */
export interface Progress {
  readonly seed: number
  readonly round: number
  readonly unplaced: number
  /** beds in use, each of which is a sheet */
  readonly sheets: number
  /** mm^2 of new film, and what no layout can do with less than */
  readonly paid: number
  readonly atLeast: number
}

/** What a search from one seed found. */
export interface Found {
  readonly seed: number
  readonly rounds: number
  readonly laid: Laid
}

/** Searches from one seed, telling how it stands; ends before its rounds where `progress` says true. */
export function search(
  request: LayoutRequest,
  seed: number,
  rounds: number,
  progress: (now: Progress, sheets: () => Laid) => boolean,
): Found {
  let last = 0
  const laid = layOut(request, { seed, rounds }, ({ round, places, used, paid, atLeast }, sheets) => {
    last = Math.max(last, round)
    const unplaced = places.filter((place) => !place).length
    const inUse = used.filter((length) => length > 0).length
    return progress({ seed, round, unplaced, sheets: inUse, paid, atLeast }, sheets)
  })
  return { seed, rounds: last, laid }
}

/** Is what one seed found better than what another did, if it did? */
export const foundBeats = (a: Found, b: Found | undefined): boolean => beats(judgedFound(a), b && judgedFound(b))

/** Is what a search found better than the layout that a job has? Of two as good the one it has stays. */
export const beatsPlan = ({ laid }: Found, { cuts, material }: Pick<Plan, 'cuts' | 'material'>): boolean =>
  compareLayouts(
    { isWhole: laid.problems.length === 0, paid: laid.paid, sheets: laid.sheets.length },
    { isWhole: true, paid: material.paid, sheets: cuts.length },
  ) < 0

const judgedFound = ({ seed, laid }: Found): SeedJudged => ({
  seed,
  isWhole: laid.problems.length === 0,
  paid: laid.paid,
  sheets: laid.sheets.length,
})

/** mm^2 of film in all pieces, without their openings. */
export const filmArea = ({ pieces }: LayoutRequest): number =>
  pieces.reduce((sum, { panel }) => sum + ringsArea(ringsOf([panel.outline])) - ringsArea(ringsOf(panel.holes)), 0)
