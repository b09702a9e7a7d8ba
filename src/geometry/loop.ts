import { pathLength, pathPart, stationAt } from './length.ts'
import { closedPath, endOf, type Path } from './path.ts'
import { distance } from './point.ts'

/** A cut that comes this near to its start again has closed, mm. */
const closes = 0.06
/** The longest overcut that is looked for, mm, and the steps in which it is. */
const longest = 12
const step = 0.02

/**
 * The closed line that a cut makes: a path that comes back to its start and may run on past it. Undefined where it does
 * not come back.
 */
export function loopOf(path: Path): Path | undefined {
  if (path.closed) return path
  if (distance(path.start, endOf(path)) < 1e-6) return closedPath(path.start, path.segments)
  const whole = pathLength(path)
  const first = Math.max(whole / 2, whole - longest)
  let best: { readonly length: number; readonly off: number } | undefined
  for (let length = whole; length > first; length -= step) {
    const off = distance(stationAt(path, length).at, path.start)
    // What is cut past the start goes over the beginning again.
    const again = off <= closes && distance(stationAt(path, whole - length).at, endOf(path)) <= 2 * closes
    if (again && (!best || off < best.off)) best = { length, off }
  }
  if (!best) return undefined
  const part = pathPart(path, 0, best.length)
  const last = part.segments.at(-1)
  return last && closedPath(part.start, [...part.segments.slice(0, -1), { ...last, to: part.start }])
}
