import { pointInside } from '../geometry/inside.ts'
import { type Crossing, crossings } from '../geometry/intersect.ts'
import { stationAt } from '../geometry/length.ts'
import { arcTo, lineTo, openPath, type Path } from '../geometry/path.ts'
import { add, between, distance, leftOf, type Point, scaled, subtract, unit } from '../geometry/point.ts'
import type { PanelEdge, Stretch, Tick, TickMake } from './panel.ts'

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
const leastNotch = 1.2
/** The least allowance that holds a notch, mm. */
export const leastForNotch = leastNotch + leftBeside
const mostNotch = 3
/** Pen tick and waste cut, mm (common practice, no source). */
const tickLength = 3
const wasteGap = 0.8

/** Depth of a notch that an allowance can hold, mm. */
function notchDepth(allowance: number): number {
  return Math.min(mostNotch, allowance - leftBeside)
}

/** The make that survives until the panel is on the object, and why, in words for the report. */
export function chooseMake(choice: TickChoice, allowance: number): { make: TickMake; reason: string } {
  if (choice.wanted !== 'auto') return { make: choice.wanted, reason: `${choice.wanted} ticks, as asked` }
  if (choice.hasPen) return { make: 'pen', reason: 'pen lines, because there is a pen, and its line weakens nothing' }
  if (notchDepth(allowance) >= leastNotch) {
    return {
      make: 'notch',
      reason: 'round-rooted notches, because the machine has no pen and the allowance can hold them',
    }
  }
  const why = `cuts in the waste, because the machine has no pen and the allowance is under ${leastForNotch} mm`
  return choice.cut === 'kiss'
    ? { make: 'waste', reason: `${why}; they stay until the waste is weeded` }
    : { make: 'waste', reason: `${why}; mark the panel from them before you lift it out` }
}

/** A place on the outline where a tick goes. */
export interface Spot {
  readonly at: Point
  /** unit direction of travel round the panel */
  readonly heading: Point
  /** the edge it lies on; none on the rim of an opening */
  readonly edge: PanelEdge | undefined
  /** mm along that edge's outline, or along the whole outline */
  readonly length: number
}

/** Where a line comes onto film and where it leaves it. */
interface Film {
  readonly from: Crossing
  readonly to: Crossing
}

/**
 * The stretch of film that a line runs over: from where it comes onto the panel to where it leaves it, about the
 * line's own middle. Where the middle is off the film, the longest stretch counts.
 */
export function filmAlong(outline: Path, line: Stretch): Film | undefined {
  const onFilm = filmOn(outline, line)
  const length = ({ from, to }: Film) => to.reach - from.reach
  return (
    onFilm.find(({ from, to }) => from.reach < 0 && to.reach > 0) ??
    onFilm.reduce<Film | undefined>((a, b) => (a && length(a) >= length(b) ? a : b), undefined)
  )
}

/**
 * The film that a line runs over from its first to its last place between the line's own ends, whatever openings lie
 * between, for one that reaches past an edge is no less an opening than a hole. Where there is no film between its ends,
 * that which `filmAlong` finds.
 */
export function filmOver(outline: Path, line: Stretch): Film | undefined {
  const half = distance(line.from, line.to) / 2
  const own = filmOn(outline, line).filter(({ from, to }) => from.reach < half && to.reach > -half)
  const [first, last] = [own[0], own.at(-1)]
  return first && last ? { from: first.from, to: last.to } : filmAlong(outline, line)
}

/** Every stretch of film on an endless line; `reach` is told from the middle of `line`, mm. */
function filmOn(outline: Path, line: Stretch): readonly Film[] {
  const way = unit(subtract(line.to, line.from))
  const met = crossings(outline, between(line.from, line.to, 0.5), way)
  const pairs = met.flatMap((to, i) => {
    const from = met[i - 1]
    return from ? [{ from, to }] : []
  })
  return pairs.length === 1 ? pairs : pairs.filter(({ from, to }) => pointInside(outline, between(from.at, to.at, 0.5)))
}

/** The place of a point of the outline: on which edge, and how far along. */
export function spotAt(outline: Path, edges: readonly PanelEdge[], { at, length }: Crossing): Spot {
  const heading = stationAt(outline, length).heading
  for (const edge of edges) {
    const own = crossings(edge.outline, at, leftOf(heading)).find((c) => distance(c.at, at) < 1e-6)
    if (own) return { at, heading: stationAt(edge.outline, own.length).heading, edge, length: own.length }
  }
  return { at, heading, edge: undefined, length }
}

/** Can a notch end before the measured edge there? */
export const holdsNotch = (edge: PanelEdge): boolean => notchDepth(edge.allowance) >= leastNotch

/**
 * The tick at a place. On the rim of an opening, and on a seam that laps too little, there is nothing to hold a notch,
 * so it goes into the waste.
 */
export function tickAt({ at, heading, edge, length }: Spot, wanted: TickMake, role: Tick['role'], mark: string): Tick {
  const inward = leftOf(heading)
  const bare = !edge || (edge.lapped && !holdsNotch(edge))
  const make = wanted === 'notch' && bare ? 'waste' : wanted
  const base = { role, edge: edge?.name ?? '', at, inward, length, mark, make }
  if (make === 'notch' && edge) return { ...base, path: notch(edge, length) }
  const deep = Math.max(tickLength, Math.min(edge?.allowance ?? 0, 8))
  const [near, far] = make === 'pen' ? [0, deep] : [-wasteGap, -wasteGap - tickLength]
  const on = (reach: number) => add(at, scaled(inward, reach))
  return { ...base, path: openPath(on(near), lineTo(on(far))) }
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
