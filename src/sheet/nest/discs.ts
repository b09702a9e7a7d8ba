import type { Bounds } from './rings.ts'

/** Discs inside an outline: centres and radii, mm, the biggest first. */
export interface Discs {
  readonly x: Float64Array
  readonly y: Float64Array
  readonly r: Float64Array
}

/** Rings as flat arrays: each point's coordinates, and the index of the next one of its ring. */
export interface Outline {
  readonly x: Float64Array
  readonly y: Float64Array
  readonly next: Int32Array
}

/** Distance to the nearest edge, negative outside. */
function clearance({ x, y, next }: Outline, px: number, py: number): number {
  let inside = false
  let least = Infinity
  for (let i = 0; i < x.length; i++) {
    const k = next[i] as number
    const [ax, ay] = [x[i] as number, y[i] as number]
    const [bx, by] = [x[k] as number, y[k] as number]
    if (ay > py !== by > py && px < ((bx - ax) * (py - ay)) / (by - ay) + ax) inside = !inside
    const [dx, dy] = [bx - ax, by - ay]
    const square = dx * dx + dy * dy
    let t = square > 0 ? ((px - ax) * dx + (py - ay) * dy) / square : 0
    t = t < 0 ? 0 : Math.min(t, 1)
    const [ex, ey] = [ax + t * dx - px, ay + t * dy - py]
    const d = ex * ex + ey * ey
    if (d < least) least = d
  }
  return inside ? Math.sqrt(least) : -Math.sqrt(least)
}

interface Cell {
  readonly x: number
  readonly y: number
  readonly half: number
  readonly d: number
  readonly most: number
}

/**
 * Covers an outline by discs that do not overlap: each the biggest that finds room beside those before it (cells halved
 * where they may hold a bigger one). Stops at `most` discs, or at `enough` of them when they cover `share` of the area.
 */
export function coveringDiscs(
  outline: Outline,
  bounds: Bounds,
  area: number,
  most: number,
  enough: number,
  share: number,
): Discs {
  const found: { readonly x: number; readonly y: number; readonly r: number }[] = []
  const side = Math.min(bounds.highX - bounds.lowX, bounds.highY - bounds.lowY)
  const longSide = Math.max(bounds.highX - bounds.lowX, bounds.highY - bounds.lowY)
  const first = Math.max(side / 2, longSide / 12)
  let covered = 0
  /** A cell; the outline is not asked where discs alone leave no more than `bar`. */
  const at = (x: number, y: number, half: number, bar: number): Cell => {
    let d = Infinity
    for (const disc of found) {
      const room = Math.sqrt((x - disc.x) ** 2 + (y - disc.y) ** 2) - disc.r
      if (room < d) d = room
    }
    if (d + half * Math.SQRT2 > bar) d = Math.min(d, clearance(outline, x, y))
    return { x, y, half, d, most: d + half * Math.SQRT2 }
  }
  while (found.length < most && !(found.length >= enough && covered >= share * area)) {
    let cells: Cell[] = []
    for (let x = bounds.lowX + first / 2; x < bounds.highX + first / 2; x += first)
      for (let y = bounds.lowY + first / 2; y < bounds.highY + first / 2; y += first) cells.push(at(x, y, first / 2, 0))
    let best = cells.reduce((a, b) => (b.d > a.d ? b : a), { x: 0, y: 0, half: 0, d: 0, most: 0 })
    for (let level = 0; level < 8; level++) {
      const bar = best.d * 1.02 + longSide * 1e-6
      const next: Cell[] = []
      for (const cell of cells) {
        if (cell.most <= bar) continue
        const half = cell.half / 2
        for (const [sx, sy] of [
          [-1, -1],
          [1, -1],
          [-1, 1],
          [1, 1],
        ] as const) {
          const part = at(cell.x + sx * half, cell.y + sy * half, half, best.d)
          if (part.d > best.d) best = part
          next.push(part)
        }
      }
      if (next.length === 0) break
      // the most promising ones are enough: a disc a little smaller than could be does no harm
      cells = next.length > 64 ? next.sort((a, b) => b.most - a.most).slice(0, 64) : next
    }
    const isTooSmall = best.d <= (found[0]?.r ?? 0) * 0.04 || best.d <= 0
    if (isTooSmall) break
    found.push({ x: best.x, y: best.y, r: best.d })
    covered += Math.PI * best.d * best.d
  }
  return {
    x: Float64Array.from(found, (disc) => disc.x),
    y: Float64Array.from(found, (disc) => disc.y),
    r: Float64Array.from(found, (disc) => disc.r),
  }
}
