import { arcHeading, arcLength, arcPoint } from './arc.ts'
import { type Arc, type Cubic, cubicTo, type Path, pieces, type Segment } from './path.ts'
import { add, type Point, scaled } from './point.ts'

/** x' = a x + c y + e, y' = b x + d y + f. */
export interface Matrix {
  readonly a: number
  readonly b: number
  readonly c: number
  readonly d: number
  readonly e: number
  readonly f: number
}

export const translation = (x: number, y: number): Matrix => ({ a: 1, b: 0, c: 0, d: 1, e: x, f: y })
export const scaling = (x: number, y: number): Matrix => ({ a: x, b: 0, c: 0, d: y, e: 0, f: 0 })
/** A quarter turn to the left about the origin, without rounding. */
export const quarterTurn: Matrix = { a: 0, b: 1, c: -1, d: 0, e: 0, f: 0 }
/** Turned by `angle` radians about the origin, which then comes to lie at `to`. */
export function turning(angle: number, to: Point): Matrix {
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  return { a: c, b: s, c: -s, d: c, e: to.x, f: to.y }
}
/** Left and right changed over about the upright line x = `middle`, as when a sheet is turned like a page. */
export const mirrorAcross = (middle: number): Matrix => ({ a: -1, b: 0, c: 0, d: 1, e: 2 * middle, f: 0 })

/** First `first`, then `second`. */
export function following(first: Matrix, second: Matrix): Matrix {
  return {
    a: second.a * first.a + second.c * first.b,
    b: second.b * first.a + second.d * first.b,
    c: second.a * first.c + second.c * first.d,
    d: second.b * first.c + second.d * first.d,
    e: second.a * first.e + second.c * first.f + second.e,
    f: second.b * first.e + second.d * first.f + second.f,
  }
}

export function mapPoint(m: Matrix, p: Point): Point {
  return { x: m.a * p.x + m.c * p.y + m.e, y: m.b * p.x + m.d * p.y + m.f }
}

/** Does the matrix keep circles round? */
function keepsCircles(m: Matrix): boolean {
  const size = m.a * m.a + m.b * m.b
  const slack = 1e-12 * size
  return Math.abs(m.c * m.c + m.d * m.d - size) <= slack && Math.abs(m.a * m.c + m.b * m.d) <= slack
}

/** An arc as cubics of at most 30 degrees each; off by at most 3.8e-7 of the radius (checked in the tests). */
export function arcAsCubics(from: Point, arc: Arc): Cubic[] {
  const count = Math.max(1, Math.ceil(Math.abs(arc.sweep) / (Math.PI / 6)))
  const part = arc.sweep / count
  // k r = (4/3) tan(part / 4) * length / sweep, smooth through a sweep of 0
  const quarter = part / 4
  const reach = (arcLength(from, arc) / count / 3) * (Math.abs(quarter) < 1e-6 ? 1 : Math.tan(quarter) / quarter)
  const cubics: Cubic[] = []
  let at = from
  for (let i = 0; i < count; i++) {
    const to = arcPoint(from, arc, (i + 1) / count)
    const c1 = add(at, scaled(arcHeading(from, arc, i / count), reach))
    const c2 = add(to, scaled(arcHeading(from, arc, (i + 1) / count), -reach))
    cubics.push(cubicTo(c1, c2, to))
    at = to
  }
  return cubics
}

/** The path mapped by `m`. Arcs stay arcs where `m` keeps circles round, else they become cubics. */
export function transform(path: Path, m: Matrix): Path {
  const round = keepsCircles(m)
  const hand = m.a * m.d - m.b * m.c < 0 ? -1 : 1
  const segments: Segment[] = []
  const mapCubic = (c: Cubic) => cubicTo(mapPoint(m, c.c1), mapPoint(m, c.c2), mapPoint(m, c.to))
  for (const { from, segment } of pieces(path)) {
    if (segment.kind === 'line') segments.push({ kind: 'line', to: mapPoint(m, segment.to) })
    else if (segment.kind === 'cubic') segments.push(mapCubic(segment))
    else if (round) segments.push({ kind: 'arc', to: mapPoint(m, segment.to), sweep: segment.sweep * hand })
    else segments.push(...arcAsCubics(from, segment).map(mapCubic))
  }
  return { start: mapPoint(m, path.start), segments, closed: path.closed }
}
