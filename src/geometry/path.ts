import { distance, type Point, point } from './point.ts'

export interface Line {
  readonly kind: 'line'
  readonly to: Point
}

/**
 * Circular arc by its turn: the direction of travel turns by `sweep` radians (positive to the left) between the
 * start and `to`. No centre is stored, so an arc of a radius of kilometres is as exact as a small one.
 * |sweep| is at most pi; a bigger turn is written as several arcs.
 */
export interface Arc {
  readonly kind: 'arc'
  readonly to: Point
  readonly sweep: number
}

export interface Cubic {
  readonly kind: 'cubic'
  readonly c1: Point
  readonly c2: Point
  readonly to: Point
}

export type Segment = Line | Arc | Cubic

/** Segments end to end from `start`, mm, y up. A closed path's last segment ends at `start` itself. */
export interface Path {
  readonly start: Point
  readonly segments: readonly Segment[]
  readonly closed: boolean
}

/** A segment with the point it starts from. */
export interface Piece {
  readonly from: Point
  readonly segment: Segment
}

export const lineTo = (to: Point): Line => ({ kind: 'line', to })
export const arcTo = (to: Point, sweep: number): Arc => ({ kind: 'arc', to, sweep })
export const cubicTo = (c1: Point, c2: Point, to: Point): Cubic => ({ kind: 'cubic', c1, c2, to })
export const openPath = (start: Point, ...segments: readonly Segment[]): Path => ({ start, segments, closed: false })

export function endOf(path: Path): Point {
  return path.segments.at(-1)?.to ?? path.start
}

/** Closes a path, with a straight line where its end is not its start already. */
export function closedPath(start: Point, segments: readonly Segment[]): Path {
  const end = segments.at(-1)?.to ?? start
  const gap = end.x !== start.x || end.y !== start.y
  return { start, segments: gap ? [...segments, lineTo(start)] : segments, closed: true }
}

/** Straight edges through `points`; a closed one does not repeat its first point. */
export function polyline(points: readonly Point[], closed = false): Path {
  const [start, ...rest] = points
  if (!start) throw new RangeError('a polyline needs at least one point')
  const segments = rest.map(lineTo)
  return closed ? closedPath(start, segments) : { start, segments, closed: false }
}

/** Counter-clockwise circle of two half turns, starting at its right. `radius` in mm, > 0. */
export function circle(centre: Point, radius: number): Path {
  const right = point(centre.x + radius, centre.y)
  const left = point(centre.x - radius, centre.y)
  return { start: right, segments: [arcTo(left, Math.PI), arcTo(right, Math.PI)], closed: true }
}

/** Counter-clockwise rectangle with rounded corners; radii from bottom left, counter-clockwise, mm, 0 for square. */
export function rectangle(
  low: Point,
  high: Point,
  radii: readonly [number, number, number, number] = [0, 0, 0, 0],
): Path {
  const corners = [low, point(high.x, low.y), high, point(low.x, high.y)] as const
  const ways = [point(1, 0), point(0, 1), point(-1, 0), point(0, -1)] as const
  const before = corners.map((c, i) => {
    const way = ways[(i + 3) % 4] as Point
    const r = radii[i] as number
    return point(c.x - way.x * r, c.y - way.y * r)
  })
  const after = corners.map((c, i) => {
    const way = ways[i] as Point
    const r = radii[i] as number
    return point(c.x + way.x * r, c.y + way.y * r)
  })
  const start = after[0] as Point
  const segments: Segment[] = []
  let at = start
  for (const i of [1, 2, 3, 0]) {
    const near = before[i] as Point
    const far = after[i] as Point
    if (distance(at, near) > 0) segments.push(lineTo(near))
    if ((radii[i] as number) > 0) segments.push(arcTo(far, Math.PI / 2))
    at = far
  }
  return { start, segments, closed: true }
}

export function* pieces(path: Path): Generator<Piece> {
  let from = path.start
  for (const segment of path.segments) {
    yield { from, segment }
    from = segment.to
  }
}

/** The same path from its end to its start. */
export function reversed(path: Path): Path {
  const segments: Segment[] = []
  for (const { from, segment } of pieces(path)) {
    if (segment.kind === 'line') segments.push(lineTo(from))
    else if (segment.kind === 'arc') segments.push(arcTo(from, -segment.sweep))
    else segments.push(cubicTo(segment.c2, segment.c1, from))
  }
  return { start: endOf(path), segments: segments.reverse(), closed: path.closed }
}
