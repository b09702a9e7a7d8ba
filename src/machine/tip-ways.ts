import { flatten } from '../geometry/flatten.ts'
import { type Path, polyline } from '../geometry/path.ts'
import { distance, type Point } from '../geometry/point.ts'
import { tipWay } from '../stroke/tip.ts'
import type { Machine } from './profile.ts'

/** Where a machine is sent with one of its pens, mm on the sheet. */
export interface Way {
  readonly pen: number
  readonly path: Path
}

/** Rad off the first way of the axis, at which a blade may stand before anything has turned it; straight against it it stays. */
const worst = (170 * Math.PI) / 180

/**
 * Where the tip goes for what the machine is sent along: elsewhere only if the file makes up for a trailing blade. How that
 * stands at first, and after another pen had its turn, is not known, so it stands as badly as it can.
 */
export function tipsOf(ways: readonly Way[], machine: Machine | undefined): readonly Way[] {
  if (machine?.blade.compensate !== 'file' || machine.blade.offset === 0) return ways
  let heading: number | undefined
  let taken: number | undefined
  return ways.map(({ pen, path }) => {
    if (pen !== taken) heading = undefined
    taken = pen
    if (pen === machine.tools.pen?.number) return { pen, path }
    const points = flatten({ ...path, closed: false }, 0.005)
    const tip = tipWay(points, heading ?? headingOf(points) + worst, machine.blade.offset, 0.005)
    heading = tip.heading
    return { pen, path: polyline(tip.points) }
  })
}

/** The way of the first chord that has a length, rad. */
function headingOf(points: readonly Point[]): number {
  const start = points[0]
  const next = points.find((p) => start && distance(p, start) > 0)
  return start && next ? Math.atan2(next.y - start.y, next.x - start.x) : 0
}
