import { type Box, insetBox } from '../geometry/bounds.ts'
import { between, norm, type Point, point, subtract } from '../geometry/point.ts'
import type { Problem } from '../measure/problem.ts'
import { toMachine } from './axes.ts'
import { type Machine, reachOf } from './profile.ts'

/** A place may lie this far outside for rounding, mm. */
const slack = 0.02

/**
 * Where tools get to, mm on the sheet, counter-clockwise: between the margins, and no farther than the machine counts, so
 * that an axis that leans leaves out a wedge. Empty where nothing is left.
 */
export function reachRing(machine: Machine): readonly Point[] {
  const { axes, range } = machine
  const { low, high } = reachOf(machine)
  const box = [point(low.x, low.y), point(high.x, low.y), point(high.x, high.y), point(low.x, high.y)]
  const least = axes.origin === 'middle' ? -range : 0
  return (['x', 'y'] as const).reduce<readonly Point[]>((ring, axis) => {
    const above = clipped(ring, (p) => toMachine(machine, p)[axis] - least)
    return clipped(above, (p) => range - toMachine(machine, p)[axis])
  }, box)
}

/**
 * Where the tip may cut whatever lies there, mm: a box inside the wedge that a leaning axis leaves out, less the blade's
 * offset where the files make up for it, because there the axis swings so far past the tip. Inside out where nothing is left.
 */
export function tipReachOf(machine: Machine): Box {
  const { compensate, offset } = machine.blade
  const ring = reachRing(machine)
  let { low, high } = reachOf(machine)
  ring.forEach((b, i) => {
    const a = ring.at(i - 1) as Point
    const way = subtract(b, a)
    if (norm(way) < slack) return
    // What is reached lies to the left of an edge.
    const isLevel = Math.abs(way.x) > Math.abs(way.y)
    if (isLevel && way.x > 0) low = point(low.x, Math.max(low.y, a.y, b.y))
    else if (isLevel) high = point(high.x, Math.min(high.y, a.y, b.y))
    else if (way.y > 0) high = point(Math.min(high.x, a.x, b.x), high.y)
    else low = point(Math.max(low.x, a.x, b.x), low.y)
  })
  return insetBox({ low, high }, compensate === 'file' ? offset : 0)
}

/** The part of a convex ring where an affine measure is 0 or more. */
function clipped(ring: readonly Point[], measure: (p: Point) => number): Point[] {
  return ring.flatMap((b, i) => {
    const a = ring.at(i - 1) as Point
    const [before, own] = [measure(a), measure(b)]
    const crossing = before < 0 === own < 0 ? [] : [between(a, b, before / (before - own))]
    return own < 0 ? crossing : [...crossing, b]
  })
}

/** What leaves the machine's reach, or nothing. `box` is round all of it, mm on the sheet. */
export function reachProblems(field: string, { low, high }: Box, machine: Machine, cure: string): Problem[] {
  const { low: least, high: most } = reachOf(machine)
  const fits =
    low.x >= least.x - slack && low.y >= least.y - slack && high.x <= most.x + slack && high.y <= most.y + slack
  if (fits) return []
  const mm = (x: number, y: number) => `${x.toFixed(1)}, ${y.toFixed(1)}`
  const value = `from ${mm(low.x, low.y)} to ${mm(high.x, high.y)} mm`
  const limit = `${machine.name} reaches from ${mm(least.x, least.y)} to ${mm(most.x, most.y)} mm`
  return [{ code: 'beyond_reach', field, value, limit, cure }]
}
