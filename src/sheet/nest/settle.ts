import { type Field, type Plot, put } from './field.ts'
import { apart } from './rows.ts'
import type { Laid } from './shape.ts'

/** Times that all pieces slide left and then down; with more pieces than `few` only once. */
const mostPasses = 6
const few = 300

/** A pass that moves all pieces together by less than this, mm, is the last. */
const still = 0.01

/**
 * Lets pieces slide in a straight line, first towards the start of their bed along x, then towards the low side along y, as
 * far as they go: the nearest to it first, over and over. No piece comes to lie farther along either. Nothing may overlap
 * when it begins. Pauses after every piece.
 */
export function* settle(field: Field): Generator<undefined, void> {
  const passes = field.free > few ? 1 : mostPasses
  for (let pass = 0; pass < passes; pass++) {
    let moved = 0
    for (const isLeft of [true, false]) {
      const low = isLeft ? field.lowX : field.lowY
      const order = Array.from({ length: field.free }, (_, i) => i)
        .filter((i) => (field.plot[i] as number) >= 0)
        .sort((a, b) => (low[a] as number) - (low[b] as number) || a - b)
      for (const i of order) {
        const way = wayOf(field, i, isLeft)
        yield undefined
        if (way <= 0) continue
        moved += way
        const [x, y] = [field.x[i] as number, field.y[i] as number]
        put(field, i, field.at[i] as Laid, isLeft ? x - way : x, isLeft ? y : y - way, field.plot[i] as number)
      }
    }
    if (moved < still) return
  }
}

/** How far a piece can slide, mm; 0 or less where it cannot. */
function wayOf(field: Field, i: number, isLeft: boolean): number {
  const { count, plot, lowX, lowY, highX, highY } = field
  const [low, high] = isLeft ? [lowX, highX] : [lowY, highY]
  const [sideLow, sideHigh] = isLeft ? [lowY, highY] : [lowX, highX]
  const own = plot[i] as number
  const { lowX: wallX, lowY: wallY } = field.plots[own] as Plot
  let way = (low[i] as number) - (isLeft ? wallX : wallY)
  field.work += count
  for (let j = 0; j < count && way > 0; j++) {
    const isAside =
      j === i ||
      plot[j] !== own ||
      (sideHigh[j] as number) < (sideLow[i] as number) ||
      (sideLow[j] as number) > (sideHigh[i] as number) ||
      (low[j] as number) > (high[i] as number) ||
      (high[j] as number) < (low[i] as number) - way
    if (!isAside) way = Math.min(way, gapBetween(field, i, j, isLeft, way) - apart)
  }
  return way
}

/** How far piece i can slide until it meets j, mm; `most` where that is farther. Where a corner meets an edge, by all of both. */
function gapBetween(field: Field, i: number, j: number, isLeft: boolean, most: number): number {
  const a = field.at[i] as Laid
  const b = field.at[j] as Laid
  const dx = (field.x[i] as number) - (field.x[j] as number)
  const dy = (field.y[i] as number) - (field.y[j] as number)
  field.work += a.x.length * b.x.length
  return cornersToEdges(b, -dx, -dy, a, isLeft, -1, cornersToEdges(a, dx, dy, b, isLeft, 1, most))
}

/** The least way from a corner of the first, moved by (dx, dy), against the axis (`sign` 1) or along it (-1) to an edge of the second. */
function cornersToEdges(
  corners: Laid,
  dx: number,
  dy: number,
  edges: Laid,
  isLeft: boolean,
  sign: 1 | -1,
  most: number,
): number {
  const [p1, p2] = isLeft ? [corners.x, corners.y] : [corners.y, corners.x]
  const [e1, e2] = isLeft ? [edges.x, edges.y] : [edges.y, edges.x]
  const [along, across] = isLeft ? [dx, dy] : [dy, dx]
  const [cornersLow, cornersHigh] = isLeft ? [corners.lowY, corners.highY] : [corners.lowX, corners.highX]
  const { next } = edges
  let least = most
  for (let k = 0; k < e1.length; k++) {
    const m = next[k] as number
    const s2 = e2[k] as number
    const t2 = e2[m] as number
    const low = Math.min(s2, t2) - across - apart
    const high = Math.max(s2, t2) - across + apart
    if (low > cornersHigh || high < cornersLow) continue
    const s1 = e1[k] as number
    const t1 = e1[m] as number
    for (let c = 0; c < p2.length; c++) {
      const q2 = p2[c] as number
      if (q2 < low || q2 > high) continue
      const p = (p1[c] as number) + along
      if (Math.abs(t2 - s2) <= 2 * apart) {
        // an edge along the way: to both of its ends
        least = lesser(sign * (p - s1), lesser(sign * (p - t1), least))
        continue
      }
      const share = (q2 + across - s2) / (t2 - s2)
      least = lesser(sign * (p - s1 - (share < 0 ? 0 : Math.min(share, 1)) * (t1 - s1)), least)
    }
  }
  return least
}

/** What lies behind is not met. */
const lesser = (gap: number, least: number): number => (gap >= -apart && gap < least ? gap : least)
