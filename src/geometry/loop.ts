import { toChord } from './chord.ts'
import { flatten } from './flatten.ts'
import { pathLength, pathPart, stationAt } from './length.ts'
import { closedPath, endOf, type Path } from './path.ts'
import { distance, type Point } from './point.ts'

/** A cut that comes this near to its start again has closed, mm. */
const closes = 0.06
/** The longest overcut that is looked for, mm, and the steps in which it is. */
const longest = 12
const step = 0.02
/** By so much, mm, the way to a place can be longer the first time: a blade that turns where it starts is pushed to and fro. */
const toAndFro = 1

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
    if (off <= closes && (!best || off < best.off) && isOverBeginning(path, length, whole)) best = { length, off }
  }
  if (!best) return undefined
  const part = pathPart(path, 0, best.length)
  const last = part.segments.at(-1)
  return last && closedPath(part.start, [...part.segments.slice(0, -1), { ...last, to: part.start }])
}

/** Does all of a path from `length` on, mm, go over its beginning again? */
function isOverBeginning(path: Path, length: number, whole: number): boolean {
  const beginning = chordsOf(pathPart(path, 0, Math.min(whole / 2, whole - length + toAndFro)))
  const off = (p: Point) =>
    beginning.reduce((least, b, i) => Math.min(least, toChord(p, beginning[i - 1] ?? b, b)), Infinity)
  return chordsOf(pathPart(path, length, whole)).every((p) => off(p) <= 2 * closes)
}

/** The corners of an open path's chords, both ends included. */
const chordsOf = (path: Path): readonly Point[] => flatten(path, closes / 10)
