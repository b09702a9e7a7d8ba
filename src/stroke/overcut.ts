import { pathLength, pathPart } from '../geometry/length.ts'
import type { Path, Segment } from '../geometry/path.ts'

/**
 * A closed path run on past its start by `length` mm along itself, so that the cut surely closes; open, because it no
 * longer ends where it began. Longer than the path itself it goes round again. Open paths stay as they are, and so does
 * a closed one where `length` is 0. Refuses a length that is negative or no number.
 */
export function overcut(path: Path, length: number): Path {
  if (!(length >= 0 && length < Infinity)) {
    throw new RangeError(`an overcut of ${length} mm; it must be 0 or more. Give 0 for none.`)
  }
  const whole = pathLength(path)
  if (!path.closed || length === 0 || whole === 0) return path
  const rounds = Math.floor(length / whole)
  const rest = length - rounds * whole
  const segments: Segment[] = [...path.segments]
  for (let k = 0; k < rounds; k++) segments.push(...path.segments)
  if (rest > 0) segments.push(...pathPart(path, 0, rest).segments)
  return { start: path.start, segments, closed: false }
}
