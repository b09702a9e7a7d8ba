import {
  areaD,
  differenceD,
  EndType,
  FillRule,
  inflatePathsD,
  intersectD,
  JoinType,
  type PathsD,
  simplifyPathsD,
  unionD,
} from 'clipper2-ts'
import { flatten } from './flatten.ts'
import type { Path } from './path.ts'
import type { Point } from './point.ts'

/** Closed rings of straight edges, mm; outer ones counter-clockwise, holes clockwise. */
export type Rings = readonly (readonly Point[])[]

/** Decimal places the polygon library keeps: 0.00001 mm. */
const places = 5

const asPaths = (rings: Rings): PathsD => rings.map((ring) => ring.map((p) => ({ x: p.x, y: p.y })))

export function ringsOf(paths: readonly Path[], tolerance?: number): Rings {
  return paths.map((path) => flatten(path, tolerance))
}

export const ringsArea = (rings: Rings): number => asPaths(rings).reduce((sum, ring) => sum + areaD(ring), 0)

export function union(a: Rings, b: Rings): Rings {
  return unionD(asPaths(a), asPaths(b), FillRule.NonZero, places)
}

export function intersection(a: Rings, b: Rings): Rings {
  return intersectD(asPaths(a), asPaths(b), FillRule.NonZero, places)
}

export function difference(a: Rings, b: Rings): Rings {
  return differenceD(asPaths(a), asPaths(b), FillRule.NonZero, places)
}

/** The rings with fewer corners, none of the old ones farther than `tolerance` mm from the new edges. */
export const simplified = (rings: Rings, tolerance: number): Rings => simplifyPathsD(asPaths(rings), tolerance)

/** Grown by `distance` mm (negative: shrunk), with round or mitred corners. */
export function offsetRings(rings: Rings, distance: number, corners: 'round' | 'mitre' = 'round'): Rings {
  const join = corners === 'round' ? JoinType.Round : JoinType.Miter
  return inflatePathsD(asPaths(rings), distance, join, EndType.Polygon, 10, places, 0.001)
}

/** Grown by `distance` mm, > 0, corners cut off square just outside the round: few corners, and nothing less than the room. */
export function withRoom(rings: Rings, distance: number): Rings {
  return inflatePathsD(asPaths(rings), distance, JoinType.Square, EndType.Polygon, 2, places)
}

/** Open lines as areas that reach `distance` mm, > 0, to both sides, and past their ends unless these are flush. */
export function thickened(lines: Rings, distance: number, ends: 'past' | 'flush' = 'past'): Rings {
  if (lines.length === 0) return []
  const end = ends === 'past' ? EndType.Square : EndType.Butt
  return inflatePathsD(asPaths(lines), distance, JoinType.Square, end, 2, places)
}
