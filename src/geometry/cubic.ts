import type { Cubic } from './path.ts'
import { between, type Point } from './point.ts'

export function cubicPoint(p: Point, c: Cubic, t: number): Point {
  const s = 1 - t
  const w0 = s * s * s
  const w1 = 3 * s * s * t
  const w2 = 3 * s * t * t
  const w3 = t * t * t
  return {
    x: w0 * p.x + w1 * c.c1.x + w2 * c.c2.x + w3 * c.to.x,
    y: w0 * p.y + w1 * c.c1.y + w2 * c.c2.y + w3 * c.to.y,
  }
}

/** Derivative by the parameter, not a unit vector. */
export function cubicDerivative(p: Point, c: Cubic, t: number): Point {
  const s = 1 - t
  const w0 = 3 * s * s
  const w1 = 6 * s * t
  const w2 = 3 * t * t
  return {
    x: w0 * (c.c1.x - p.x) + w1 * (c.c2.x - c.c1.x) + w2 * (c.to.x - c.c2.x),
    y: w0 * (c.c1.y - p.y) + w1 * (c.c2.y - c.c1.y) + w2 * (c.to.y - c.c2.y),
  }
}

/** Radians by which the heading turns (left is positive) per unit of the parameter; finite only where the curve moves. */
export function cubicTurnRate(p: Point, c: Cubic, t: number): number {
  const d = cubicDerivative(p, c, t)
  const s = 1 - t
  const x = 6 * (s * (c.c2.x - 2 * c.c1.x + p.x) + t * (c.to.x - 2 * c.c2.x + c.c1.x))
  const y = 6 * (s * (c.c2.y - 2 * c.c1.y + p.y) + t * (c.to.y - 2 * c.c2.y + c.c1.y))
  return (d.x * y - d.y * x) / (d.x * d.x + d.y * d.y)
}

/** The two halves at `t`, by de Casteljau. */
export function cubicSplit(p: Point, c: Cubic, t: number): [Cubic, Cubic] {
  const a = between(p, c.c1, t)
  const b = between(c.c1, c.c2, t)
  const d = between(c.c2, c.to, t)
  const ab = between(a, b, t)
  const bd = between(b, d, t)
  const middle = between(ab, bd, t)
  return [
    { kind: 'cubic', c1: a, c2: ab, to: middle },
    { kind: 'cubic', c1: bd, c2: d, to: c.to },
  ]
}

// 4- and 8-point Gauss-Legendre rules on -1..1 (Abramowitz and Stegun, table 25.4): place and weight of each pair
const fourPoints: readonly (readonly [number, number])[] = [
  [0.3399810435848563, 0.6521451548625461],
  [0.8611363115940526, 0.3478548451374538],
]
const eightPoints: readonly (readonly [number, number])[] = [
  [0.1834346424956498, 0.362683783378362],
  [0.525532409916329, 0.3137066458778873],
  [0.7966664774136267, 0.2223810344533745],
  [0.9602898564975363, 0.1012285362903763],
]

function speedSum(p: Point, c: Cubic, low: number, high: number, rule: typeof eightPoints): number {
  const half = (high - low) / 2
  const middle = (high + low) / 2
  const speed = (t: number) => {
    const d = cubicDerivative(p, c, t)
    return Math.sqrt(d.x * d.x + d.y * d.y)
  }
  let sum = 0
  for (const [x, w] of rule) sum += w * (speed(middle - half * x) + speed(middle + half * x))
  return sum * half
}

/**
 * Length from parameter `low` to `high`, mm, to about 1e-9 of itself. A curve can only stand still or double back
 * where it is at an extreme, so it is summed between those: a rule across such a place may not see what lies behind.
 */
export function cubicLength(p: Point, c: Cubic, low = 0, high = 1): number {
  const inside = cubicExtremes(p, c).filter((t) => t > low && t < high)
  const stops = [low, ...inside.sort((a, b) => a - b), high]
  return stops.slice(1).reduce((sum, stop, i) => sum + smoothLength(p, c, stops[i] ?? low, stop, 12), 0)
}

function smoothLength(p: Point, c: Cubic, low: number, high: number, depth: number): number {
  const whole = speedSum(p, c, low, high, eightPoints)
  // Where four points agree with eight, eight are right far beyond that.
  if (depth === 0 || Math.abs(whole - speedSum(p, c, low, high, fourPoints)) <= 1e-10 * whole) return whole
  const middle = (low + high) / 2
  return smoothLength(p, c, low, middle, depth - 1) + smoothLength(p, c, middle, high, depth - 1)
}

/** The parameter at which the length from the start is `length`, mm, 0..whole. */
export function cubicParameterAt(p: Point, c: Cubic, length: number): number {
  let low = 0
  let high = 1
  let t = length / cubicLength(p, c)
  for (let i = 0; i < 60 && high - low > 1e-14; i++) {
    const miss = cubicLength(p, c, 0, t) - length
    if (Math.abs(miss) < 1e-11) break
    if (miss > 0) high = t
    else low = t
    const d = cubicDerivative(p, c, t)
    const step = t - miss / Math.hypot(d.x, d.y)
    t = step > low && step < high ? step : (low + high) / 2
  }
  return t
}

/** Parameters strictly inside where the curve runs level or upright. */
export function cubicExtremes(p: Point, c: Cubic): number[] {
  const roots = (p0: number, p1: number, p2: number, p3: number) =>
    quadraticRoots(p3 - 3 * p2 + 3 * p1 - p0, 2 * (p2 - 2 * p1 + p0), p1 - p0)
  return [...roots(p.x, c.c1.x, c.c2.x, c.to.x), ...roots(p.y, c.c1.y, c.c2.y, c.to.y)].filter((t) => t > 0 && t < 1)
}

/** Real roots of a t^2 + b t + c, in no order, without cancellation. */
export function quadraticRoots(a: number, b: number, c: number): number[] {
  if (Math.abs(a) < 1e-14 * (Math.abs(b) + Math.abs(c))) return b === 0 ? [] : [-c / b]
  const inside = b * b - 4 * a * c
  if (inside < 0) return []
  const q = -(b + (b < 0 ? -1 : 1) * Math.sqrt(inside)) / 2
  return q === 0 ? [0] : [q / a, c / q]
}
