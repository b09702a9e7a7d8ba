import { type Rings, ringsArea } from '../geometry/polygon.ts'
import type { Region, Ring } from './nest/problem.ts'

/** Rings of a polygon library, outer ones counter-clockwise, as regions: the largest first. */
export function regionsOf(rings: Rings): Region[] {
  const outers = rings.filter((ring) => ringsArea([ring]) > 0)
  const holes = rings.filter((ring) => ringsArea([ring]) < 0)
  const sized = [...outers].sort((a, b) => ringsArea([b]) - ringsArea([a]))
  return sized.map((outer) => ({
    outer,
    holes: holes.filter(([p]) => p !== undefined && isIn(outer, p)).map((hole) => [...hole].reverse()),
  }))
}

/** A region as rings, outer one counter-clockwise and holes clockwise. */
export const ringsOfRegion = ({ outer, holes }: Region): Rings => [outer, ...holes.map((hole) => [...hole].reverse())]

/** Is the point inside the ring? By the crossing number of a ray to the right. */
export function isIn(ring: Ring, { x, y }: { readonly x: number; readonly y: number }): boolean {
  let inside = false
  let before = ring.at(-1)
  for (const p of ring) {
    if (before && p.y > y !== before.y > y) {
      const at = before.x + ((y - before.y) / (p.y - before.y)) * (p.x - before.x)
      if (x < at) inside = !inside
    }
    before = p
  }
  return inside
}
