import { arcHeading, arcLength } from '../../geometry/arc.ts'
import type { Box } from '../../geometry/bounds.ts'
import { cubicDerivative } from '../../geometry/cubic.ts'
import { type Path, pieces, type Segment } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'
import { segmentExtremes, segmentPart, segmentPoint } from '../../geometry/segment.ts'

const inside = (p: Point, { low, high }: Box) => p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y

/** A part of a segment shorter than this share of it is left out. */
const hairline = 1e-12

/** The parts of a path inside an upright window, its edge included, in order; the path itself where nothing is cut. */
export function clipped(path: Path, window: Box): Path[] {
  if (path.segments.length === 0) return inside(path.start, window) ? [path] : []
  const parts: { start: Point; segments: Segment[]; closed: false }[] = []
  let open: (typeof parts)[number] | undefined
  let whole = true
  for (const { from, segment } of pieces(path)) {
    const stops = stopsOf(from, segment, window)
    for (let i = 1; i < stops.length; i++) {
      const low = stops[i - 1] ?? 0
      const high = stops[i] ?? 1
      if (!inside(segmentPoint(from, segment, (low + high) / 2), window)) {
        open = undefined
        whole = false
        continue
      }
      const part = low === 0 && high === 1 ? { from, segment } : segmentPart(from, segment, low, high)
      if (!open) {
        open = { start: part.from, segments: [], closed: false }
        parts.push(open)
      }
      open.segments.push(part.segment)
    }
  }
  return whole ? [path] : parts
}

const uncut: readonly number[] = [0, 1]

/** Parameters between which the segment is wholly inside or wholly outside, from 0 to 1. */
function stopsOf(from: Point, segment: Segment, window: Box): readonly number[] {
  if (segment.kind === 'line' && inside(from, window) && inside(segment.to, window)) return uncut
  const bends = segmentExtremes(from, segment)
  const corners = [from, ...bends.map((t) => segmentPoint(from, segment, t)), segment.to]
  if (corners.every((p) => inside(p, window))) return uncut
  const knots = [0, ...bends, 1].sort((a, b) => a - b)
  const stops: number[] = []
  for (const axis of ['x', 'y'] as const) {
    for (const edge of [window.low[axis], window.high[axis]]) {
      for (let i = 1; i < knots.length; i++) {
        const t = rootIn(from, segment, axis, edge, knots[i - 1] ?? 0, knots[i] ?? 1)
        if (t !== undefined) stops.push(t)
      }
    }
  }
  const kept = [0]
  for (const t of stops.sort((a, b) => a - b)) {
    if (t - (kept.at(-1) ?? 0) > hairline && t < 1 - hairline) kept.push(t)
  }
  return [...kept, 1]
}

/** Where a coordinate that only grows or only shrinks from `low` to `high` reaches `edge`: Newton's steps, held in. */
function rootIn(
  from: Point,
  segment: Segment,
  axis: 'x' | 'y',
  edge: number,
  low: number,
  high: number,
): number | undefined {
  const miss = (t: number) => segmentPoint(from, segment, t)[axis] - edge
  const atLow = miss(low)
  const atHigh = miss(high)
  if (atLow === 0) return low
  if (atHigh === 0) return high
  if (atLow > 0 === atHigh > 0) return undefined
  if (segment.kind === 'line') return atLow / (atLow - atHigh)
  let t = low + ((high - low) * atLow) / (atLow - atHigh)
  for (let k = 0; k < 60; k++) {
    const value = miss(t)
    if (value === 0) return t
    if (value > 0 === atLow > 0) low = t
    else high = t
    const next = t - value / slope(from, segment, t)[axis]
    const held = next > low && next < high ? next : (low + high) / 2
    if (Math.abs(held - t) < 1e-15) return held
    t = held
  }
  return t
}

/** Derivative by the parameter, mm. */
function slope(from: Point, segment: Exclude<Segment, { kind: 'line' }>, t: number): Point {
  if (segment.kind === 'cubic') return cubicDerivative(from, segment, t)
  const way = arcHeading(from, segment, t)
  const length = arcLength(from, segment)
  return { x: way.x * length, y: way.y * length }
}
