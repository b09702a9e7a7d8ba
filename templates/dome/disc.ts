import { arcTo, closedPath, lineTo, openPath, type Path, type Segment } from '../../src/geometry/path.ts'
import { direction, point, scaled } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import type { ObjectMark } from '../../src/panel/panel.ts'
import type { Strain } from '../../src/panel/strain.ts'
import { discRule, strainOf } from '../strain-rules.ts'

/** Radius of the flat disc of the same area as a cap of rim radius `rim` and height `height`, mm. */
export function discRadius(rim: number, height: number): number {
  return Math.hypot(rim, height)
}

export interface Disc {
  readonly part: string
  readonly copies: number
  /** of the ball and of the flat disc, mm */
  readonly ball: number
  readonly radius: number
  /** mm past the rim; undefined where the rim is the free edge of the film and takes the allowance */
  readonly lap: number | undefined
  readonly marks: readonly ObjectMark[]
  readonly notes: (strain: Strain) => readonly string[]
}

/** A disc over the pole, as two edges: the lower half and the upper half. */
export function developDisc({ part, copies, ball, radius, lap, marks, notes }: Disc): Development {
  const [left, right, low, high] = [point(-radius, 0), point(radius, 0), point(0, -radius), point(0, radius)]
  const quarter = Math.PI / 2
  const past = lap === undefined ? {} : { lap }
  const strain = discStrain(ball, radius)
  return {
    part,
    copies,
    edges: [
      { name: 'bottom', path: openPath(left, arcTo(low, quarter), arcTo(right, quarter)), ...past },
      { name: 'top', path: openPath(right, arcTo(high, quarter), arcTo(left, quarter)), ...past },
    ],
    holes: [],
    hinge: { from: low, to: high },
    strain,
    labelSpots: [0, 0.3, -0.3].map((share) => ({ at: point(0, share * radius - 2), turn: 0 })),
    marks,
    notes: notes(strain),
  }
}

/** Rings and sectors of the disc, each with the outward stretch halfway across its ring. */
function discStrain(ball: number, radius: number): Strain {
  const [rings, sectors] = [6, 16]
  // The angle c from the pole at the distance rho of the flat disc: rho = 2 R sin(c / 2).
  const cosHalf = (rho: number) => Math.sqrt(1 - (rho / (2 * ball)) ** 2)
  const cells = Array.from({ length: rings * sectors }, (_, i) => {
    const ring = Math.floor(i / sectors)
    return {
      path: sector(
        [ring / rings, (ring + 1) / rings],
        [(i % sectors) / sectors, ((i % sectors) + 1) / sectors],
        radius,
      ),
      strain: 1 / cosHalf(((ring + 0.5) / rings) * radius) - 1,
    }
  })
  const rim = cosHalf(radius)
  return strainOf([1 / rim - 1, rim - 1], cells, discRule)
}

function sector(
  [inner, outer]: readonly [number, number],
  [first, last]: readonly [number, number],
  radius: number,
): Path {
  const on = (share: number, turn: number) => scaled(direction(2 * Math.PI * turn), share * radius)
  const sweep = 2 * Math.PI * (last - first)
  const back: readonly Segment[] = inner > 0 ? [arcTo(on(inner, first), -sweep)] : []
  return closedPath(on(inner, first), [
    lineTo(on(outer, first)),
    arcTo(on(outer, last), sweep),
    lineTo(on(inner, last)),
    ...back,
  ])
}
