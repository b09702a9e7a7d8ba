import type { Point } from '../../geometry/point.ts'
import { following, type Matrix } from '../../geometry/transform.ts'

/** How user units lie on the plotter's: as SC gives it (HP 5961-0509, pages 19-40 and 19-41). */
export type Scale =
  | {
      readonly kind: 'corners'
      readonly low: Point
      readonly high: Point
      /** one factor for both axes, the space left over shared by these parts of a hundred */
      readonly isotropic: Point | undefined
    }
  /** user coordinates of P1, and plotter units in a user unit */
  | { readonly kind: 'factors'; readonly low: Point; readonly factor: Point }

/** The coordinate system that commands are read in; plotter units. */
export interface Frame {
  readonly p1: Point
  readonly p2: Point
  readonly scale: Scale | undefined
  /** degrees by which the axes are turned to the left */
  readonly turn: number
  /** the sheet that a turn keeps the origin on; 0,0 where it is not known, for a turn about the origin */
  readonly page: Point
}

/** From the coordinates of commands to the plotter's own; undefined where they are the same. */
export function matrixOf(frame: Frame): Matrix | undefined {
  const turn = turnOf(frame)
  const scale = frame.scale && scaleOf(frame, frame.scale)
  return scale && turn ? following(scale, turn) : (scale ?? turn)
}

function scaleOf({ p1, p2 }: Frame, scale: Scale): Matrix {
  if (scale.kind === 'factors') return placed(scale.factor, scale.low, p1)
  const { low, high, isotropic } = scale
  const span = { x: p2.x - p1.x, y: p2.y - p1.y }
  const factor = { x: span.x / (high.x - low.x), y: span.y / (high.y - low.y) }
  if (!isotropic) return placed(factor, low, p1)
  const least = Math.min(Math.abs(factor.x), Math.abs(factor.y))
  const even = { x: Math.sign(factor.x) * least, y: Math.sign(factor.y) * least }
  const spare = { x: span.x - even.x * (high.x - low.x), y: span.y - even.y * (high.y - low.y) }
  const corner = { x: p1.x + (spare.x * isotropic.x) / 100, y: p1.y + (spare.y * isotropic.y) / 100 }
  return placed(even, low, corner)
}

/** The point `low` comes to lie on `at`. */
const placed = (factor: Point, low: Point, at: Point): Matrix => ({
  a: factor.x,
  b: 0,
  c: 0,
  d: factor.y,
  e: at.x - low.x * factor.x,
  f: at.y - low.y * factor.y,
})

/** A turn puts the origin into the corner that becomes the lower left one. */
function turnOf({ turn, page }: Frame): Matrix | undefined {
  if (turn === 90) return { a: 0, b: 1, c: -1, d: 0, e: page.x, f: 0 }
  if (turn === 180) return { a: -1, b: 0, c: 0, d: -1, e: page.x, f: page.y }
  if (turn === 270) return { a: 0, b: -1, c: 1, d: 0, e: 0, f: page.y }
  return undefined
}

/** The sheet as it lies in turned axes. */
export const turnedPage = (page: Point, turn: number): Point => (turn % 180 === 0 ? page : { x: page.y, y: page.x })

/** Undoes a matrix of a frame; its factors are never 0. */
export function unmapped(m: Matrix, p: Point): Point {
  const size = m.a * m.d - m.b * m.c
  const x = p.x - m.e
  const y = p.y - m.f
  return { x: (m.d * x - m.c * y) / size, y: (m.a * y - m.b * x) / size }
}
