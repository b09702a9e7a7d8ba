import { ringsArea, ringsOf } from '../geometry/polygon.ts'
import { type Laid, type LayoutRequest, layOut } from '../sheet/lay-out.ts'

export { layoutFile, namingPlaces } from './layout-file.ts'

/** How a search stands. */
export interface Progress {
  readonly seed: number
  readonly round: number
  readonly unplaced: number
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
  const laid = layOut(request, { seed, rounds }, ({ round, places, paid, atLeast }, sheets) => {
    last = Math.max(last, round)
    const unplaced = places.filter((place) => !place).length
    return progress({ seed, round, unplaced, paid, atLeast }, sheets)
  })
  return { seed, rounds: last, laid }
}

/** Is a layout better than another: everything laid, less new film, fewer sheets, the lower seed? */
export function beats(a: Found, b: Found): boolean {
  const key = ({ seed, laid }: Found) => [laid.problems.length > 0 ? 1 : 0, laid.paid, laid.sheets.length, seed]
  const [own, other] = [key(a), key(b)]
  const first = own.findIndex((value, i) => Math.abs(value - (other[i] ?? 0)) > 1e-6)
  return first >= 0 && (own[first] ?? 0) < (other[first] ?? 0)
}

/** mm^2 of film in all pieces, without their openings. */
export const filmArea = ({ pieces }: LayoutRequest): number =>
  pieces.reduce((sum, { panel }) => sum + ringsArea(ringsOf([panel.outline])) - ringsArea(ringsOf(panel.holes)), 0)
