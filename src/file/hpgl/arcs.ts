import { arcPoint } from '../../geometry/arc.ts'
import { arcTo, circle, closedPath, lineTo, openPath, type Path, type Segment } from '../../geometry/path.ts'
import { cross, dot, type Point, subtract } from '../../geometry/point.ts'

/** `v` turned by degrees, exactly where they are quarters of a turn. */
function turnedBy(v: Point, degrees: number): Point {
  const angle = ((degrees % 360) + 360) % 360
  if (angle === 0) return v
  if (angle === 90) return { x: -v.y, y: v.x }
  if (angle === 180) return { x: -v.x, y: -v.y }
  if (angle === 270) return { x: v.y, y: -v.x }
  const c = Math.cos((angle * Math.PI) / 180)
  const s = Math.sin((angle * Math.PI) / 180)
  return { x: v.x * c - v.y * s, y: v.x * s + v.y * c }
}

/** The arc about `centre` from `from` by `degrees`, positive to the left; more than 360 goes round again. */
export function arcAbout(from: Point, centre: Point, degrees: number): Segment[] {
  const radius = subtract(from, centre)
  if (radius.x === 0 && radius.y === 0) return []
  const count = Math.ceil(Math.abs(degrees) / 180)
  const sweep = (degrees / count / 180) * Math.PI
  return Array.from({ length: count }, (_, i) => {
    const angle = (degrees * (i + 1)) / count
    const v = turnedBy(radius, angle)
    return arcTo(angle % 360 === 0 ? from : { x: centre.x + v.x, y: centre.y + v.y }, sweep)
  })
}

/** An arc that runs through infinity: its middle point lies on the line of its ends, before the first or past the last. */
export interface Gap {
  readonly gap: 'before' | 'past'
}

/**
 * The arc from `from` through `middle` to `to`. A circle where both ends are one point, with the middle point across
 * it; a straight line where the middle point is an end or between the ends; nothing where all three are one.
 */
export function arcThrough(from: Point, middle: Point, to: Point): Segment[] | Gap {
  const same = (a: Point, b: Point) => a.x === b.x && a.y === b.y
  if (same(from, to)) {
    return same(from, middle) ? [] : [arcTo(middle, Math.PI), arcTo(from, Math.PI)]
  }
  if (same(from, middle) || same(middle, to)) return [lineTo(to)]
  const first = subtract(middle, from)
  const second = subtract(to, middle)
  const side = cross(first, second)
  const along = dot(first, second)
  // Is it straight but for the rounding of the numbers themselves?
  if (Math.abs(side) <= 1e-12 * Math.hypot(first.x, first.y) * Math.hypot(second.x, second.y)) {
    if (along > 0) return [lineTo(to)]
    return { gap: dot(first, subtract(to, from)) < 0 ? 'before' : 'past' }
  }
  // The chord turns by half of what the arc turns.
  const sweep = 2 * Math.atan2(side, along)
  if (Math.abs(sweep) <= Math.PI) return [arcTo(to, sweep)]
  return [arcTo(arcPoint(from, arcTo(to, sweep), 0.5), sweep / 2), arcTo(to, sweep / 2)]
}

/** The circle round `centre`, from its right, or from its left where `radius` is below 0. */
export const circleAt = (centre: Point, radius: number): Path =>
  radius === 0 ? openPath(centre) : circle(centre, radius)

/** Out from `centre`, round and back. Degrees; a radius below 0 turns the zero direction by half a turn. */
export function wedge(centre: Point, radius: number, start: number, sweep: number): Path {
  const out = turnedBy({ x: radius, y: 0 }, start)
  const first = { x: centre.x + out.x, y: centre.y + out.y }
  return closedPath(centre, [lineTo(first), ...arcAbout(first, centre, sweep), lineTo(centre)])
}
