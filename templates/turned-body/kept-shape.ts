import { type CurveValue, spline } from './spline.ts'

/**
 * The curve through values at growing places that makes no bulge of its own: between two of them it rises or falls all
 * the way or is level, so it never leaves what lies between both values, and a straight row of values stays straight.
 *
 * Cubics that share one slope at each place. It is that of the free spline, held between the slopes of the straight
 * lines before and after (0 where one rises and the other does not), and to three times the flatter of them: within
 * that a cubic keeps the direction of its line (Fritsch and Carlson, Monotone piecewise cubic interpolation, SIAM J.
 * Numer. Anal. 17, 1980, pp. 238-246). Past the ends it runs on with the last piece.
 */
export function keptShape(places: readonly number[], values: readonly number[]): (place: number) => CurveValue {
  const at = (list: readonly number[], i: number) => list[i] ?? 0
  const steps = places.slice(1).map((place, i) => place - at(places, i))
  const lines = steps.map((h, i) => (at(values, i + 1) - at(values, i)) / h)
  const slopes = slopesOf(places, values, lines)
  return (place) => {
    const found = places.findIndex((p, i) => i > 0 && place <= p)
    const i = found < 0 ? places.length - 1 : found
    const [h, line] = [at(steps, i - 1), at(lines, i - 1)]
    const [first, last] = [at(slopes, i - 1), at(slopes, i)]
    const q = (place - at(places, i - 1)) / h
    // By divided differences, so that a straight piece is straight to the last bit.
    const [open, shut] = [first - line, last - line]
    return {
      value: at(values, i - 1) + h * q * (line + (1 - q) * (open * (1 - q) - shut * q)),
      slope: line + open * (1 - q) * (1 - 3 * q) + shut * q * (3 * q - 2),
      bend: (open * (6 * q - 4) + shut * (6 * q - 2)) / h,
    }
  }
}

const within = (value: number, a: number, b: number): number =>
  Math.min(Math.max(value, Math.min(a, b)), Math.max(a, b))

function slopesOf(places: readonly number[], values: readonly number[], lines: readonly number[]): number[] {
  const free = spline(places, values)
  const inner = lines.slice(1).map((after, i) => {
    const before = lines[i] ?? 0
    if (before * after <= 0) return 0
    const held = within(free(places[i + 1] ?? 0).slope, before, after)
    return within(held, 0, 3 * (Math.abs(before) < Math.abs(after) ? before : after))
  })
  // A parabola would end as far beyond its line as the next slope is short of it; twice that is the most.
  const end = (place = 0, line = 0, next = line) =>
    within(within(free(place).slope, line, line + 2 * (line - next)), 0, 3 * line)
  return [end(places[0], lines[0], inner[0]), ...inner, end(places.at(-1), lines.at(-1), inner.at(-1))]
}
