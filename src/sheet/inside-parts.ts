import { between, cross, type Point, subtract } from '../geometry/point.ts'
import { isIn } from './regions.ts'

/** The parts of a straight line that lie inside a ring, from its start to its end. */
export function insideParts(from: Point, to: Point, ring: readonly Point[]): [Point, Point][] {
  const way = subtract(to, from)
  const cuts = ring.flatMap((b, i): number[] => {
    const a = ring.at(i - 1) as Point
    const side = subtract(b, a)
    const turn = cross(way, side)
    if (turn === 0) return []
    const start = subtract(a, from)
    const t = cross(start, side) / turn
    const s = cross(start, way) / turn
    return t > 0 && t < 1 && s >= 0 && s <= 1 ? [t] : []
  })
  const ends = [0, ...cuts.sort((a, b) => a - b), 1]
  return ends.slice(1).flatMap((high, i): [Point, Point][] => {
    const low = ends[i] as number
    if (high <= low || !isIn(ring, between(from, to, (low + high) / 2))) return []
    return [[between(from, to, low), between(from, to, high)]]
  })
}
