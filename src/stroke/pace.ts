import { pathLength } from '../geometry/length.ts'
import { endOf, type Path, type Piece, pieces } from '../geometry/path.ts'
import { distance, type Point, point, turnBetween } from '../geometry/point.ts'
import { segmentHeading, segmentLength } from '../geometry/segment.ts'

/** How fast a machine goes: mm/s with the tool down and up, mm/s^2, and seconds for one lift or one drop. */
export interface Pace {
  readonly down: number
  readonly up: number
  readonly acceleration: number
  readonly lift: number
}

export interface Travel {
  /** mm with the tool down and with it up */
  readonly down: number
  readonly up: number
  readonly seconds: number
}

/** A machine is taken to stop at a corner of more than this, and to run through any less; radians. */
const stopAt = Math.PI / 6

/** Seconds from standstill to standstill over a stretch: speeding up, running and slowing down. */
export function stretchSeconds(length: number, speed: number, acceleration: number): number {
  const ramps = (speed * speed) / acceleration
  return length >= ramps ? length / speed + speed / acceleration : 2 * Math.sqrt(length / acceleration)
}

/**
 * Way and time of strokes done in order from the origin. The time is an estimate: from standstill to standstill between
 * corners of more than 30 degrees, at the stated pace; waiting for data and changing tools are left out.
 */
export function travelOf(paths: readonly Path[], pace: Pace): Travel {
  return travelSum(travelAlong(paths, pace))
}

export function travelSum(all: readonly Travel[]): Travel {
  let [down, up, seconds] = [0, 0, 0]
  for (const each of all) {
    down += each.down
    up += each.up
    seconds += each.seconds
  }
  return { down, up, seconds }
}

/** The same for each stroke, with the way to it. */
export function travelAlong(paths: readonly Path[], pace: Pace): Travel[] {
  let at: Point = point(0, 0)
  return paths.map((path) => {
    const up = distance(at, path.start)
    let seconds = stretchSeconds(up, pace.up, pace.acceleration) + 2 * pace.lift
    for (const length of stretchesOf(path)) seconds += stretchSeconds(length, pace.down, pace.acceleration)
    at = path.closed ? path.start : endOf(path)
    return { down: pathLength(path), up, seconds }
  })
}

/** Lengths between the corners of a path, mm. */
function stretchesOf(path: Path): number[] {
  const lengths: number[] = []
  let before: Piece | undefined
  for (const piece of pieces(path)) {
    const own = segmentLength(piece.from, piece.segment)
    const last = lengths.length - 1
    if (before && last >= 0 && cornerBetween(before, piece) <= stopAt) lengths[last] = (lengths[last] ?? 0) + own
    else lengths.push(own)
    before = piece
  }
  return lengths
}

/** Radians between the end of the one and the start of the other, either way. */
const cornerBetween = (a: Piece, b: Piece): number =>
  Math.abs(turnBetween(segmentHeading(a.from, a.segment, 1), segmentHeading(b.from, b.segment, 0)))

/** Seconds as people say them. */
export function timeWords(seconds: number): string {
  if (seconds < 90) return `${Math.ceil(seconds)} s`
  return `${Math.ceil(seconds / 60)} min`
}
