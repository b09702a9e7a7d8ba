import { paidFor } from './beds.ts'
import type { NestProblem } from './problem.ts'
import { regionArea, ringBounds } from './rings.ts'
import type { Laid, Shape } from './shape.ts'

const width = (laid: Laid): number => laid.highX - laid.lowX
const height = (laid: Laid): number => laid.highY - laid.lowY

/**
 * Film in mm^2 that any layout of all pieces pays at the least. What the free beds cannot hold by area is paid; whole
 * sheets are paid in wholes; on a lone strip upright boxes higher than half of it must follow each other, and the
 * longest piece must fit. Pins are left out of account: a layout that was found and then pinned has the same bound.
 */
export function leastPaid({ pieces, beds }: NestProblem, shapes: readonly Shape[]): number {
  const free = beds.reduce((sum, bed) => sum + (bed.paid === 'free' ? regionArea(bed.region) : 0), 0)
  const beyond = shapes.slice(0, pieces.length).reduce((sum, shape) => sum + shape.area, 0) - free
  const wholes = beds.filter((bed) => bed.paid === 'whole')
  const lengths = beds.filter((bed) => bed.paid === 'length')
  if (lengths.length === 0)
    return beyond > 0
      ? leastSheets(
          beyond,
          wholes.map((bed) => [regionArea(bed.region), paidFor(bed, 1)]),
        )
      : 0
  const byArea = Math.max(0, beyond)
  const [strip] = lengths
  if (beds.length > 1 || !strip) return byArea
  const box = ringBounds(strip.region.outer)
  const strippedHeight = box.highY - box.lowY
  let longest = 0
  let inRow = 0
  for (const shape of shapes.slice(0, pieces.length)) {
    if (shape.isFree) continue
    const fitting = shape.laid.filter((laid) => height(laid) <= strippedHeight)
    if (fitting.length === 0) continue
    const least = Math.min(...fitting.map(width))
    longest = Math.max(longest, least)
    const isHigh = fitting.every((laid) => isFull(laid, shape.area) && height(laid) > strippedHeight / 2)
    if (isHigh) inRow += least
  }
  const start = Math.max(0, box.lowX)
  return Math.max(byArea, (start + Math.max(longest, inRow)) * strippedHeight)
}

/** Does it fill its upright box? */
const isFull = (laid: Laid, area: number): boolean => area >= width(laid) * height(laid)

/** Least sum of whole sheets that hold an area; each sheet as what it holds and what it costs. */
function leastSheets(area: number, sheets: readonly (readonly [number, number])[]): number {
  const dearest = Math.max(...sheets.map(([holds, costs]) => holds / costs), 0)
  if (dearest === 0) return 0
  const byArea = area / dearest
  const sorted = sheets.toSorted((a, b) => b[0] - a[0])
  let held = 0
  let count = 0
  for (const [holds] of sorted) {
    if (held >= area) break
    held += holds
    count++
  }
  // no fewer sheets than the biggest ones would be, and none cheaper than the cheapest ones
  const cheapest = sheets.map(([, costs]) => costs).toSorted((a, b) => a - b)
  return Math.max(
    byArea,
    cheapest.slice(0, count).reduce((sum, costs) => sum + costs, 0),
  )
}
