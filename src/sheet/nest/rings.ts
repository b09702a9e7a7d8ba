import type { Region, Ring } from './problem.ts'

/** Area of a ring, mm^2: positive when it runs counter-clockwise. */
export function ringArea(ring: Ring): number {
  let sum = 0
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [a, b] = [ring[j], ring[i]]
    if (a && b) sum += a.x * b.y - a.y * b.x
  }
  return sum / 2
}

/** Area of what is to be laid, mm^2. */
export const regionArea = (region: Region): number =>
  region.holes.reduce((sum, hole) => sum - Math.abs(ringArea(hole)), Math.abs(ringArea(region.outer)))

/** The rings of a region with the area always to their left: outer ring counter-clockwise, holes clockwise. */
export const areaToTheLeft = (region: Region): Ring[] => [
  ringArea(region.outer) < 0 ? region.outer.toReversed() : region.outer,
  ...region.holes.map((hole) => (ringArea(hole) > 0 ? hole.toReversed() : hole)),
]

export interface Bounds {
  readonly lowX: number
  readonly lowY: number
  readonly highX: number
  readonly highY: number
}

export function ringBounds(ring: Ring): Bounds {
  let [lowX, lowY, highX, highY] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const { x, y } of ring) {
    if (x < lowX) lowX = x
    if (x > highX) highX = x
    if (y < lowY) lowY = y
    if (y > highY) highY = y
  }
  return { lowX, lowY, highX, highY }
}

/** Convex hull, counter-clockwise, by Andrew's monotone chain. */
export function hullOf(ring: Ring): Ring {
  const sorted = [...ring].sort((a, b) => a.x - b.x || a.y - b.y)
  const half = (points: Ring) => {
    const chain: { readonly x: number; readonly y: number }[] = []
    for (const p of points) {
      for (;;) {
        const [a, b] = [chain.at(-2), chain.at(-1)]
        if (!a || !b || (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0) break
        chain.pop()
      }
      chain.push(p)
    }
    return chain.slice(0, -1)
  }
  return [...half(sorted), ...half(sorted.toReversed())]
}

/** Is the ring an upright box, its sides off by no more than `slack` mm? */
export function isUprightBox(ring: Ring, slack: number): boolean {
  const { lowX, lowY, highX, highY } = ringBounds(ring)
  return (
    ring.every(
      (p) => (Math.min(p.x - lowX, highX - p.x) <= slack || Math.min(p.y - lowY, highY - p.y) <= slack) && true,
    ) && Math.abs(ringArea(ring) - (highX - lowX) * (highY - lowY)) <= slack * (highX - lowX + highY - lowY)
  )
}
