import { pathLength, pathPart } from '../geometry/length.ts'
import type { Path } from '../geometry/path.ts'
import { cornersOf, roomRound } from './starts.ts'

/** Places left uncut, so that a piece stays in the sheet, mm. */
export interface Bridges {
  /** about how far from one to the next */
  readonly spacing: number
  readonly width: number
}

/** From a bridge to a corner or to the start, mm, where the path has room for it. */
const room = 5
/** The least cut between two bridges, as a part of their width. */
const leastCut = 1
const leastOnLoop = 3
/** Places tried for the first bridge, between one bridge and the next. */
const phases = 48

/**
 * A cut left out for `width` mm about every `spacing` mm: the open stretches that are cut, in order. The first stretch
 * of a closed path leads through its start. A closed path gets three bridges or more where they fit with as much cut
 * between them as a bridge is wide; an open one as many as go into it by `spacing`, to the nearest. A path too short for
 * any stays whole.
 */
export function bridged(path: Path, { spacing, width }: Bridges): Path[] {
  if (!(width > 0 && width < Infinity)) throw new RangeError(`a bridge ${width} mm wide; it must be above 0 mm`)
  if (!(spacing > width && spacing < Infinity)) {
    throw new RangeError(`bridges every ${spacing} mm; that must be more than their width of ${width} mm`)
  }
  const whole = pathLength(path)
  const fitting = Math.floor(whole / ((1 + leastCut) * width))
  const wanted = Math.round(whole / spacing)
  const count = Math.min(path.closed ? Math.max(leastOnLoop, wanted) : wanted, fitting)
  if (count < 1) return [path]
  const middles = placed(path, whole, count, width)
  const half = width / 2
  const cuts = middles.slice(1).map((middle, i) => pathPart(path, (middles[i] ?? 0) + half, middle - half))
  const first = (middles[0] ?? 0) - half
  const last = (middles.at(-1) ?? 0) + half
  if (!path.closed) return [pathPart(path, 0, first), ...cuts, pathPart(path, last, whole)]
  return [partRound(path, last, first, whole), ...cuts]
}

/** From `low` on over the start of a closed path to `high`. */
function partRound(path: Path, low: number, high: number, whole: number): Path {
  if (low >= whole - 1e-9) return pathPart(path, Math.max(0, low - whole), high)
  if (high <= 1e-9) return pathPart(path, low, whole + Math.min(0, high))
  const tail = pathPart(path, low, whole)
  return { ...tail, segments: [...tail.segments, ...pathPart(path, 0, high).segments] }
}

/** Middles of the bridges, mm along the path, in order: evenly spread, then moved out of the way of corners. */
function placed(path: Path, whole: number, count: number, width: number): number[] {
  const pitch = whole / count
  const clear = room + width / 2
  // The start and the end of an open path are kept free as well.
  const hard = [0, ...cornersOf(path).filter((length) => length < whole), whole]
  const free = freeStretches(hard, clear, whole)
  // A bridge may move by so much that two never come nearer than they fit.
  const most = (pitch - (1 + leastCut) * width) / 2
  let best: { middles: number[]; inTheWay: number; moved: number } | undefined
  for (let k = 0; k < phases; k++) {
    const begin = path.closed ? (pitch * (k + 0.5)) / phases : pitch / 2
    let inTheWay = 0
    let moved = 0
    const middles = Array.from({ length: count }, (_, i) => {
      const even = begin + i * pitch
      const low = Math.max(even - most, path.closed ? 0 : width)
      const high = Math.min(even + most, path.closed ? whole : whole - width)
      const spot = nearestFree(free, even, low, high)
      if (spot === undefined) inTheWay++
      const at = spot ?? roomiest(hard, even, low, high, whole)
      moved = Math.max(moved, Math.abs(at - even))
      return at
    })
    const isBetter = !best || inTheWay < best.inTheWay || (inTheWay === best.inTheWay && moved < best.moved - 1e-9)
    if (isBetter) best = { middles, inTheWay, moved }
    if (!path.closed) break
  }
  return best?.middles ?? []
}

/** Stretches from `low` to `high` mm that are `clear` mm or more from every hard place, in order. */
function freeStretches(hard: readonly number[], clear: number, whole: number): { low: number; high: number }[] {
  return hard.flatMap((length, i) => {
    const low = length + clear
    const high = (hard[i + 1] ?? whole) - clear
    return high >= low ? [{ low, high }] : []
  })
}

function nearestFree(
  free: readonly { low: number; high: number }[],
  wanted: number,
  low: number,
  high: number,
): number | undefined {
  let best: number | undefined
  for (const stretch of free) {
    const at = Math.min(Math.max(wanted, stretch.low, low), stretch.high, high)
    if (at < Math.max(stretch.low, low) || at > high) continue
    if (best === undefined || Math.abs(at - wanted) < Math.abs(best - wanted)) best = at
  }
  return best
}

/** Nothing is free there: the place farthest from all that is in the way. */
function roomiest(hard: readonly number[], wanted: number, low: number, high: number, whole: number): number {
  const inside = hard.filter((length) => length > low && length < high)
  const stops = [low, ...inside, high]
  const roomAt = (at: number) => roomRound(hard, at, whole)
  const places = [low, high, wanted, ...stops.slice(1).map((stop, i) => (stop + (stops[i] ?? low)) / 2)]
  return places.reduce((best, at) => (roomAt(at) > roomAt(best) + 1e-9 ? at : best), wanted)
}
