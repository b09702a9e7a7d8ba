import { lineTo, openPath, type Path } from './path.ts'
import { type Point, point } from './point.ts'

/** Two strokes that cross in the place, level and upright, each reaching `arm` mm to both sides. */
export const crossMark = ({ x, y }: Point, arm: number): [Path, Path] => [
  openPath(point(x - arm, y), lineTo(point(x + arm, y))),
  openPath(point(x, y - arm), lineTo(point(x, y + arm))),
]
