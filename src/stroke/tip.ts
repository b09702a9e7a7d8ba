import { between, direction, distance, type Point, scaled, subtract } from '../geometry/point.ts'

/**
 * The way of a tip towed `offset` mm (>= 0) behind its axis, while that goes along the straight chords of `drive`, mm.
 * `heading`, rad, is how the blade stands at the start, from tip to axis; the one handed back is how it stands at the end.
 *
 * Exact for chords, with nothing integrated: of the angle a between travel and blade, tan(a / 2) falls as exp(-s / L).
 * The tip then lies on a tractrix, of which points are given so that their chords stay within `tolerance` mm (> 0) of
 * it; where the tip is pushed back and then pulled again (a = 90 degrees) it turns round, and that place is a point.
 * Flatten arcs and curves of the drive beforehand. A drive without a chord leaves one point.
 */
export function tipWay(
  drive: readonly Point[],
  heading: number,
  offset: number,
  tolerance: number,
): { points: Point[]; heading: number } {
  if (!(offset >= 0 && Number.isFinite(offset))) {
    throw new RangeError(`a blade offset of ${offset} mm; it must be 0 or more`)
  }
  if (!(tolerance > 0)) throw new RangeError(`a tolerance of ${tolerance} mm for the tip; it must be above 0`)
  const start = drive[0]
  if (!start) throw new RangeError('a drive without a point; it needs one at least')
  let stands = heading
  const points: Point[] = [behind(start, stands, offset)]
  for (const chord of chordsOf(drive)) {
    const { from, to, length, travel } = chord
    if (offset > 0) {
      const a0 = within(travel - stands)
      for (const s of stops(a0, length, offset, tolerance)) {
        points.push(behind(between(from, to, s / length), travel - angleAfter(a0, s / offset), offset))
      }
    }
    stands = afterChord(stands, chord, offset)
    points.push(behind(to, stands, offset))
  }
  return { points, heading: within(stands) }
}

/** How a blade stands at the end of `drive`, as `tipWay` has it, rad. */
export const headingAfter = (drive: readonly Point[], heading: number, offset: number): number =>
  within(chordsOf(drive).reduce((stands, chord) => afterChord(stands, chord, offset), heading))

/** A straight part of a drive: its length, mm, and the way it goes, rad. */
interface Chord {
  readonly from: Point
  readonly to: Point
  readonly length: number
  readonly travel: number
}

function chordsOf(drive: readonly Point[]): readonly Chord[] {
  return drive.flatMap((to, i) => {
    const from = drive[i - 1]
    const length = from ? distance(from, to) : 0
    return from && length > 0 ? [{ from, to, length, travel: Math.atan2(to.y - from.y, to.x - from.x) }] : []
  })
}

const afterChord = (stands: number, { length, travel }: Chord, offset: number): number =>
  offset > 0 ? travel - angleAfter(within(travel - stands), length / offset) : travel

const behind = (axis: Point, heading: number, offset: number): Point =>
  subtract(axis, scaled(direction(heading), offset))

/** The same angle from -pi to pi. */
const within = (angle: number): number => Math.atan2(Math.sin(angle), Math.cos(angle))

/** Angle between travel and blade after `u` offsets of travel in a straight line. */
const angleAfter = (a0: number, u: number): number => 2 * Math.atan(Math.tan(a0 / 2) * Math.exp(-u))

/** Travel along one chord, mm and inside it, at which the tip's way takes a point. */
function stops(a0: number, length: number, offset: number, tolerance: number): number[] {
  const a = Math.abs(a0)
  // Is all the way beside the line no wider than the tolerance?
  if (offset * Math.sin(a) <= tolerance && a < Math.PI / 2) return []
  const grow = Math.tan(a / 2)
  // The tip turns round where a is 90 degrees; once it is settled, it is no farther from the line than the tolerance.
  const turns = offset * Math.log(grow)
  const settles = turns - offset * Math.log(Math.tan(Math.asin(Math.min(1, tolerance / offset)) / 2))
  const found: number[] = []
  let low = 0
  for (const mark of [turns, settles]) {
    const high = Math.min(mark, length)
    if (high <= low) continue
    halve(a0, low, high, offset, tolerance, found)
    if (high < length) found.push(high)
    low = high
  }
  return found
}

/**
 * Halves a stretch without a turning point until its chord holds. The tip moves the way its blade points, so the
 * stretch lies in the triangle of its chord and the tangents at its ends, no higher than chord / 2 tan(turn / 2).
 */
function halve(a0: number, low: number, high: number, offset: number, tolerance: number, found: number[]): void {
  const a = angleAfter(a0, low / offset)
  const b = angleAfter(a0, high / offset)
  const chord = Math.hypot(high - low + offset * (Math.cos(a) - Math.cos(b)), offset * (Math.sin(a) - Math.sin(b)))
  if ((chord / 2) * Math.tan(Math.abs(a - b) / 2) <= tolerance) return
  const middle = (low + high) / 2
  halve(a0, low, middle, offset, tolerance, found)
  found.push(middle)
  halve(a0, middle, high, offset, tolerance, found)
}
