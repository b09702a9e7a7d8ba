import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import { following, type Matrix, mapPoint, scaling, transform } from '../geometry/transform.ts'
import type { Origin } from './profile.ts'

/** Where a machine counts from, in which directions and in what steps. */
export interface Axes {
  /** mm along (x) and across (y) the film */
  readonly area: { readonly x: number; readonly y: number }
  readonly axes: {
    /** where the machine's 0,0 is, seen film side up with x along the film to the right and y across it */
    readonly origin: Origin
    /** does the machine's first coordinate run across the film? */
    readonly swap: boolean
  }
  /** units in 1 mm of the machine's first (x) and second (y) coordinate, each along its own axis, > 0 */
  readonly unitsPerMm: { readonly x: number; readonly y: number }
  /** rad, between -pi/2 and pi/2: how far the second axis leans from square, + towards the first's + side */
  readonly skew: number
}

/**
 * From the sheet (mm, lower left origin, film side up) to machine units, unrounded, in this order: mm are counted from
 * the machine's origin, into the area from a corner and to the right and up from the middle; then the coordinates are
 * swapped; then resolved along the leaning second axis; then scaled. One corner with or without `swap` counts the
 * sheet mirrored, as that machine's own axes do.
 */
export const toMachine = (machine: Axes, p: Point): Point => mapPoint(unitsFromSheet(machine), p)

/** From machine units to the sheet, mm: `toMachine` undone. */
export const fromMachine = (machine: Axes, p: Point): Point => mapPoint(sheetFromUnits(machine), p)

/** `toMachine` for a path. Arcs stay arcs where the map keeps circles round, else they become cubics. */
export const pathToMachine = (machine: Axes, path: Path): Path => transform(path, unitsFromSheet(machine))

/** `fromMachine` for a path. Arcs stay arcs where the map keeps circles round, else they become cubics. */
export const pathFromMachine = (machine: Axes, path: Path): Path => transform(path, sheetFromUnits(machine))

/** `toMachine` as a matrix, for many points. */
export function unitsFromSheet({ area, axes, unitsPerMm, skew }: Axes): Matrix {
  const { sign, zero } = startOf(axes.origin, area)
  const counted: Matrix = { a: sign.x, b: 0, c: 0, d: sign.y, e: -sign.x * zero.x, f: -sign.y * zero.y }
  // The second axis is (sin skew, cos skew): b along it and a along the first make (a + b sin skew, b cos skew).
  const resolved: Matrix = { a: 1, b: 0, c: -Math.tan(skew), d: 1 / Math.cos(skew), e: 0, f: 0 }
  const own = axes.swap ? following(counted, swapped) : counted
  return following(following(own, resolved), scaling(unitsPerMm.x, unitsPerMm.y))
}

function sheetFromUnits({ area, axes, unitsPerMm, skew }: Axes): Matrix {
  const { sign, zero } = startOf(axes.origin, area)
  const squared: Matrix = { a: 1, b: 0, c: Math.sin(skew), d: Math.cos(skew), e: 0, f: 0 }
  const placed: Matrix = { a: sign.x, b: 0, c: 0, d: sign.y, e: zero.x, f: zero.y }
  const own = following(scaling(1 / unitsPerMm.x, 1 / unitsPerMm.y), squared)
  return following(axes.swap ? following(own, swapped) : own, placed)
}

const swapped: Matrix = { a: 0, b: 1, c: 1, d: 0, e: 0, f: 0 }

/**
 * Does the pair count left-handed, with the machine's second axis a quarter turn to the right of its first as seen from
 * above? A right-handed machine would cut everything mirrored by it.
 */
export const isLeftHanded = ({ origin, swap }: Pick<Axes['axes'], 'origin' | 'swap'>): boolean =>
  (origin === 'low right' || origin === 'high left') !== swap

/** The origin on the sheet, mm, and which way the machine counts from it along and across the film. */
function startOf(origin: Origin, area: Axes['area']): { sign: Point; zero: Point } {
  if (origin === 'middle') return { sign: { x: 1, y: 1 }, zero: { x: area.x / 2, y: area.y / 2 } }
  const right = origin.endsWith('right')
  const high = origin.startsWith('high')
  return {
    sign: { x: right ? -1 : 1, y: high ? -1 : 1 },
    zero: { x: right ? area.x : 0, y: high ? area.y : 0 },
  }
}
