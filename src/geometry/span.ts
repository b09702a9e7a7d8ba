import { arcSagitta } from './arc.ts'
import { cubicSplit } from './cubic.ts'
import type { Cubic, Piece } from './path.ts'
import { add, distance, leftOf, norm, type Point, scaled, subtract, turnBetween, turned, unit } from './point.ts'
import { segmentHeading, segmentPart } from './segment.ts'

/** Spans this near are not apart, mm. */
const slack = 1e-9

/** The part of a piece from parameter `low` to `high`. */
export interface Span {
  readonly low: number
  readonly high: number
  /** the part lies in the convex hull of these */
  readonly hull: readonly Point[]
  /** its headings lie within `spread` rad of the unit vector `way` */
  readonly way: Point
  readonly spread: number
  /** mm; no two of its points are farther apart */
  readonly size: number
}

export const headingOn = (run: Piece, t: number): Point => segmentHeading(run.from, run.segment, t)

/** The part of a piece between two of its parameters. */
export function spanOf(run: Piece, low: number, high: number): Span {
  const { from, segment } = segmentPart(run.from, run.segment, low, high)
  const { to } = segment
  if (segment.kind === 'line') {
    return { low, high, hull: [from, to], way: headingOn(run, 0), spread: 0, size: distance(from, to) }
  }
  if (segment.kind === 'arc') {
    // Up to a half turn an arc stays in the rectangle on its chord, as high as its sagitta.
    const way = headingOn(run, (low + high) / 2)
    const out = scaled(leftOf(way), -Math.sign(segment.sweep) * arcSagitta(from, segment))
    const hull = [from, add(from, out), add(to, out), to]
    return { low, high, hull, way, spread: Math.abs(segment.sweep) / 2, size: distance(from, to) }
  }
  return cubicSpan(low, high, from, segment)
}

function cubicSpan(low: number, high: number, from: Point, cubic: Cubic): Span {
  const { c1, c2, to } = cubic
  const hull = [from, c1, c2, to]
  const legs = [subtract(c1, from), subtract(c2, c1), subtract(to, c2)]
  let size = 0
  let first: Point | undefined
  let most = 0
  let least = 0
  for (const leg of legs) {
    size += norm(leg)
    if (leg.x === 0 && leg.y === 0) continue
    first ??= leg
    const angle = turnBetween(first, leg)
    if (angle > most) most = angle
    if (angle < least) least = angle
  }
  if (!first) return { low, high, hull, way: level, spread: Math.PI, size }
  return { low, high, hull, way: turned(unit(first), (most + least) / 2), spread: (most - least) / 2, size }
}

/** Both halves of a span. */
export function halves(run: Piece, { low, high, hull }: Span): [Span, Span] {
  const middle = (low + high) / 2
  const [from, c1, c2, to] = hull
  if (run.segment.kind !== 'cubic' || !from || !c1 || !c2 || !to) {
    return [spanOf(run, low, middle), spanOf(run, middle, high)]
  }
  const [head, tail] = cubicSplit(from, { kind: 'cubic', c1, c2, to }, 0.5)
  return [cubicSpan(low, middle, from, head), cubicSpan(middle, high, head.to, tail)]
}

export const level: Point = { x: 1, y: 0 }
export const upright: Point = { x: 0, y: 1 }

/** Can a line be drawn between the hulls, level, upright or along a chord? */
export function apart(x: Span, y: Span): boolean {
  return (
    apartAcross(level, x, y) ||
    apartAcross(upright, x, y) ||
    apartAcross(leftOf(x.way), x, y) ||
    apartAcross(leftOf(y.way), x, y)
  )
}

function apartAcross(axis: Point, x: Span, y: Span): boolean {
  const [lowX, highX] = extent(x.hull, axis)
  const [lowY, highY] = extent(y.hull, axis)
  return lowX > highY + slack || lowY > highX + slack
}

/** The least and the greatest distance along a unit vector. */
export function extent(points: readonly Point[], axis: Point): [number, number] {
  let low = Infinity
  let high = -Infinity
  for (const p of points) {
    const d = p.x * axis.x + p.y * axis.y
    if (d < low) low = d
    if (d > high) high = d
  }
  return [low, high]
}
