import Flatbush from 'flatbush'
import { flatten } from '../../src/geometry/flatten.ts'
import type { Path } from '../../src/geometry/path.ts'
import {
  add,
  between,
  cross,
  distance,
  dot,
  leftOf,
  type Point,
  scaled,
  subtract,
  unit,
} from '../../src/geometry/point.ts'

/** Sides that lean to each other by more than this are a corner, not a stroke, rad. */
const corner = (20 * Math.PI) / 180

/**
 * The width, mm, of the thinnest place of film that is under `below` mm wide; undefined where there is none. From
 * places `step` mm apart round the edges a line is drawn squarely into the film. Where it comes out through a side that
 * leans by an angle phi of 20 degrees at most, the circle between both sides is 2 c cos(phi) / (1 + cos(phi)) wide,
 * c being the length of that line: it touches the first side, and its middle is as far from the second.
 * Curves count by chords within `step` / 50. Paths have their film to the left.
 */
export function thinnest(paths: readonly Path[], below: number, step: number): number | undefined {
  const edges = paths.flatMap((path) => {
    const points = flatten(path, step / 50)
    return points.map((from, i): [Point, Point] => [from, points[(i + 1) % points.length] as Point])
  })
  const sides = edges.filter(([from, to]) => distance(from, to) > 1e-9)
  if (sides.length === 0) return undefined
  const index = new Flatbush(sides.length)
  for (const [from, to] of sides) {
    index.add(Math.min(from.x, to.x), Math.min(from.y, to.y), Math.max(from.x, to.x), Math.max(from.y, to.y))
  }
  index.finish()
  const reach = (below * (1 + Math.cos(corner))) / (2 * Math.cos(corner))
  let least = below
  for (const [own, [from, to]] of sides.entries()) {
    const inward = leftOf(unit(subtract(to, from)))
    const count = Math.ceil(distance(from, to) / step)
    for (let i = 0; i < count; i++) {
      const foot = between(from, to, (i + 0.5) / count)
      const end = add(foot, scaled(inward, reach))
      const near = index.search(
        Math.min(foot.x, end.x),
        Math.min(foot.y, end.y),
        Math.max(foot.x, end.x),
        Math.max(foot.y, end.y),
      )
      const first = near
        .filter((j) => j !== own)
        .map((j) => crossing(foot, inward, sides[j] as [Point, Point]))
        .reduce<Hit | undefined>((a, b) => (b && b.reach > 1e-9 && !(a && a.reach <= b.reach) ? b : a), undefined)
      if (!first || first.lean < Math.cos(corner)) continue
      least = Math.min(least, (2 * first.reach * first.lean) / (1 + first.lean))
    }
  }
  return least < below ? least : undefined
}

interface Hit {
  /** mm along the line */
  readonly reach: number
  /** cosine of the angle between the line and the square to the side it comes out through */
  readonly lean: number
}

/** Where a line from `foot` along the unit vector `way` comes out through a side. */
function crossing(foot: Point, way: Point, [from, to]: readonly [Point, Point]): Hit | undefined {
  const side = subtract(to, from)
  const det = cross(way, side)
  if (det === 0) return undefined
  const gap = subtract(from, foot)
  const along = cross(gap, way) / det
  if (along < 0 || along > 1) return undefined
  return { reach: cross(gap, side) / det, lean: -dot(way, leftOf(unit(side))) }
}
