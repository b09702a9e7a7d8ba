import { coveringDiscs, type Discs, type Outline } from './discs.ts'
import { searchedRings } from './fewer-corners.ts'
import { drawnIn } from './hair.ts'
import type { NestPiece, Region, Ring } from './problem.ts'
import { areaToTheLeft, hullOf, regionArea, ringArea, ringBounds } from './rings.ts'

/** An outline at one angle, about the piece's own origin, all drawn in by a hair. Its arrays are filled anew where a piece turns freely. */
export interface Laid {
  angle: number
  readonly x: Float64Array
  readonly y: Float64Array
  readonly next: Int32Array
  /** discs that stand for it where overlaps are measured; none before `giveDiscs` */
  discX: Float64Array
  discY: Float64Array
  discR: Float64Array
  lowX: number
  lowY: number
  highX: number
  highY: number
  /** least and most of x + y and of x - y */
  lowRise: number
  highRise: number
  lowFall: number
  highFall: number
}

/** What all pieces of one outline and one choice of turns have in common. */
export interface Shape {
  readonly area: number
  /** the outline that a search works with: holds all of the true one */
  readonly searched: Laid
  /** the true outline */
  readonly exact: Laid
  /** at each angle it may be laid at; of a freely turned one at those worth trying first */
  readonly laid: readonly Laid[]
  readonly isFree: boolean
  /** longest distance between two corners, mm */
  readonly reach: number
  /** fourth root of the area of the hull: how hard it is to free */
  readonly weight: number
}

const mostDiscs = 9
const enoughDiscs = 6
const coveredShare = 0.85

function outlineOf(rings: readonly Ring[]): Outline {
  const points = rings.flat()
  const next = new Int32Array(points.length)
  let start = 0
  for (const ring of rings) {
    for (let i = 0; i < ring.length; i++) next[start + i] = start + ((i + 1) % ring.length)
    start += ring.length
  }
  return { x: Float64Array.from(points, (p) => p.x), y: Float64Array.from(points, (p) => p.y), next }
}

const noDiscs: Discs = { x: new Float64Array(0), y: new Float64Array(0), r: new Float64Array(0) }

/** All of one build: engines are quicker with what always has the same fields, numbers with fractions from the start. */
const laidAs = (angle: number, { x, y, next }: Outline, discs: Discs): Laid => ({
  angle,
  x,
  y,
  next,
  discX: discs.x,
  discY: discs.y,
  discR: discs.r,
  lowX: Number.NaN,
  lowY: Number.NaN,
  highX: Number.NaN,
  highY: Number.NaN,
  lowRise: Number.NaN,
  highRise: Number.NaN,
  lowFall: Number.NaN,
  highFall: Number.NaN,
})

function laidFrom(outline: Outline): Laid {
  const laid = laidAs(0, outline, noDiscs)
  setBounds(laid)
  return laid
}

function setBounds(laid: Laid): void {
  const { x, y } = laid
  let [lowX, lowY, highX, highY] = [Infinity, Infinity, -Infinity, -Infinity]
  let [lowRise, highRise, lowFall, highFall] = [Infinity, -Infinity, Infinity, -Infinity]
  for (let i = 0; i < x.length; i++) {
    const px = x[i] as number
    const py = y[i] as number
    if (px < lowX) lowX = px
    if (px > highX) highX = px
    if (py < lowY) lowY = py
    if (py > highY) highY = py
    const rise = px + py
    const fall = px - py
    if (rise < lowRise) lowRise = rise
    if (rise > highRise) highRise = rise
    if (fall < lowFall) lowFall = fall
    if (fall > highFall) highFall = fall
  }
  laid.lowX = lowX
  laid.lowY = lowY
  laid.highX = highX
  laid.highY = highY
  laid.lowRise = lowRise
  laid.highRise = highRise
  laid.lowFall = lowFall
  laid.highFall = highFall
}

/** Writes what `from` is into `to`, another of the same outline. */
export function copyInto(from: Laid, to: Laid): void {
  if (from === to) return
  to.x.set(from.x)
  to.y.set(from.y)
  to.discX.set(from.discX)
  to.discY.set(from.discY)
  to.angle = from.angle
  to.lowX = from.lowX
  to.lowY = from.lowY
  to.highX = from.highX
  to.highY = from.highY
  to.lowRise = from.lowRise
  to.highRise = from.highRise
  to.lowFall = from.lowFall
  to.highFall = from.highFall
}

/** Room for an outline at another angle. */
export const blankOf = ({ x, y, next, discX, discY, discR }: Laid): Laid =>
  laidAs(
    Number.NaN,
    { x: new Float64Array(x.length), y: new Float64Array(y.length), next },
    { x: new Float64Array(discX.length), y: new Float64Array(discY.length), r: discR },
  )

/** Writes `laid`, turned by `angle`, into `into`. */
export function turnInto(laid: Laid, angle: number, into: Laid): void {
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  const { x, y, discX, discY } = laid
  for (let i = 0; i < x.length; i++) {
    const px = x[i] as number
    const py = y[i] as number
    into.x[i] = px * c - py * s
    into.y[i] = px * s + py * c
  }
  for (let i = 0; i < discX.length; i++) {
    const px = discX[i] as number
    const py = discY[i] as number
    into.discX[i] = px * c - py * s
    into.discY[i] = px * s + py * c
  }
  into.angle = angle
  setBounds(into)
}

/** `laid` turned by `angle`, in arrays of its own. */
export function turnedBy(laid: Laid, angle: number): Laid {
  const into = blankOf(laid)
  turnInto(laid, angle, into)
  return into
}

/** Angles at which the longest edge of the hull lies flat, or the box round it is least. */
function anglesWorthTrying(ring: Ring): number[] {
  const hull = hullOf(ring)
  let best = { angle: 0, area: Infinity }
  for (let i = 0; i < hull.length; i++) {
    const [a, b] = [hull[i], hull[(i + 1) % hull.length]]
    if (!a || !b) continue
    const angle = -Math.atan2(b.y - a.y, b.x - a.x)
    const [c, s] = [Math.cos(angle), Math.sin(angle)]
    const box = ringBounds(hull.map((p) => ({ x: p.x * c - p.y * s, y: p.x * s + p.y * c })))
    const area = (box.highX - box.lowX) * (box.highY - box.lowY)
    if (area < best.area * (1 - 1e-9)) best = { angle, area }
  }
  return [0, 1, 2, 3].map((quarter) => best.angle + (quarter * Math.PI) / 2)
}

/** What is the same for all pieces of this region and these turns. */
export function shapeOf(region: Region, turns: NestPiece['turns']): Shape {
  // drawn in first: what a corner moves by hangs on its neighbours, so that outlines drawn in later need not hold each other
  const rings = areaToTheLeft(region).map(drawnIn)
  const fewer = searchedRings(rings)
  const searched = laidFrom(outlineOf(fewer))
  const area = regionArea(region)
  const hull = hullOf(region.outer)
  let reach = 0
  for (const a of hull)
    for (const b of hull) reach = Math.max(reach, Math.sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y)))
  const angles = turns === 'any' ? anglesWorthTrying(region.outer) : turns
  return {
    area,
    searched,
    exact: fewer === rings ? searched : laidFrom(outlineOf(rings)),
    laid: angles.map((angle) => turnedBy(searched, angle)),
    isFree: turns === 'any',
    reach,
    weight: Math.sqrt(Math.sqrt(ringArea(hull))),
  }
}

/** Covers the shape by discs, once; takes about a millisecond. */
export function giveDiscs(shape: Shape, most = mostDiscs): void {
  const { searched } = shape
  if (searched.discR.length > 0) return
  const discs = coveringDiscs(searched, searched, shape.area, most, enoughDiscs, coveredShare)
  for (const laid of [searched, ...shape.laid]) {
    const c = Math.cos(laid.angle)
    const s = Math.sin(laid.angle)
    laid.discX = discs.x.map((x, k) => x * c - (discs.y[k] as number) * s)
    laid.discY = discs.x.map((x, k) => x * s + (discs.y[k] as number) * c)
    laid.discR = discs.r
  }
}

/** The shape of each piece; pieces of one outline and the same turns share it. Pauses after each that is made. */
export function* shapesOf(pieces: readonly Pick<NestPiece, 'region' | 'turns'>[]): Generator<undefined, Shape[]> {
  const byRegion = new Map<Region, Map<string, Shape>>()
  const byText = new Map<string, Shape>()
  const shapes: Shape[] = []
  for (const { region, turns } of pieces) {
    const turnText = turns === 'any' ? turns : turns.join()
    const known = byRegion.get(region) ?? new Map<string, Shape>()
    byRegion.set(region, known)
    let shape = known.get(turnText)
    if (!shape) {
      const rings = [region.outer, ...region.holes].map((ring) => ring.map((p) => `${p.x},${p.y}`).join(' '))
      const text = `${turnText};${rings.join(';')}`
      shape = byText.get(text) ?? shapeOf(region, turns)
      byText.set(text, shape)
      known.set(turnText, shape)
      yield undefined
    }
    shapes.push(shape)
  }
  return shapes
}
