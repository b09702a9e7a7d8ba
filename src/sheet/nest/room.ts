import { touches } from './overlap.ts'
import { apart } from './rows.ts'
import type { Laid } from './shape.ts'

/**
 * Half planes of moves (x, y) of one outline against another: every move with `normalX x + normalY y >= least` for all of
 * them, and no farther than was asked for, leaves the two apart. mm
 */
export interface HalfPlane {
  readonly normalX: number
  readonly normalY: number
  readonly least: number
}

/** Stretches of moves at which a corner of one outline lies on an edge of the other, by six numbers: both ends, and the way out. */
const scratch = { stretches: new Float64Array(6 * 256), corners: new Int32Array(256), count: 0 }

/** Ways out that are tried for a pair that overlaps, the shortest first. */
const mostWaysOut = 60
/** Half planes for a pair. */
const mostPlanes = 100

/** Moves no longer than this, mm, are none. */
const speck = 1e-9

function addStretch(x1: number, y1: number, x2: number, y2: number, outX: number, outY: number): void {
  const start = 6 * scratch.count++
  if (scratch.stretches.length < start + 6) {
    const wider = new Float64Array(2 * scratch.stretches.length)
    wider.set(scratch.stretches)
    scratch.stretches = wider
  }
  const { stretches } = scratch
  stretches[start] = x1
  stretches[start + 1] = y1
  stretches[start + 2] = x2
  stretches[start + 3] = y2
  stretches[start + 4] = outX
  stretches[start + 5] = outY
}

/**
 * Stretches of moves, at most `far` along x and y, of the cornered outline, moved by (dx, dy) already, at which one of its
 * corners touches an edge of the other from outside. With `sign` -1 moves are those of the edged one.
 */
function stretchesOf(cornered: Laid, dx: number, dy: number, edged: Laid, far: number, sign: 1 | -1): void {
  const { x: xc, y: yc, next: nextC } = cornered
  const { x: xe, y: ye, next: nextE } = edged
  if (scratch.corners.length < 2 * xc.length) scratch.corners = new Int32Array(4 * xc.length)
  const { corners } = scratch
  let near = 0
  for (let c = 0; c < xc.length; c++) {
    const k = nextC[c] as number
    const x = (xc[k] as number) + dx
    const y = (yc[k] as number) + dy
    if (x < edged.lowX - far || x > edged.highX + far || y < edged.lowY - far || y > edged.highY + far) continue
    corners[near++] = c
  }
  for (let e = 0; e < xe.length; e++) {
    const m = nextE[e] as number
    const x1 = xe[e] as number
    const y1 = ye[e] as number
    const x2 = xe[m] as number
    const y2 = ye[m] as number
    const lowX = Math.min(x1, x2) - far
    const highX = Math.max(x1, x2) + far
    const lowY = Math.min(y1, y2) - far
    const highY = Math.max(y1, y2) + far
    const ux = x2 - x1
    const uy = y2 - y1
    const length = Math.sqrt(ux * ux + uy * uy)
    if (length < speck) continue
    const outX = uy / length
    const outY = -ux / length
    for (let n = 0; n < near; n++) {
      const c = corners[n] as number
      const k = nextC[c] as number
      const px = (xc[k] as number) + dx
      const py = (yc[k] as number) + dy
      if (px < lowX || px > highX || py < lowY || py > highY) continue
      const l = nextC[k] as number
      // does the corner point at the edge?
      const before = outX * ((xc[c] as number) + dx - px) + outY * ((yc[c] as number) + dy - py)
      const after = outX * ((xc[l] as number) + dx - px) + outY * ((yc[l] as number) + dy - py)
      if (before < -1e-7 || after < -1e-7) continue
      addStretch(sign * (x1 - px), sign * (y1 - py), sign * (x2 - px), sign * (y2 - py), sign * outX, sign * outY)
    }
  }
}

/** Square of the distance of a point from a stretch, of which only a part is left. */
function squareTo(s: number, from: number, to: number, x: number, y: number): number {
  const { stretches } = scratch
  const x1 = stretches[s] as number
  const y1 = stretches[s + 1] as number
  const ux = (stretches[s + 2] as number) - x1
  const uy = (stretches[s + 3] as number) - y1
  const t = Math.max(from, Math.min(to, ((x - x1) * ux + (y - y1) * uy) / (ux * ux + uy * uy)))
  const ex = x1 + t * ux - x
  const ey = y1 + t * uy - y
  return ex * ex + ey * ey
}

/** A short move of the first outline, moved by (dx, dy) already, that takes it off the second; undefined where none is found. */
function wayOut(a: Laid, dx: number, dy: number, b: Laid): { readonly x: number; readonly y: number } | undefined {
  const { stretches, count } = scratch
  const squares = Array.from({ length: count }, (_, k) => ({ k, square: squareTo(6 * k, 0, 1, 0, 0) }))
  squares.sort((one, two) => one.square - two.square || one.k - two.k)
  for (const { k } of squares.slice(0, mostWaysOut)) {
    const s = 6 * k
    const x1 = stretches[s] as number
    const y1 = stretches[s + 1] as number
    const ux = (stretches[s + 2] as number) - x1
    const uy = (stretches[s + 3] as number) - y1
    const t = Math.max(0, Math.min(1, -(x1 * ux + y1 * uy) / (ux * ux + uy * uy)))
    const x = x1 + t * ux + 2 * apart * (stretches[s + 4] as number)
    const y = y1 + t * uy + 2 * apart * (stretches[s + 5] as number)
    if (!touches(a, dx + x, dy + y, b)) return { x, y }
  }
  return undefined
}

/**
 * Room that the first outline, moved by (dx, dy) already, has beside the second for moves of at most `far` along x and y:
 * a convex part of it, by half planes, about where it lies or, where the two overlap, about the nearest place where they
 * do not. Undefined where there is no such place near.
 */
export function roomBeside(a: Laid, dx: number, dy: number, b: Laid, far: number): HalfPlane[] | undefined {
  scratch.count = 0
  stretchesOf(a, dx, dy, b, far, 1)
  stretchesOf(b, -dx, -dy, a, far, -1)
  const { count, stretches } = scratch
  const at = touches(a, dx, dy, b) ? wayOut(a, dx, dy, b) : { x: 0, y: 0 }
  if (!at) return undefined
  const planes: HalfPlane[] = []
  const from = new Float64Array(count)
  const to = new Float64Array(count).fill(1)
  const isLeft = new Uint8Array(count).fill(1)
  while (planes.length < mostPlanes) {
    let nearest = -1
    let least = Infinity
    let farthest = -Infinity
    for (let k = 0; k < count; k++) {
      if (!isLeft[k]) continue
      const s = 6 * k
      const distance = Math.sqrt(squareTo(s, from[k] as number, to[k] as number, at.x, at.y))
      if (distance > least + 1e-7) continue
      // of those that end in one point the one whose line is farthest off leaves most room
      const off =
        (at.x - (stretches[s] as number)) * (stretches[s + 4] as number) +
        (at.y - (stretches[s + 1] as number)) * (stretches[s + 5] as number)
      if (distance > least - 1e-7 && off <= farthest) continue
      nearest = k
      least = Math.min(least, distance)
      farthest = off
    }
    if (nearest < 0) return planes
    const s = 6 * nearest
    const x1 = stretches[s] as number
    const y1 = stretches[s + 1] as number
    let normalX = stretches[s + 4] as number
    let normalY = stretches[s + 5] as number
    let least0 = normalX * x1 + normalY * y1
    if (farthest < -1e-7 && least > 1e-7) {
      // seen from behind: the line across the way to its nearest point
      const ux = (stretches[s + 2] as number) - x1
      const uy = (stretches[s + 3] as number) - y1
      const t = Math.max(
        from[nearest] as number,
        Math.min(to[nearest] as number, ((at.x - x1) * ux + (at.y - y1) * uy) / (ux * ux + uy * uy)),
      )
      const px = x1 + t * ux
      const py = y1 + t * uy
      normalX = (at.x - px) / least
      normalY = (at.y - py) / least
      least0 = normalX * px + normalY * py
    }
    planes.push({ normalX, normalY, least: least0 + apart })
    isLeft[nearest] = 0
    for (let k = 0; k < count; k++) {
      if (!isLeft[k]) continue
      const q = 6 * k
      const one = normalX * (stretches[q] as number) + normalY * (stretches[q + 1] as number) - least0 - apart / 2
      const two = normalX * (stretches[q + 2] as number) + normalY * (stretches[q + 3] as number) - least0 - apart / 2
      if (one <= 0 && two <= 0) isLeft[k] = 0
      else if (one <= 0) from[k] = Math.max(from[k] as number, one / (one - two))
      else if (two <= 0) to[k] = Math.min(to[k] as number, one / (one - two))
      if ((from[k] as number) >= (to[k] as number)) isLeft[k] = 0
    }
  }
  return undefined
}
