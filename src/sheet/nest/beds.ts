import type { Plot } from './field.ts'
import type { Bed, Region } from './problem.ts'
import { isUprightBox, ringArea, ringBounds } from './rings.ts'

/** Below this an outline is an upright box, mm. */
const boxSlack = 1e-9

/** The beds one above the other, far enough apart that nothing reaches from one to the next. */
export function plotsOf(beds: readonly Bed[]): Plot[] {
  let top = 0
  return beds.map(({ region }) => {
    const box = ringBounds(region.outer)
    const lift = top - box.lowY
    top += (box.highY - box.lowY) * 1.5 + 1
    return {
      lowX: box.lowX,
      lowY: box.lowY + lift,
      highX: box.highX,
      highY: box.highY + lift,
      lift,
      limit: box.highX,
    }
  })
}

/** What lies round a bed's outline within its box, and the holes in it: regions where nothing may lie. */
export function notBed({ region }: Bed): Region[] {
  const holes = region.holes.map((hole) => ({ outer: ringArea(hole) < 0 ? hole.toReversed() : hole, holes: [] }))
  if (isUprightBox(region.outer, boxSlack)) return holes
  const { lowX, lowY, highX, highY } = ringBounds(region.outer)
  const rim = 0.02 * Math.max(highX - lowX, highY - lowY) + 1
  const frame = [
    { x: lowX - rim, y: lowY - rim },
    { x: highX + rim, y: lowY - rim },
    { x: highX + rim, y: highY + rim },
    { x: lowX - rim, y: highY + rim },
  ]
  return [{ outer: frame, holes: [region.outer] }, ...holes]
}

/** What is paid for a bed used as far as `used` along x, mm^2. */
export function paidFor({ region, paid }: Bed, used: number): number {
  if (used <= 0 || paid === 'free') return 0
  const box = ringBounds(region.outer)
  return paid === 'whole' ? ringArea(region.outer) : used * (box.highY - box.lowY)
}
