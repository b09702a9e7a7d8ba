import Flatbush from 'flatbush'
import { flatten } from './flatten.ts'
import type { Path } from './path.ts'
import { cross, distance, type Point, subtract } from './point.ts'

/**
 * The first place where a closed path touches or crosses itself, or undefined for a simple one.
 * Looked for on chords within 0.005 mm of the path.
 */
export function selfCrossing(path: Path): Point | undefined {
  const points = flatten(path, 0.005)
  const corners = points.filter((p, i) => distance(p, points[(i + 1) % points.length] as Point) > 1e-9)
  const n = corners.length
  if (n < 3) return path.start
  const index = new Flatbush(n)
  const edge = (i: number): [Point, Point] => [corners[i] as Point, corners[(i + 1) % n] as Point]
  for (let i = 0; i < n; i++) {
    const [a, b] = edge(i)
    index.add(Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y))
  }
  index.finish()
  for (let i = 0; i < n; i++) {
    const [a, b] = edge(i)
    const near = index.search(Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y))
    for (const j of near) {
      if (j <= i + 1 || (i === 0 && j === n - 1)) continue
      const [c, d] = edge(j)
      if (edgesMeet(a, b, c, d)) return a
    }
  }
  return undefined
}

/** Do two straight edges cross or touch? Edges on one endless line count as touching. */
export function edgesMeet(a: Point, b: Point, c: Point, d: Point): boolean {
  const side = (p: Point, q: Point, r: Point) => Math.sign(cross(subtract(q, p), subtract(r, p)))
  return side(a, b, c) * side(a, b, d) <= 0 && side(c, d, a) * side(c, d, b) <= 0
}
