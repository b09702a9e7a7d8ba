/**
 * The not-a-knot cubic spline through values at growing places: a straight line through two, a parabola through three
 * (de Boor, A Practical Guide to Splines, ch. IV; its error falls with the fourth power of the spacing, at the ends too).
 * Returns the second derivative at each place; between them the curve is the cubic that takes both.
 */
function splineBends(places: readonly number[], values: readonly number[]): number[] {
  const n = places.length
  const at = (list: readonly number[], i: number) => list[i] ?? 0
  const step = places.slice(1).map((place, i) => place - at(places, i))
  const slope = step.map((h, i) => (at(values, i + 1) - at(values, i)) / h)
  if (n < 3) return places.map(() => 0)
  const pull = slope.slice(1).map((s, i) => 6 * (s - at(slope, i)))
  if (n === 3) return places.map(() => at(pull, 0) / (3 * (at(step, 0) + at(step, 1))))

  // Rows for the inner places; both end rows hold the end's bend as a run-on of the two next to it.
  const [h0, h1] = [at(step, 0), at(step, 1)]
  const [hy, hz] = [at(step, n - 3), at(step, n - 2)]
  const rows = pull.map((right, i) => {
    const [before, after] = [at(step, i), at(step, i + 1)]
    const row = { low: before, middle: 2 * (before + after), high: after, right }
    if (i === 0) return { ...row, middle: row.middle + h0 * (1 + h0 / h1), high: h1 - (h0 * h0) / h1 }
    if (i === pull.length - 1) return { ...row, middle: row.middle + hz * (1 + hz / hy), low: hy - (hz * hz) / hy }
    return row
  })
  const inner = tridiagonal(rows)
  const first = (1 + h0 / h1) * at(inner, 0) - (h0 / h1) * at(inner, 1)
  const last = (1 + hz / hy) * at(inner, n - 3) - (hz / hy) * at(inner, n - 4)
  return [first, ...inner, last]
}

interface Row {
  readonly low: number
  readonly middle: number
  readonly high: number
  readonly right: number
}

/** Elimination without pivots; the rows of a spline lean on their middle. */
function tridiagonal(rows: readonly Row[]): number[] {
  const down: { readonly high: number; readonly right: number }[] = []
  for (const row of rows) {
    const above = down.at(-1) ?? { high: 0, right: 0 }
    const pivot = row.middle - row.low * above.high
    down.push({ high: row.high / pivot, right: (row.right - row.low * above.right) / pivot })
  }
  const found: number[] = []
  for (const { high, right } of down.reverse()) found.unshift(right - high * (found[0] ?? 0))
  return found
}

/** Value and the first two derivatives of a curve at a place. */
export interface CurveValue {
  readonly value: number
  readonly slope: number
  readonly bend: number
}

/** The spline through values at growing places, two or more; past the ends it runs on with the last piece. */
export function spline(places: readonly number[], values: readonly number[]): (place: number) => CurveValue {
  const bends = splineBends(places, values)
  return (place) => {
    const found = places.findIndex((p, i) => i > 0 && place <= p)
    const i = found < 0 ? places.length - 1 : found
    const [a, b] = [places[i - 1] ?? 0, places[i] ?? 0]
    const [va, vb] = [values[i - 1] ?? 0, values[i] ?? 0]
    const [ma, mb] = [bends[i - 1] ?? 0, bends[i] ?? 0]
    const h = b - a
    const [p, q] = [(b - place) / h, (place - a) / h]
    return {
      value: p * va + q * vb + (((p ** 3 - p) * ma + (q ** 3 - q) * mb) * h * h) / 6,
      slope: (vb - va) / h + (((3 * q * q - 1) * mb - (3 * p * p - 1) * ma) * h) / 6,
      bend: p * ma + q * mb,
    }
  }
}
