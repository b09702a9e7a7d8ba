import { type Path, pieces } from './path.ts'
import { segmentArea } from './segment.ts'

/** Signed area of a closed path, mm^2: positive when it runs counter-clockwise. Exact for lines, arcs and cubics. */
export function signedArea(path: Path): number {
  let sum = 0
  for (const { from, segment } of pieces(path)) sum += segmentArea(from, segment)
  return sum
}
