import type { Ring } from './problem.ts'

/**
 * How far every outline is drawn in before two are said to overlap, mm. Two pieces may so lie 0.0008 mm in each other,
 * below what a plotter, a blade or a file can tell, and pieces that touch exactly do not hang on the last bit.
 */
export const hair = 0.0004

/** What a corner may move by, in hairs: a spike's tip far, a notch's bottom hardly, so that no more than 0.0008 mm is given away. */
const farthestAtTip = 20
const farthestAtNotch = 2

/** The ring with its edges moved to their left by a hair; holes run clockwise, so that they grow. */
export function drawnIn(ring: Ring): Ring {
  const n = ring.length
  return ring.map((p, i) => {
    const before = ring[(i + n - 1) % n] ?? p
    const after = ring[(i + 1) % n] ?? p
    const a = leftNormal(before.x, before.y, p.x, p.y)
    const b = leftNormal(p.x, p.y, after.x, after.y)
    const [x, y] = [a.x + b.x, a.y + b.y]
    const square = x * x + y * y
    if (square < 1e-12) return p
    const isTip = a.x * b.y - a.y * b.x >= 0
    // along the bisector by hair / cos(half the turn), which is 2 (a + b) / |a + b|^2
    const factor = Math.min(2 / square, (isTip ? farthestAtTip : farthestAtNotch) / Math.sqrt(square)) * hair
    return { x: p.x + x * factor, y: p.y + y * factor }
  })
}

function leftNormal(ax: number, ay: number, bx: number, by: number): { readonly x: number; readonly y: number } {
  const [dx, dy] = [bx - ax, by - ay]
  const length = Math.sqrt(dx * dx + dy * dy)
  return length === 0 ? { x: 0, y: 0 } : { x: -dy / length, y: dx / length }
}
