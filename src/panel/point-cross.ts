import { lineTo, openPath, type Path } from '../geometry/path.ts'
import { type Point, point } from '../geometry/point.ts'

/** Arm of the cross, mm (common practice, no source). */
const arm = 3

/** The two arms of the pen cross that shows a measured place. */
export function pointCross({ x, y }: Point): Path[] {
  return [
    openPath(point(x - arm, y), lineTo(point(x + arm, y))),
    openPath(point(x, y - arm), lineTo(point(x, y + arm))),
  ]
}
