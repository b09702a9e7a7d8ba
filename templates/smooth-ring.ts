import { cubicPoint } from '../src/geometry/cubic.ts'
import { type Cubic, cubicTo, lineTo, type Segment } from '../src/geometry/path.ts'
import { add, cross, distance, type Point, scaled, subtract, unit } from '../src/geometry/point.ts'

/** A point that a closed line runs through: round it, or into it and out again as a corner. */
export interface RingPoint {
  readonly at: Point
  readonly corner: boolean
}

/**
 * The pieces of a closed line through `ring`, from each point to the next: straight between two corners, else one cubic.
 *
 * Centripetal Catmull-Rom curves: the parameter grows by the root of the distance from point to point. Of that family
 * only these make neither cusps nor loops within a piece however uneven the distances are (Yuksel, Schaefer and Keyser,
 * Parameterization and applications of Catmull-Rom curves, 2011). A curve that keeps each offset between its neighbours
 * (monotone) would flatten every bulge and could not run round an end; this one swells as a bent batten does. The rate
 * at a point is that of the parabola through it and its neighbours; beside a corner the piece is a parabola.
 */
export function smoothRing(ring: readonly RingPoint[]): Segment[] {
  const n = ring.length
  const at = (i: number) => (ring[(i + n) % n] as RingPoint).at
  const isCorner = (i: number) => (ring[(i + n) % n] as RingPoint).corner
  const gap = (i: number) => Math.sqrt(distance(at(i), at(i + 1)))
  const slope = (i: number) => scaled(subtract(at(i + 1), at(i)), 1 / gap(i))
  const rate = (i: number) => {
    const [before, after] = [gap(i - 1), gap(i)]
    const sum = before + after
    return add(scaled(slope(i - 1), after / sum), scaled(slope(i), before / sum))
  }
  return ring.map((_, i) => {
    const [open, shut] = [isCorner(i), isCorner(i + 1)]
    if (open && shut) return lineTo(at(i + 1))
    const twice = scaled(slope(i), 2)
    const first = open ? subtract(twice, rate(i + 1)) : rate(i)
    const last = shut ? subtract(twice, rate(i)) : rate(i + 1)
    const third = gap(i) / 3
    return cubicTo(add(at(i), scaled(first, third)), add(at(i + 1), scaled(last, -third)), at(i + 1))
  })
}

/** The farthest that a cubic stands off its chord, mm, looked at in 15 places. */
export function swellOf(from: Point, cubic: Cubic): number {
  const way = unit(subtract(cubic.to, from))
  const aside = Array.from({ length: 15 }, (_, i) => cross(way, subtract(cubicPoint(from, cubic, (i + 1) / 16), from)))
  return Math.max(...aside.map(Math.abs))
}
