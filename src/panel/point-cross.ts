import { crossMark } from '../geometry/cross-mark.ts'
import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'

/** Arm of the cross, mm (common practice, no source). */
const arm = 3

/** The two arms of the pen cross that shows a measured place. */
export const pointCross = (place: Point): Path[] => crossMark(place, arm)
