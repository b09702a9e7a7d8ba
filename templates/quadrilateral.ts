import { cross, distance, leftOf, type Point, point, subtract, turnBetween, unit } from '../src/geometry/point.ts'

/** The six lengths between the corners of a four-sided face; a diagonal is named by its ends. */
export const lengthNames = ['bottom', 'right', 'top', 'left', 'bottomLeftToTopRight', 'bottomRightToTopLeft'] as const
export type LengthName = (typeof lengthNames)[number]
export type SixLengths = Readonly<Record<LengthName, number>>

/** Corners counter-clockwise from bottom left; the bottom edge runs along x from (0, 0). */
export type FourCorners = readonly [bottomLeft: Point, bottomRight: Point, topRight: Point, topLeft: Point]

/** The point left of a-b at `fromA` from a and `fromB` from b, mm; NaN where the three lengths make no triangle. */
function apex(a: Point, b: Point, fromA: number, fromB: number): Point {
  const base = distance(a, b)
  const along = (base * base + (fromA - fromB) * (fromA + fromB)) / (2 * base)
  const aside = Math.sqrt((fromA - along) * (fromA + along))
  const way = unit(subtract(b, a))
  const left = leftOf(way)
  return point(a.x + along * way.x + aside * left.x, a.y + along * way.y + aside * left.y)
}

/** Corners from four sides and the diagonal that is given; the rising one counts where both are. */
export function cornersOf(lengths: Partial<SixLengths>): FourCorners {
  const { bottom = NaN, right = NaN, top = NaN, left = NaN } = lengths
  const { bottomLeftToTopRight: rising, bottomRightToTopLeft: falling = NaN } = lengths
  const bottomLeft = point(0, 0)
  const bottomRight = point(bottom, 0)
  if (rising !== undefined) {
    const topRight = apex(bottomLeft, bottomRight, rising, right)
    return [bottomLeft, bottomRight, topRight, apex(bottomLeft, topRight, left, top)]
  }
  const topLeft = apex(bottomLeft, bottomRight, left, falling)
  return [bottomLeft, bottomRight, apex(topLeft, bottomRight, top, right), topLeft]
}

export function lengthsOf([a, b, c, d]: FourCorners): SixLengths {
  return {
    bottom: distance(a, b),
    right: distance(b, c),
    top: distance(c, d),
    left: distance(d, a),
    bottomLeftToTopRight: distance(a, c),
    bottomRightToTopLeft: distance(b, d),
  }
}

/** By how much the measured falling diagonal is longer than the other five lengths make it, mm. */
const misclosureOf = (six: SixLengths): number =>
  six.bottomRightToTopLeft - lengthsOf(cornersOf(six)).bottomRightToTopLeft

/**
 * How the misclosure grows with each length, mm per mm, in the order of `lengthNames`. Four points of a plane have
 * numbers n with sum n = 0 and sum n p = 0 (areas of the triangles of the other three, signs in turn), and six
 * distances that stay possible change such that the sum of n_i n_j d_ij times the change of d_ij is 0. Derived.
 */
function pullOf(corners: FourCorners): number[] {
  const [a, b, c, d] = corners
  const area = (p: Point, q: Point, r: Point) => cross(subtract(q, p), subtract(r, p))
  const [na, nb, nc, nd] = [area(b, c, d), -area(a, c, d), area(a, b, d), -area(a, b, c)]
  const products = [na * nb, nb * nc, nc * nd, nd * na, na * nc, nb * nd]
  const lengths = lengthsOf(corners)
  const last = nb * nd * lengths.bottomRightToTopLeft
  return lengthNames.map((name, i) => ((products[i] as number) * lengths[name]) / last)
}

/** Six readings made to agree; all in mm. */
export interface Adjusted {
  readonly corners: FourCorners
  readonly lengths: SixLengths
  /** adjusted less measured */
  readonly residuals: SixLengths
  /** the measured falling diagonal less the one that the other five readings make */
  readonly misclosure: number
  /** growth of the misclosure with each length, mm per mm */
  readonly pull: SixLengths
  /** standard error of one reading: root of the sum of squared residuals over the one spare reading */
  readonly s0: number
}

const named = (values: readonly number[]): SixLengths =>
  Object.fromEntries(lengthNames.map((name, i) => [name, values[i] as number])) as SixLengths

/**
 * The six lengths nearest to the readings, by the least sum of squares with equal weights, that four points of a plane
 * can have. One spare reading makes one condition, misclosure = 0: each round takes the shortest correction that meets
 * it as it runs straight on from the last place. Undefined where the readings are too far apart for that to settle.
 */
export function adjustedLengths(readings: SixLengths): Adjusted | undefined {
  let residuals = lengthNames.map(() => 0)
  const size = Math.max(...lengthNames.map((name) => readings[name]))
  for (let i = 0; i < 60; i++) {
    const now = named(lengthNames.map((name, k) => readings[name] + (residuals[k] as number)))
    const corners = cornersOf(now)
    const pull = pullOf(corners)
    const misclosure = misclosureOf(now)
    const along = pull.reduce((sum, p, k) => sum + p * (residuals[k] as number), 0) - misclosure
    const next = pull.map((p) => (p * along) / pull.reduce((sum, q) => sum + q * q, 0))
    const step = Math.max(...next.map((v, k) => Math.abs(v - (residuals[k] as number))))
    if (!Number.isFinite(step)) return undefined
    residuals = next
    if (step > 1e-13 * size) continue
    return {
      corners,
      lengths: lengthsOf(corners),
      residuals: named(residuals),
      misclosure: misclosureOf(readings),
      pull: named(pull),
      s0: Math.sqrt(residuals.reduce((sum, v) => sum + v * v, 0)),
    }
  }
  return undefined
}

/** Does a line through the three points turn left at the middle one by more than `least` radians? */
export function turnsLeft(before: Point, corner: Point, after: Point, least: number): boolean {
  const [u, v] = [subtract(corner, before), subtract(after, corner)]
  return turnBetween(u, v) > least
}
