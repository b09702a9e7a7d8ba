import { flatten } from '../geometry/flatten.ts'
import { type Path, polyline } from '../geometry/path.ts'
import { tipWay } from '../stroke/tip.ts'
import type { Machine } from './profile.ts'

/** Where a machine is sent with one of its pens, mm on the sheet. */
export interface Way {
  readonly pen: number
  readonly path: Path
}

/** Where the tip goes for what the machine is sent along: elsewhere only if the file makes up for a trailing blade. */
export function tipsOf(ways: readonly Way[], machine: Machine | undefined): readonly Way[] {
  if (machine?.blade.compensate !== 'file' || machine.blade.offset === 0) return ways
  let heading = 0
  return ways.map(({ pen, path }) => {
    if (pen === machine.tools.pen?.number) return { pen, path }
    const points = flatten({ ...path, closed: false }, 0.005)
    const tip = tipWay(points, heading, machine.blade.offset, 0.005)
    heading = tip.heading
    return { pen, path: polyline(tip.points) }
  })
}
