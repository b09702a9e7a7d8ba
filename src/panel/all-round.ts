import { pointInside } from '../geometry/inside.ts'
import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import { intersection, ringsArea, ringsOf } from '../geometry/polygon.ts'
import { inverse, type Matrix, mapPoint, transform } from '../geometry/transform.ts'
import type { Development } from './development.ts'

/** Flattening for telling what meets the film, mm, and an area under which nothing counts, mm^2. */
const fine = 0.005
const nothing = 0.01

/** Once round to the left, where it was measured, and once round to the right. */
const copies = (onceRound: Matrix): readonly (Matrix | undefined)[] => [inverse(onceRound), undefined, onceRound]

/**
 * Openings as often as they meet the film: one at the seam of a closed wrap at both its ends, so that nothing of it is
 * covered, by either layer of the lap. One that meets the film nowhere stays where it was measured.
 * @param film the outline before openings are taken out of it
 */
export function openingsAllRound({ holes, onceRound }: Development, film: Path): Development['holes'] {
  if (!onceRound) return holes
  const rings = ringsOf([film], fine)
  return holes.flatMap((hole) => {
    const all = copies(onceRound).map((way) => (way ? { ...hole, path: transform(hole.path, way) } : hole))
    const met = all.filter(({ path }) => ringsArea(intersection(ringsOf([path], fine), rings)) > nothing)
    return met.length > 0 ? met : [hole]
  })
}

/**
 * Measured places, each as often as it comes onto the film: one under the lap of a closed wrap on both layers, one
 * beside the film not at all.
 */
export function pointsAllRound({ points = [], onceRound }: Development, film: Path): readonly (readonly Point[])[] {
  return points.map((p) => {
    const all = onceRound ? copies(onceRound).map((way) => (way ? mapPoint(way, p) : p)) : [p]
    return all.filter((own) => pointInside(film, own))
  })
}
