import { crossings } from '../geometry/intersect.ts'
import { stationAt } from '../geometry/length.ts'
import { arcTo, lineTo, openPath, type Path } from '../geometry/path.ts'
import { add, leftOf, type Point, scaled } from '../geometry/point.ts'
import type { PanelEdge, Tick, TickMake } from './panel.ts'

/** What the machine and the film allow, for choosing how ticks are made. */
export interface TickChoice {
  readonly wanted: TickMake | 'auto'
  readonly hasPen: boolean
  readonly cut: 'kiss' | 'through'
}

/** Notch: root radius and the film left between its root and the bare edge, mm (common practice, no source). */
export const rootRadius = 0.6
const leftBeside = 0.3
/** The least from a notch's middle to a corner of the panel, mm (common practice, no source). */
export const notchRoom = 2 * rootRadius
/** A notch shallower than this is not seen at the bench, mm (common practice, no source). */
export const leastNotch = 1.2
const mostNotch = 3
/** Pen tick and waste cut, mm (common practice, no source). */
const tickLength = 3
const wasteGap = 0.8

/** Depth of a notch that an allowance can hold, mm. */
export function notchDepth(allowance: number): number {
  return Math.min(mostNotch, allowance - leftBeside)
}

/** The make that survives until the panel is on the object, and why, in words for the report. */
export function chooseMake(choice: TickChoice, allowance: number): { make: TickMake; reason: string } {
  if (choice.wanted !== 'auto') return { make: choice.wanted, reason: `${choice.wanted} ticks, as asked` }
  if (choice.hasPen)
    return { make: 'pen', reason: 'pen lines, because the machine holds a pen and a line weakens nothing' }
  if (notchDepth(allowance) >= leastNotch) {
    return {
      make: 'notch',
      reason: 'round-rooted notches, because the machine has no pen and the allowance can hold them',
    }
  }
  const why = `cuts in the waste, because the machine has no pen and the allowance is under ${leastNotch + leftBeside} mm`
  return choice.cut === 'kiss'
    ? { make: 'waste', reason: `${why}; they stay until the waste is weeded` }
    : { make: 'waste', reason: `${why}; mark the panel from them before you lift it out` }
}

/** A tick where the line through `through` along `way` meets the outline's edge; the last or first meeting along it. */
export function tickOn(
  edge: PanelEdge,
  through: Point,
  way: Point,
  make: TickMake,
  role: Tick['role'],
  mark: string,
): Tick | undefined {
  const met = crossings(edge.outline, through, way)
  const place = edge.name === 'bottom' ? met[0] : met.at(-1)
  if (!place) return undefined
  const { heading } = stationAt(edge.outline, place.length)
  const inward = leftOf(heading)
  const base = { role, edge: edge.name, at: place.at, inward, length: place.length, mark }
  if (make === 'notch') return { ...base, make, path: notch(edge, place.length) }
  const [near, far] =
    make === 'pen' ? [0, Math.max(tickLength, Math.min(edge.allowance, 8))] : [-wasteGap, -wasteGap - tickLength]
  const on = (reach: number) => add(place.at, scaled(inward, reach))
  return { ...base, make, path: openPath(on(near), lineTo(on(far))) }
}

/** A slot with a half-round root, so that it starts no tear. From edge to edge, open. */
function notch(edge: PanelEdge, length: number): Path {
  const depth = notchDepth(edge.allowance)
  const { at, heading } = stationAt(edge.outline, length)
  const root = add(at, scaled(leftOf(heading), depth - rootRadius))
  const from = stationAt(edge.outline, length - rootRadius).at
  const to = stationAt(edge.outline, length + rootRadius).at
  const near = add(root, scaled(heading, -rootRadius))
  const far = add(root, scaled(heading, rootRadius))
  return openPath(from, lineTo(near), arcTo(far, -Math.PI), lineTo(to))
}
