/** A place or a direction on the plane, mm, x to the right, y up. */
export interface Point {
  readonly x: number
  readonly y: number
}

export const point = (x: number, y: number): Point => ({ x, y })
export const add = (a: Point, b: Point): Point => ({ x: a.x + b.x, y: a.y + b.y })
export const subtract = (a: Point, b: Point): Point => ({ x: a.x - b.x, y: a.y - b.y })
export const scaled = (a: Point, factor: number): Point => ({ x: a.x * factor, y: a.y * factor })
export const dot = (a: Point, b: Point): number => a.x * b.x + a.y * b.y
/** z of the cross product: positive when `b` points to the left of `a`. */
export const cross = (a: Point, b: Point): number => a.x * b.y - a.y * b.x
/** Radians from the direction `a` to the direction `b`, -pi to pi, positive to the left; straight back is pi. */
export const turnBetween = (a: Point, b: Point): number => Math.atan2(cross(a, b), dot(a, b))
export const norm = (a: Point): number => Math.hypot(a.x, a.y)
export const distance = (a: Point, b: Point): number => Math.hypot(b.x - a.x, b.y - a.y)
export const between = (a: Point, b: Point, t: number): Point => ({
  x: a.x + (b.x - a.x) * t,
  y: a.y + (b.y - a.y) * t,
})
/** Unit vector at `angle` radians from +x towards +y. */
export const direction = (angle: number): Point => ({ x: Math.cos(angle), y: Math.sin(angle) })
/** `a` turned a quarter to the left. */
export const leftOf = (a: Point): Point => ({ x: -a.y, y: a.x })
/** `a` turned by `angle` radians, +x towards +y. */
export function turned(a: Point, angle: number): Point {
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  return { x: a.x * c - a.y * s, y: a.x * s + a.y * c }
}
/** `a` at length 1. A zero vector stays zero. */
export function unit(a: Point): Point {
  const length = norm(a)
  return length === 0 ? a : { x: a.x / length, y: a.y / length }
}
