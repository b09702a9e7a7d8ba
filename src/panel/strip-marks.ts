import { bentStrip } from '../geometry/bent-strip.ts'
import { toChord } from '../geometry/chord.ts'
import { between, distance, type Point, subtract, turnBetween } from '../geometry/point.ts'

/** A bent strip may stray this far from the edge, mm; rounding its marks to 0.1 mm leaves it within 0.3. */
const tolerance = 0.17
/** More marks than this on one strip help nobody. */
const mostMarks = 120
/** Places at which a strip is looked at between two marks, one more. */
const looks = 10

/** A line as points close together, with what marks are spread by at each of them: mm along it, or another sum. */
interface Spread {
  readonly line: readonly Point[]
  readonly sums: readonly number[]
}

/**
 * The fewest marks along a line of many points, its ends left out, that hold a strip to it: at even lengths, or closer
 * where it bends more; and, where its ends are free, with one more near each, because a strip lies too straight there.
 */
export function stripMarks(dense: readonly Point[], closed: boolean): Point[] {
  const line = thinned(dense)
  const spreads = [
    { line, sums: lengths(line) },
    { line, sums: lengthsAndBends(line) },
  ]
  let best: readonly Point[] | undefined
  for (const held of closed ? [false] : [false, true]) {
    for (const spread of spreads) {
      const found = fewest(spread, held, closed, best ? best.length - 1 : mostMarks)
      if (found) best = found
    }
  }
  return [...(best ?? placesOn(spreads[0] as Spread, even(mostMarks)).map(({ at }) => at))]
}

/** The fewest marks of one spread that hold the strip, by halving; undefined where `most` do not. */
function fewest(spread: Spread, held: boolean, closed: boolean, most: number): Point[] | undefined {
  const least = closed || held ? 3 : 1
  const tried = (count: number) => {
    const places = placesOn(spread, held ? heldAtEnds(count) : even(count))
    return holds(spread.line, places, closed) ? places.map(({ at }) => at) : undefined
  }
  if (most < least) return undefined
  let found: Point[] | undefined
  let low = least - 1
  let high = most
  if (most < mostMarks) {
    found = tried(most)
    if (!found) return undefined
  } else {
    // Nothing is known yet: twice as many until they hold.
    for (high = least; !found; ) {
      found = tried(high)
      if (found) break
      if (high === most) return undefined
      low = high
      high = Math.min(most, 2 * high)
    }
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    const own = tried(middle)
    if (own) {
      found = own
      high = middle
    } else low = middle
  }
  return found
}

/** Shares of a line at which so many marks stand on it. */
const even = (count: number): number[] => Array.from({ length: count }, (_, i) => (i + 1) / (count + 1))

/** Even marks, and one more in the first and last stretch, a third of it from the end. */
function heldAtEnds(count: number): number[] {
  const near = 1 / (3 * (count - 1))
  return [near, ...even(count - 2), 1 - near]
}

/** The same line without points that lie on it anyway. */
function thinned(line: readonly Point[]): Point[] {
  const kept = [line[0] as Point]
  let from = 0
  for (let i = 2; i < line.length; i++) {
    const [a, b] = [line[from] as Point, line[i] as Point]
    const isOff = line.slice(from + 1, i).some((p) => toChord(p, a, b) > 0.01)
    if (!isOff) continue
    from = i - 1
    kept.push(line[from] as Point)
  }
  return [...kept, line.at(-1) as Point]
}

function lengths(line: readonly Point[]): number[] {
  const sums = [0]
  for (let i = 1; i < line.length; i++)
    sums.push((sums[i - 1] as number) + distance(line[i - 1] as Point, line[i] as Point))
  return sums
}

/** Shares of the length and of the bend, added up. */
function lengthsAndBends(line: readonly Point[]): number[] {
  const turns = line.map((p, i) => {
    const [before, after] = [line[i - 1], line[i + 1]]
    return before && after ? Math.abs(turnBetween(subtract(p, before), subtract(after, p))) : 0
  })
  const bend = turns.reduce((sum, turn) => sum + turn, 0) || 1
  const ends = lengths(line)
  const whole = ends.at(-1) as number
  const sums = [0]
  for (let i = 1; i < line.length; i++) {
    const turn = ((turns[i - 1] as number) + (turns[i] as number)) / 2
    const length = (ends[i] as number) - (ends[i - 1] as number)
    sums.push((sums[i - 1] as number) + length / whole + turn / bend)
  }
  return sums
}

/** A mark with the number of the line's point that comes after it. */
interface MarkPlace {
  readonly at: Point
  readonly next: number
}

/** The places on a line at rising shares of what it is spread by. */
function placesOn({ line, sums }: Spread, shares: readonly number[]): MarkPlace[] {
  const whole = sums.at(-1) as number
  let next = 1
  return shares.map((share) => {
    while (next < line.length - 1 && (sums[next] as number) < share * whole) next++
    const [low, high] = [sums[next - 1] as number, sums[next] as number]
    const part = high > low ? (share * whole - low) / (high - low) : 0
    return { at: between(line[next - 1] as Point, line[next] as Point, part), next }
  })
}

/** Does a strip along marks on a line stay with it, looked for from both? */
function holds(line: readonly Point[], places: readonly MarkPlace[], closed: boolean): boolean {
  const [first, last] = [line[0] as Point, line.at(-1) as Point]
  const marks = places.map(({ at }) => at)
  const on = bentStrip(closed ? [first, ...marks] : [first, ...marks, last], closed)
  const nexts = [1, ...places.map(({ next }) => next), line.length - 1]
  for (let i = 0; i + 1 < nexts.length; i++) {
    const own = line.slice((nexts[i] as number) - 1, (nexts[i + 1] as number) + 1)
    const strip = Array.from({ length: looks + 1 }, (_, k) => on(i, k / looks))
    if (strip.some((p) => isOff(p, own)) || own.slice(1, -1).some((p) => isOff(p, strip))) return false
  }
  return true
}

/** Is a place farther than the tolerance from all chords of a line? */
function isOff(p: Point, line: readonly Point[]): boolean {
  for (let i = 1; i < line.length; i++) {
    if (toChord(p, line[i - 1] as Point, line[i] as Point) <= tolerance) return false
  }
  return true
}
