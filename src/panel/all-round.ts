import { boundsOf } from '../geometry/bounds.ts'
import { cutOut } from '../geometry/cut-out.ts'
import { pointInside } from '../geometry/inside.ts'
import { type Path, rectangle } from '../geometry/path.ts'
import { between, type Point, point } from '../geometry/point.ts'
import { intersection, ringsArea, ringsOf } from '../geometry/polygon.ts'
import { type Matrix, mapPoint, transform, turning } from '../geometry/transform.ts'
import type { Development } from './development.ts'
import { onObject, onPanel, type Surface } from './surface.ts'

/** Flattening for telling what meets the film, mm, and an area under which nothing counts, mm^2. */
const fine = 0.005
const nothing = 0.01

/**
 * Openings as often as they meet the film: one at the seam of a closed wrap at both its ends, so that nothing of it is
 * covered, by either layer of the lap. One that meets the film nowhere stays where it was measured.
 * @param film the outline before openings are taken out of it
 */
export function openingsAllRound({ holes, onceRound, surface }: Development, film: Path): Development['holes'] {
  if (onceRound === undefined || !surface) return holes
  const rings = ringsOf([film], fine)
  return holes.flatMap((hole) => {
    const { low, high } = boundsOf([hole.path])
    const own = onObject(surface, between(low, high, 0.5)).round
    const all = turns.flatMap((turn) => {
      const path = onThisSide(surface, own + turn * onceRound, transform(hole.path, turned(surface, turn * onceRound)))
      return path ? [{ ...hole, path }] : []
    })
    const met = all.filter(({ path }) => ringsArea(intersection(ringsOf([path], fine), rings)) > nothing)
    return met.length > 0 ? met : [hole]
  })
}

/**
 * Measured places, each as often as it comes onto the film: one under the lap of a closed wrap on both layers, one
 * beside the film not at all.
 */
export function pointsAllRound(development: Development, film: Path): readonly (readonly Point[])[] {
  const { points = [], onceRound, surface } = development
  return points.map((p) => {
    if (onceRound === undefined || !surface) return [p].filter((own) => pointInside(film, own))
    const own = onObject(surface, p).round
    return turns
      .filter((turn) => Math.abs(surface.taper * (own + turn * onceRound)) < Math.PI)
      .map((turn) => mapPoint(turned(surface, turn * onceRound), p))
      .filter((at) => pointInside(film, at))
  })
}

/** Once round to the left, where it was measured, and once round to the right. */
const turns = [-1, 0, 1] as const

/** The motion of the flat panel that takes a place `round` mm further round along the mid-line, to the right. */
const turned = (surface: Surface, round: number): Matrix => turning(-surface.taper * round, onPanel(surface, round, 0))

/** Farther than any panel reaches, mm. */
const far = 1e6

/**
 * What of an opening lies less than half a turn of the flat panel from the hinge, where film can be. The flat film of a
 * cone goes round its apex: what lies farther comes down on the panel again, on film that belongs elsewhere.
 * @param round how far round the middle of the opening is, mm along the mid-line
 */
function onThisSide({ taper }: Surface, round: number, path: Path): Path | undefined {
  const angle = Math.abs(taper * round)
  if (angle < Math.PI / 2) return path
  if (angle > 1.5 * Math.PI) return undefined
  // Half a turn from the hinge is the line through hinge and apex, beyond the apex.
  const beyond = rectangle(round > 0 ? point(-far, -far) : point(0, -far), round > 0 ? point(0, far) : point(far, far))
  const rest = cutOut(path, [beyond])
  if (!('problem' in rest)) return rest.outline
  return angle < Math.PI ? path : undefined
}
