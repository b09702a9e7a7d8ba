import type { Point } from '../../geometry/point.ts'
import type { Ring } from './problem.ts'
import { ringArea } from './rings.ts'

const turn = (a: Point, b: Point, c: Point): number => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)

const crosses = (a: Point, b: Point, c: Point, d: Point): boolean =>
  Math.min(a.x, b.x) <= Math.max(c.x, d.x) &&
  Math.min(c.x, d.x) <= Math.max(a.x, b.x) &&
  Math.min(a.y, b.y) <= Math.max(c.y, d.y) &&
  Math.min(c.y, d.y) <= Math.max(a.y, b.y) &&
  turn(a, b, c) * turn(a, b, d) <= 0 &&
  turn(c, d, a) * turn(c, d, b) <= 0

interface Change {
  /** first corner that goes, how many go from there on, and what stands in their place */
  readonly at: number
  readonly count: 1 | 2
  readonly by: Point | undefined
  readonly growth: number
}

/**
 * The rings (area to the left) with fewer corners and never with less area: a notch is filled, or an edge's two
 * neighbours are lengthened until they meet. In all no more than `growth` mm^2 are added, and nothing outside the box round
 * the rings, so that what just fits a bed still does.
 */
function fewerCorners(rings: readonly Ring[], growth: number): Ring[] {
  let left = growth
  const result = rings.map((ring) => [...ring])
  const mostEach = growth / 8
  const xs = rings.flatMap((ring) => ring.map(({ x }) => x))
  const ys = rings.flatMap((ring) => ring.map(({ y }) => y))
  const [lowX, highX, lowY, highY] = [least(xs), most(xs), least(ys), most(ys)]
  const isInBox = ({ x, y }: Point) => x >= lowX && x <= highX && y >= lowY && y <= highY
  for (;;) {
    let best: { readonly change: Change; readonly ring: Point[] } | undefined
    for (const ring of result) {
      if (ring.length <= 4) continue
      for (let at = 0; at < ring.length; at++) {
        for (const change of [notchFilled(ring, at), edgeDropped(ring, at)]) {
          if (!change || change.growth > Math.min(left, mostEach) || change.growth >= (best?.change.growth ?? Infinity))
            continue
          if (change.by && !isInBox(change.by)) continue
          if (isClear(result, ring, change)) best = { change, ring }
        }
      }
    }
    if (!best) return result
    apply(best.ring, best.change)
    left -= best.change.growth
  }
}

const least = (values: readonly number[]) => values.reduce((a, b) => Math.min(a, b), Infinity)
const most = (values: readonly number[]) => values.reduce((a, b) => Math.max(a, b), -Infinity)

const cornerOf = (ring: readonly Point[], i: number): Point => ring[(i + ring.length) % ring.length] as Point

function notchFilled(ring: readonly Point[], at: number): Change | undefined {
  const growth = -turn(cornerOf(ring, at - 1), cornerOf(ring, at), cornerOf(ring, at + 1)) / 2
  return growth >= 0 ? { at, count: 1, by: undefined, growth } : undefined
}

function edgeDropped(ring: readonly Point[], at: number): Change | undefined {
  const [a, b, c, d] = [cornerOf(ring, at - 1), cornerOf(ring, at), cornerOf(ring, at + 1), cornerOf(ring, at + 2)]
  if (turn(a, b, c) <= 0 || turn(b, c, d) <= 0) return undefined
  const [ux, uy, vx, vy] = [b.x - a.x, b.y - a.y, c.x - d.x, c.y - d.y]
  const det = ux * vy - uy * vx
  // do the neighbours meet beyond the edge at all, and not far away?
  if (!(Math.abs(det) > 1e-9 * Math.sqrt((ux * ux + uy * uy) * (vx * vx + vy * vy)))) return undefined
  const t = ((c.x - b.x) * vy - (c.y - b.y) * vx) / det
  if (t <= 0) return undefined
  const by = { x: b.x + t * ux, y: b.y + t * uy }
  if ((by.x - c.x) * vx + (by.y - c.y) * vy <= 0) return undefined
  return { at, count: 2, by, growth: Math.abs(turn(b, by, c)) / 2 }
}

/** Do the new edges keep clear of all others, but for the ends they share? */
function isClear(rings: readonly (readonly Point[])[], ring: readonly Point[], { at, count, by }: Change): boolean {
  const from = cornerOf(ring, at - 1)
  const to = cornerOf(ring, at + count)
  const first = cornerOf(ring, at)
  const last = cornerOf(ring, at + count - 1)
  const fresh: (readonly [Point, Point])[] = by
    ? [
        [first, by],
        [by, last],
      ]
    : [[from, to]]
  const isGone = (a: Point, b: Point): boolean =>
    by ? a === first && b === last : (a === from && b === first) || (a === first && b === to)
  for (const other of rings) {
    for (let i = 0; i < other.length; i++) {
      const [a, b] = [cornerOf(other, i), cornerOf(other, i + 1)]
      if (isGone(a, b)) continue
      for (const [c, d] of fresh) if (a !== d && b !== c && a !== c && b !== d && crosses(a, b, c, d)) return false
    }
  }
  return true
}

function apply(ring: Point[], { at, count, by }: Change): void {
  const gone = new Set([at, ...(count === 2 ? [(at + 1) % ring.length] : [])])
  const kept = ring.flatMap((p, i) => (i === at && by ? [by] : gone.has(i) ? [] : [p]))
  ring.splice(0, ring.length, ...kept)
}

/** What may be added to an outline to be searched with, as a share of its area. */
const growthShare = 0.001
/** Outlines with no more corners than this are searched as they are. */
const fewEnough = 24

/** What rounding may make of a point on an edge, mm. */
const slack = 1e-9

/** How far inside the rings a point lies, mm; negative outside. */
function depthIn(rings: readonly Ring[], p: Point): number {
  let isInside = false
  let least = Infinity
  for (const ring of rings) {
    for (let i = 0; i < ring.length; i++) {
      const [a, b] = [cornerOf(ring, i), cornerOf(ring, i + 1)]
      if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) isInside = !isInside
      const [dx, dy] = [b.x - a.x, b.y - a.y]
      const square = dx * dx + dy * dy
      const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square)) : 0
      const [ex, ey] = [a.x + t * dx - p.x, a.y + t * dy - p.y]
      least = Math.min(least, ex * ex + ey * ey)
    }
  }
  return isInside ? Math.sqrt(least) : -Math.sqrt(least)
}

/** Do the outer rings hold all of the inner ones? By corners: none of the inner lies outside, none of the outer inside. */
const isHeldBy = (inner: readonly Ring[], outer: readonly Ring[]): boolean =>
  inner.every((ring) => ring.every((p) => depthIn(outer, p) >= -slack)) &&
  outer.every((ring) => ring.every((p) => depthIn(inner, p) <= slack))

/**
 * The rings (area to the left) that a search works with: hardly bigger, and quick to compare. Rings that cross themselves,
 * as drawing in an edge shorter than a hair may make them, are kept as they are where some of them would be lost.
 */
export function searchedRings(rings: readonly Ring[]): readonly Ring[] {
  const corners = rings.reduce((sum, ring) => sum + ring.length, 0)
  if (corners <= fewEnough) return rings
  const fewer = fewerCorners(rings, growthShare * rings.reduce((sum, ring) => sum + ringArea(ring), 0))
  return isHeldBy(rings, fewer) ? fewer : rings
}
