import { cubicPoint } from './cubic.ts'
import { type Cubic, cubicTo, type Path } from './path.ts'
import { add, distance, type Point, scaled } from './point.ts'

/** A curve that needs more pieces than this is refused: it is not smooth, or not meant. */
const mostPieces = 20_000

/** Halvings of the whole range after which a piece that still does not fit is refused. */
const mostHalvings = 40

/** Fractions of a piece at which its distance from the curve is looked at; the largest is near the middle. */
const places = [1 / 8, 1 / 4, 3 / 8, 1 / 2, 5 / 8, 3 / 4, 7 / 8]

/** A place on the curve with its derivative by t. */
interface Knot {
  readonly t: number
  readonly at: Point
  readonly rate: Point
}

/**
 * The curve `at(t)` with the derivative `rate(t)`, from t = `from` to t = `to`, as an open path of cubics at most
 * `tolerance` mm (> 0) away. The cubics take place and derivative of the curve at both ends, so the joints are smooth,
 * and the path's ends are `at(from)` and `at(to)` to the last bit. Refuses a curve that is not finite, or that does not
 * settle within 20,000 pieces.
 *
 * The distance is taken between places of the same t, so it is never understated. For a piece of h in t it is at most
 * h^4 / 384 times the fourth derivative (t^2 (h - t)^2 / 4! at its largest), so it falls to 1/16 when a piece is halved.
 * A piece is believed only when its halves bear that out: a wave that crosses at every place looked at is found as well.
 */
export function fittedCurve(
  at: (t: number) => Point,
  rate: (t: number) => Point,
  from: number,
  to: number,
  tolerance = 1e-7,
): Path {
  if (!(tolerance > 0)) throw new RangeError(`a fitting tolerance of ${tolerance} mm; it must be above 0`)
  if (!Number.isFinite(to - from) || from === to) {
    throw new RangeError(`a curve from t = ${from} to t = ${to}; both must be finite and apart`)
  }
  const knot = (t: number): Knot => {
    const found = { t, at: at(t), rate: rate(t) }
    if ([found.at, found.rate].some((p) => !Number.isFinite(p.x) || !Number.isFinite(p.y))) {
      throw new RangeError(`the curve is not finite at t = ${t}`)
    }
    return found
  }
  const start = knot(from)
  const segments: Cubic[] = []
  // What is still to be fitted, the next stretch last.
  const open: [Knot, Knot][] = [[start, knot(to)]]
  for (let next = open.pop(); next; next = open.pop()) {
    const [low, high] = next
    const middle = knot((low.t + high.t) / 2)
    // The halves first: most stretches that do not fit show it there.
    const halves = Math.max(miss(at, low, middle), miss(at, middle, high))
    if (halves <= tolerance / 8 && miss(at, low, high) <= tolerance) {
      segments.push(hermite(low, high))
      continue
    }
    if (
      segments.length + open.length + 2 > mostPieces ||
      Math.abs(high.t - low.t) < Math.abs(to - from) * 2 ** -mostHalvings
    ) {
      throw new RangeError(`the curve does not settle within ${tolerance} mm near t = ${low.t}`)
    }
    open.push([middle, high], [low, middle])
  }
  return { start: start.at, segments, closed: false }
}

function hermite(low: Knot, high: Knot): Cubic {
  const third = (high.t - low.t) / 3
  return cubicTo(add(low.at, scaled(low.rate, third)), add(high.at, scaled(high.rate, -third)), high.at)
}

/** Largest distance seen between the piece and the curve, mm; Infinity where the curve is not finite. */
function miss(at: (t: number) => Point, low: Knot, high: Knot): number {
  const piece = hermite(low, high)
  let worst = 0
  for (const share of places) {
    const here = distance(cubicPoint(low.at, piece, share), at(low.t + (high.t - low.t) * share))
    // Written so that a NaN counts as far.
    if (!(here <= worst)) worst = Number.isFinite(here) ? here : Infinity
  }
  return worst
}
