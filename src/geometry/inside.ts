import { flatten } from './flatten.ts'
import type { Path } from './path.ts'
import type { Point } from './point.ts'
import { difference, ringsArea, ringsOf } from './polygon.ts'

/** Is the point inside the ring, by the crossing number of a ray to the right? */
function pointInRing(ring: readonly Point[], p: Point): boolean {
  let inside = false
  let before = ring.at(-1) as Point
  for (const here of ring) {
    if (here.y > p.y !== before.y > p.y) {
      const x = here.x + ((p.y - here.y) * (before.x - here.x)) / (before.y - here.y)
      if (p.x < x) inside = !inside
    }
    before = here
  }
  return inside
}

/** Is the point inside the closed path, to the flattening's 0.001 mm? */
export function pointInside(path: Path, p: Point): boolean {
  return pointInRing(flatten(path, 0.001), p)
}

/** Does `inner` lie wholly within `outer` (both closed)? Less than 0.001 mm^2 outside counts as within. */
export function liesWithin(inner: Path, outer: Path): boolean {
  return ringsArea(difference(ringsOf([inner], 0.001), ringsOf([outer], 0.001))) < 1e-3
}
