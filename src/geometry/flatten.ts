import { arcPoint, arcRadius, arcSagitta } from './arc.ts'
import { cubicPoint, quadraticRoots } from './cubic.ts'
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

/**
 * Walks along the curve with chords as long as the tolerance allows, so it needs about as few vertices as any
 * inscribed polyline can have. The distance of each chord is not sampled: see `chordDistance`.
 */
function flattenCubic(from: Point, cubic: Cubic, tolerance: number, points: Point[]): void {
  const ends = inflections(from, cubic)
  let low = 0
  for (const high of [...ends, 1]) {
    walk(from, cubic, low, high, tolerance, points)
    if (high < 1) points.push(cubicPoint(from, cubic, high))
    low = high
  }
}

function walk(from: Point, cubic: Cubic, low: number, high: number, tolerance: number, points: Point[]): void {
  let t = low
  let step = high - low
  while (t < high) {
    let reach = Math.min(step, high - t)
    let miss = chordDistance(from, cubic, t, t + reach)
    // Too long? The distance grows about as the square of the step.
    while (miss > tolerance && reach > 1e-9) {
      reach *= miss < Infinity ? Math.max(0.25, 0.98 * Math.sqrt(tolerance / miss)) : 0.5
      miss = chordDistance(from, cubic, t, t + reach)
    }
    // Much too short? One try at a longer one.
    if (miss < 0.8 * tolerance && t + reach < high) {
      const longer = Math.min(high - t, reach * Math.min(4, 0.98 * Math.sqrt(tolerance / Math.max(miss, 1e-12))))
      if (longer > reach && chordDistance(from, cubic, t, t + longer) <= tolerance) reach = longer
    }
    t += reach
    step = reach * 1.2
    if (high - t < 1e-9) return
    points.push(cubicPoint(from, cubic, t))
  }
}

/** Parameters inside where the curve changes the side it bends to: at most two, in order. */
function inflections(p: Point, c: Cubic): number[] {
  const ax = c.c1.x - p.x
  const ay = c.c1.y - p.y
  const bx = c.c2.x - c.c1.x - ax
  const by = c.c2.y - c.c1.y - ay
  const dx = c.to.x - p.x - 3 * (c.c2.x - c.c1.x)
  const dy = c.to.y - p.y - 3 * (c.c2.y - c.c1.y)
  const roots = quadraticRoots(bx * dy - by * dx, ax * dy - ay * dx, ax * by - ay * bx)
  return roots.filter((t) => t > 1e-6 && t < 1 - 1e-6).sort((a, b) => a - b)
}

/**
 * A held bound on the distance between the curve from `t0` to `t1` and its chord: across the chord the curve is
 * (t - t0)(t - t1)(l + m t), whose largest value is at a root of a quadratic. Infinity where the curve runs
 * back along the chord, because there the distance across says nothing.
 */
function chordDistance(p: Point, c: Cubic, t0: number, t1: number): number {
  const a = cubicPoint(p, c, t0)
  const b = cubicPoint(p, c, t1)
  const chord = Math.hypot(b.x - a.x, b.y - a.y)
  if (chord === 0) return Infinity
  const ux = (b.x - a.x) / chord
  const uy = (b.y - a.y) / chord
  if (runsBack(p, c, t0, t1, ux, uy)) return Infinity
  const second = (q0: number, q1: number, q2: number, q3: number, t: number) =>
    6 * ((1 - t) * (q2 - 2 * q1 + q0) + t * (q3 - 2 * q2 + q1))
  const bendAt = (t: number) =>
    second(p.y, c.c1.y, c.c2.y, c.to.y, t) * ux - second(p.x, c.c1.x, c.c2.x, c.to.x, t) * uy
  // With s = 0..1 over the step h: f'' h^2 = g0 + (g1 - g0) s, so f = s (s - 1) (l + m s).
  const h = t1 - t0
  const g0 = bendAt(t0) * h * h
  const m = (bendAt(t1) * h * h - g0) / 6
  const l = g0 / 2 + m
  let most = 0
  for (const s of quadraticRoots(3 * m, 2 * (l - m), -l)) {
    if (s > 0 && s < 1) most = Math.max(most, Math.abs(s * (s - 1) * (l + m * s)))
  }
  return most
}

function runsBack(p: Point, c: Cubic, t0: number, t1: number, ux: number, uy: number): boolean {
  const q0 = (c.c1.x - p.x) * ux + (c.c1.y - p.y) * uy
  const q1 = (c.c2.x - c.c1.x) * ux + (c.c2.y - c.c1.y) * uy
  const q2 = (c.to.x - c.c2.x) * ux + (c.to.y - c.c2.y) * uy
  if (q0 >= 0 && q1 >= 0 && q2 >= 0) return false
  const at = (t: number) => (1 - t) * (1 - t) * q0 + 2 * t * (1 - t) * q1 + t * t * q2
  const turn = (q0 - q1) / (q0 - 2 * q1 + q2)
  return at(t0) < 0 || at(t1) < 0 || (turn > t0 && turn < t1 && at(turn) < 0)
}
