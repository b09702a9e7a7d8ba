import { arcTo, closedPath, endOf, lineTo, type Path, type Piece, pieces, type Segment } from './path.ts'
import { add, cross, dot, leftOf, type Point, scaled, subtract } from './point.ts'
import { segmentHeading, segmentLength, segmentPart, segmentPoint } from './segment.ts'

/**
 * An open path moved `distance` mm to its right (outward for a counter-clockwise outline), exact for lines and arcs.
 * Undefined where an arc would turn inside out. Only lines and arcs: see `offsetRings` for the rest.
 */
export function movedOut(edge: Path, distance: number): Path | undefined {
  let start: Point | undefined
  const segments: Segment[] = []
  for (const { from, segment } of pieces(edge)) {
    const shift = (t: number, p: Point) => add(p, scaled(leftOf(segmentHeading(from, segment, t)), -distance))
    const a = shift(0, from)
    const b = shift(1, segment.to)
    if (dot(subtract(b, a), subtract(segment.to, from)) <= 0) return undefined
    start ??= a
    if (segment.kind === 'cubic') throw new RangeError('a cubic edge has no exact parallel')
    segments.push(segment.kind === 'line' ? lineTo(b) : arcTo(b, segment.sweep))
  }
  return { start: start ?? edge.start, segments, closed: false }
}

/**
 * Edges in order round a shape made into one closed path: each is run on, or cut back, to where it meets the next.
 * Undefined where neighbours do not meet near their common corner.
 */
export function joinEdges(edges: readonly Path[]): { outline: Path; edges: readonly Path[] } | undefined {
  const ends: { readonly before: number; readonly after: number; readonly at: Point }[] = []
  for (let i = 0; i < edges.length; i++) {
    const last = [...pieces(edges[i] as Path)].at(-1) as Piece
    const first = pieces(edges[(i + 1) % edges.length] as Path).next().value as Piece
    const met = meet(last, first)
    if (!met) return undefined
    ends.push(met)
  }
  const trimmed: Path[] = []
  for (let i = 0; i < edges.length; i++) {
    const own = [...pieces(edges[i] as Path)]
    const from = ends[(i + edges.length - 1) % edges.length] as (typeof ends)[number]
    const to = ends[i] as (typeof ends)[number]
    const path = trim(own, from.after, to.before, from.at, to.at)
    if (!path) return undefined
    trimmed.push(path)
  }
  const start = (trimmed[0] as Path).start
  return {
    outline: closedPath(
      start,
      trimmed.flatMap((edge) => edge.segments),
    ),
    edges: trimmed,
  }
}

/** Runs two pieces on until they meet, by Newton's method from their common corner; parameters may pass 0..1. */
function meet(a: Piece, b: Piece): { before: number; after: number; at: Point } | undefined {
  const la = segmentLength(a.from, a.segment)
  const lb = segmentLength(b.from, b.segment)
  let s = 1
  let t = 0
  for (let i = 0; i < 40; i++) {
    const gap = subtract(segmentPoint(b.from, b.segment, t), segmentPoint(a.from, a.segment, s))
    const ua = scaled(segmentHeading(a.from, a.segment, s), la)
    const ub = scaled(segmentHeading(b.from, b.segment, t), lb)
    const det = cross(ua, ub)
    if (Math.abs(det) < 1e-9 * la * lb) return undefined
    s += cross(gap, ub) / det
    t += cross(gap, ua) / det
    if (Math.hypot(gap.x, gap.y) < 1e-12 * (1 + la + lb)) break
  }
  const at = segmentPoint(a.from, a.segment, s)
  const other = segmentPoint(b.from, b.segment, t)
  return Math.hypot(at.x - other.x, at.y - other.y) < 1e-6 ? { before: s, after: t, at } : undefined
}

function trim(own: readonly Piece[], first: number, last: number, start: Point, end: Point): Path | undefined {
  if (own.length === 1 ? first >= last : first >= 1 || last <= 0) return undefined
  const segments = own.map(({ from, segment }, i) => {
    const low = i === 0 ? first : 0
    const high = i === own.length - 1 ? last : 1
    const part = segmentPart(from, segment, low, high).segment
    return i === own.length - 1 ? { ...part, to: end } : part
  })
  return { start, segments, closed: false }
}

/** A square corner between two straight edges rounded with radius `radius` mm, in a closed path of such corners. */
export function roundedCorners(outline: Path, radii: readonly number[]): Path {
  const own = [...pieces(outline)]
  const segments: Segment[] = []
  let start: Point | undefined
  own.forEach(({ from, segment }, i) => {
    const before = own[(i + own.length - 1) % own.length] as Piece
    const next = own[(i + 1) % own.length] as Piece
    const way = segmentHeading(from, segment, 0)
    const cut = (a: Point, b: Point, r: number) => r * Math.tan(Math.atan2(cross(a, b), dot(a, b)) / 2)
    const nearCut = cut(segmentHeading(before.from, before.segment, 1), way, radii[i] ?? 0)
    const nextWay = segmentHeading(next.from, next.segment, 0)
    const r = radii[(i + 1) % own.length] ?? 0
    const farCut = cut(way, nextWay, r)
    start ??= add(from, scaled(way, nearCut))
    segments.push(lineTo(add(segment.to, scaled(way, -farCut))))
    if (r > 0) {
      const turn = Math.atan2(cross(way, nextWay), dot(way, nextWay))
      segments.push(arcTo(add(segment.to, scaled(nextWay, farCut)), turn))
    }
  })
  const path = { start: start ?? outline.start, segments, closed: true }
  const end = endOf(path)
  const last = segments.at(-1) as Segment
  return end === path.start ? path : { ...path, segments: [...segments.slice(0, -1), { ...last, to: path.start }] }
}
