import { ringsArea, ringsOf } from '../geometry/polygon.ts'
import { compareLayouts } from '../sheet/better-layout.ts'
import { type Laid, type LayoutRequest, layOut } from '../sheet/lay-out.ts'
import { beats, isLeastFilm, type SeedJudged } from './better-layout.ts'
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

/**
 * Searches from one seed, telling how it stands; ends before its rounds where `progress` says true, and where nothing
 * better can be found.
 */
export function search(
  request: LayoutRequest,
  seed: number,
  rounds: number,
  progress: (now: Progress, sheets: () => Laid) => boolean,
): Found {
  let last = 0
  let isOver = false
  const laid = layOut(request, { seed, rounds }, ({ round, places, used, paid, atLeast }, sheets) => {
    last = Math.max(last, round)
    const unplaced = places.filter((place) => !place).length
    const inUse = used.filter((length) => length > 0).length
    const now = { seed, round, unplaced, sheets: inUse, paid, atLeast }
    // What is over in one way of turning the pieces is over in all of them.
    isOver = progress(now, sheets) || isOver || (isPerfect(now) && sheets().problems.length === 0)
    return isOver
  })
  return { seed, rounds: last, laid }
}

/** Can there be no better one? Where no new film is paid for, fewer sheets would still be better. */
const isPerfect = ({ unplaced, paid, atLeast, sheets }: Omit<Progress, 'seed' | 'round'>): boolean =>
  unplaced === 0 && (paid > 0 ? isLeastFilm(paid, atLeast) : sheets === 1)

/** The same of what a seed found. */
export const isPerfectFind = ({ laid: { problems, paid, atLeast, sheets } }: Found): boolean =>
  isPerfect({ unplaced: problems.length, paid, atLeast, sheets: sheets.length })

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
