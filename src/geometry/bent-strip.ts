import { distance, type Point, point } from './point.ts'

/** A place on a strip: on the stretch from one mark to the next, at a fraction of it. */
export type OnStrip = (stretch: number, share: number) => Point

/**
 * How a thin strip lies that is bent along marks on its edge: the natural cubic spline through them over the length of
 * the chords, straight at free ends. A closed one runs on through the first mark, where its own ends lap. Neighbouring
 * marks are apart; three or more where it is closed, else two or more.
 */
export function bentStrip(marks: readonly Point[], closed: boolean): OnStrip {
  const lap = closed ? Math.min(4, marks.length) : 0
  const laid = closed ? [...marks.slice(-lap), ...marks, ...marks.slice(0, lap + 1)] : marks
  const steps = laid.slice(1).map((p, i) => distance(laid[i] as Point, p))
  const x = bends(
    laid.map((p) => p.x),
    steps,
  )
  const y = bends(
    laid.map((p) => p.y),
    steps,
  )
  return (stretch, share) => {
    const i = stretch + lap
    const [a, b] = [laid[i] as Point, laid[i + 1] as Point]
    const h = steps[i] as number
    const rest = 1 - share
    const [near, far] = [((rest ** 3 - rest) * h * h) / 6, ((share ** 3 - share) * h * h) / 6]
    return point(
      rest * a.x + share * b.x + near * (x[i] as number) + far * (x[i + 1] as number),
      rest * a.y + share * b.y + near * (y[i] as number) + far * (y[i + 1] as number),
    )
  }
}

/** Second derivatives at the knots, 0 at both ends, by elimination along the three diagonals. */
function bends(values: readonly number[], steps: readonly number[]): number[] {
  const value = (i: number) => values[i] as number
  const step = (i: number) => steps[i] as number
  const last = values.length - 1
  const upper = [0]
  const right = [0]
  for (let i = 1; i < last; i++) {
    const slope = (value(i + 1) - value(i)) / step(i) - (value(i) - value(i - 1)) / step(i - 1)
    const pivot = 2 * (step(i - 1) + step(i)) - step(i - 1) * (upper[i - 1] as number)
    upper.push(step(i) / pivot)
    right.push((6 * slope - step(i - 1) * (right[i - 1] as number)) / pivot)
  }
  const found = values.map(() => 0)
  for (let i = last - 1; i > 0; i--) found[i] = (right[i] as number) - (upper[i] as number) * (found[i + 1] as number)
  return found
}
