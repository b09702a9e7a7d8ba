import { arcPoint, arcRadius, arcSagitta } from './arc.ts'
import { quadraticRoots } from './cubic.ts'
import { type Arc, type Cubic, type Path, pieces } from './path.ts'
import type { Point } from './point.ts'

/** Largest distance between a curve and the chords that stand for it, mm. */
export const defaultTolerance = 0.02

/**
 * Points on the path whose chords stay within `tolerance` mm of it (> 0). Ends of segments are kept.
 * A closed path's points do not repeat the first.
 */
export function flatten(path: Path, tolerance = defaultTolerance): Point[] {
  if (!(tolerance > 0)) throw new RangeError(`a flattening tolerance of ${tolerance} mm; it must be above 0`)
  const points: Point[] = [path.start]
  for (const { from, segment } of pieces(path)) {
    if (segment.kind === 'arc') flattenArc(from, segment, tolerance, points)
    else if (segment.kind === 'cubic') flattenCubic(from, segment, tolerance, points)
    points.push(segment.to)
  }
  if (path.closed && points.length > 1) points.pop()
  return points
}

/** Chord turn for a sagitta of e on radius r is 2 acos(1 - e/r), written so that a large r loses nothing. */
function flattenArc(from: Point, arc: Arc, tolerance: number, points: Point[]): void {
  // Is the arc as good as straight? Then its radius may be too large to count with.
  if (arcSagitta(from, arc) <= tolerance) return
  const radius = arcRadius(from, arc)
  const step = 4 * Math.asin(Math.min(Math.SQRT1_2, Math.sqrt(tolerance / (2 * radius))))
  const count = Math.ceil(Math.abs(arc.sweep) / step - 1e-12)
  for (let i = 1; i < count; i++) points.push(arcPoint(from, arc, i / count))
}

/** A cubic as a t^3 + b t^2 + c t + start, so that a chord's distance needs few multiplications. */
interface Power {
  readonly ax: number
  readonly ay: number
  readonly bx: number
  readonly by: number
  readonly cx: number
  readonly cy: number
  readonly start: Point
}

function powerForm(p: Point, { c1, c2, to }: Cubic): Power {
  return {
    ax: to.x - p.x - 3 * (c2.x - c1.x),
    ay: to.y - p.y - 3 * (c2.y - c1.y),
    bx: 3 * (p.x - 2 * c1.x + c2.x),
    by: 3 * (p.y - 2 * c1.y + c2.y),
    cx: 3 * (c1.x - p.x),
    cy: 3 * (c1.y - p.y),
    start: p,
  }
}

/**
 * Walks along the curve with chords as long as the tolerance allows, so it needs hardly more vertices than the best
 * inscribed polyline. The distance of each chord is not sampled: see `chordDistance`.
 */
function flattenCubic(from: Point, cubic: Cubic, tolerance: number, points: Point[]): void {
  const power = powerForm(from, cubic)
  let low = 0
  for (const high of [...inflections(power), 1]) {
    walk(power, low, high, tolerance, points)
    if (high < 1) points.push(pointOf(power, high))
    low = high
  }
}

function pointOf({ ax, ay, bx, by, cx, cy, start }: Power, t: number): Point {
  return { x: ((ax * t + bx) * t + cx) * t + start.x, y: ((ay * t + by) * t + cy) * t + start.y }
}

/** A step in which the curve cannot run farther than the tolerance, so its chord holds whatever the shape: a cusp too. */
function sureStep({ ax, ay, bx, by, cx, cy }: Power, tolerance: number): number {
  // The derivative stays within its own control points.
  const speed = Math.max(
    Math.hypot(cx, cy),
    Math.hypot(bx + cx, by + cy),
    Math.hypot(3 * ax + 2 * bx + cx, 3 * ay + 2 * by + cy),
  )
  return tolerance / speed
}

function walk(power: Power, low: number, high: number, tolerance: number, points: Point[]): void {
  const leastStep = sureStep(power, tolerance)
  let t = low
  let step = high - low
  while (high - t > leastStep) {
    let reach = Math.min(step, high - t)
    let miss = chordDistance(power, t, t + reach)
    // Too long? The distance grows about as the square of the step.
    while (miss > tolerance && reach > leastStep) {
      reach = Math.max(leastStep, reach * (miss < Infinity ? Math.max(0.25, 0.98 * Math.sqrt(tolerance / miss)) : 0.5))
      miss = chordDistance(power, t, t + reach)
    }
    // Much too short? One try at a longer one.
    if (miss < 0.8 * tolerance && t + reach < high) {
      const longer = Math.min(high - t, reach * Math.min(4, 0.98 * Math.sqrt(tolerance / Math.max(miss, 1e-12))))
      if (longer > reach && chordDistance(power, t, t + longer) <= tolerance) reach = longer
    }
    t += reach
    step = reach
    if (high - t > leastStep) points.push(pointOf(power, t))
  }
}

/** Parameters inside where the curve changes the side it bends to: at most two, in order. */
function inflections({ ax, ay, bx, by, cx, cy }: Power): number[] {
  // first derivative x second derivative, divided by 2
  const roots = quadraticRoots(3 * (bx * ay - by * ax), 3 * (cx * ay - cy * ax), cx * by - cy * bx)
  return roots.filter((t) => t > 1e-6 && t < 1 - 1e-6).sort((a, b) => a - b)
}

/**
 * A held bound on the distance between the curve from `t0` to `t1` and its chord: across the chord the curve is
 * s (s - 1) (l + m s) with s = 0..1, whose largest value is at a root of a quadratic. Infinity where the curve runs
 * back along the chord, because there the distance across says nothing.
 */
function chordDistance({ ax, ay, bx, by, cx, cy }: Power, t0: number, t1: number): number {
  const h = t1 - t0
  // chord / h = a (t0^2 + t0 t1 + t1^2) + b (t0 + t1) + c
  const sum = t0 + t1
  const squares = t0 * t0 + t0 * t1 + t1 * t1
  const vx = ax * squares + bx * sum + cx
  const vy = ay * squares + by * sum + cy
  const speed = Math.sqrt(vx * vx + vy * vy)
  if (speed === 0) return Infinity
  const ux = vx / speed
  const uy = vy / speed
  // Does the curve run back along the chord anywhere from t0 to t1?
  const d2 = 3 * (ax * ux + ay * uy)
  const d1 = 2 * (bx * ux + by * uy)
  const d0 = cx * ux + cy * uy
  if ((d2 * t0 + d1) * t0 + d0 < 0 || (d2 * t1 + d1) * t1 + d0 < 0) return Infinity
  const turn = -d1 / (2 * d2)
  if (turn > t0 && turn < t1 && (d2 * turn + d1) * turn + d0 < 0) return Infinity
  const na = ay * ux - ax * uy
  const nb = by * ux - bx * uy
  const m = na * h * h * h
  const l = (3 * na * t0 + nb) * h * h + m
  return hump(l, m)
}

/** Largest |s (s - 1) (l + m s)| for s in 0..1. */
function hump(l: number, m: number): number {
  if (Math.abs(m) < 1e-6 * Math.abs(l)) return (Math.abs(l) + Math.abs(m)) / 4
  // 3 m s^2 + 2 (l - m) s - l = 0
  const half = l - m
  const root = Math.sqrt(half * half + 3 * m * l)
  const q = -(half + (half < 0 ? -root : root))
  const s1 = q / (3 * m)
  const s2 = q === 0 ? s1 : -l / q
  const a = s1 > 0 && s1 < 1 ? Math.abs(s1 * (s1 - 1) * (l + m * s1)) : 0
  const b = s2 > 0 && s2 < 1 ? Math.abs(s2 * (s2 - 1) * (l + m * s2)) : 0
  return Math.max(a, b)
}
