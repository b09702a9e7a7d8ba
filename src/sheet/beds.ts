import { type Box, commonBox, insetBox } from '../geometry/bounds.ts'
import { distance, type Point } from '../geometry/point.ts'
import { difference, intersection, offsetRings, type Rings, ringsArea } from '../geometry/polygon.ts'
import { cornerPlaces, crossInset, crossRoom } from './cross-places.ts'
import type { Bed, Region } from './nest/problem.ts'
import { regionsOf } from './regions.ts'
import { usableBox } from './sheet.ts'
import type { Stock } from './stock.ts'

/** What bears on where pieces may lie on any stock, mm. */
export interface Keeping {
  /** half of the gap, or what a weed border asks for */
  readonly room: number
  /** where the machine cuts, with the film's low corner at 0, 0 */
  readonly reach: Box
  /** a weed border runs so far from the film; 0 for none */
  readonly border: number
  /** length kept free at both ends for lining-up crosses; 0 where the film is not turned over, and has none */
  readonly spare: number
  /** do the crosses of sheets stand in two corners instead, so that pieces have the whole length? */
  readonly inCorners?: boolean
}

/** A piece of stock as the layout sees it. */
export interface Lying {
  readonly stock: Stock
  /** which of the sheets cut from it, from 1 */
  readonly ofStock: number
  /** mm along, margins included; of a roll as much as can be laid on at once */
  readonly length: number
  /** of a roll, what lies past its last piece, mm */
  readonly tail: number
  /** where the crosses stand on what is no rectangle */
  readonly crosses: readonly Point[]
  readonly bed: Bed
}

/** A weed border keeps this far from the edge, mm, so that the blade stays on the film. */
const borderRoom = 1

const paidBy = { roll: 'length', sheet: 'whole', offcut: 'free' } as const

const box = (low: Point, high: Point): Point[] => [low, { x: high.x, y: low.y }, high, { x: low.x, y: high.y }]

/** What is kept along every edge of a film, mm: its margin, or what a weed border asks for where that is more. */
const keptAlong = ({ margin }: Stock, { border }: Keeping) => Math.max(margin, border > 0 ? border + borderRoom : 0)

/**
 * The part of the box round a film that the machine gets to; of film that is turned over, left for right, what it gets
 * to either way up.
 */
export function reachedBox(length: number, width: number, { reach, spare }: Pick<Keeping, 'reach' | 'spare'>): Box {
  const film = commonBox(reach, { low: { x: 0, y: 0 }, high: { x: length, y: width } })
  if (spare === 0) return film
  const { low, high } = film
  return commonBox(film, { low: { x: length - high.x, y: low.y }, high: { x: length - low.x, y: high.y } })
}

/** mm past the last piece of a roll: its margin, and enough for the machine to get there once the film is turned over. */
const tailOf = (stock: Stock, keeping: Keeping) =>
  Math.max(keptAlong(stock, keeping), keeping.spare > 0 ? keeping.reach.low.x : 0)

/** One length of a stock from its free end, as a bed; undefined where margins leave nothing of it. */
function lyingOf(stock: Stock, ofStock: number, length: number, keeping: Keeping): Lying | undefined {
  const { room, border, spare } = keeping
  const kept = keptAlong(stock, keeping)
  const reached = reachedBox(length, stock.width, keeping)
  const bordered = insetBox(reached, border - room)
  const standing = spare > 0 ? standingCrosses(stock, reached, keeping) : []
  const ends = standing ? 0 : spare
  const film = insetBox({ low: { x: 0, y: 0 }, high: { x: length, y: stock.width } }, kept - room)
  const { low, high } = commonBox(film, bordered)
  const area = stock.outline
    ? intersection(insetRing(stock.outline, Math.max(0, kept - room)), boxRings(bordered))
    : boxRings({ low: { x: low.x + ends, y: low.y }, high: { x: high.x - ends, y: high.y } })
  const crosses = standing ?? []
  const taken = [
    ...stock.badSpots,
    ...crosses.map(({ x, y }) => box({ x: x - crossRoom, y: y - crossRoom }, { x: x + crossRoom, y: y + crossRoom })),
  ]
  const region: Region | undefined = regionsOf(taken.length > 0 ? difference(area, taken) : area)[0]
  if (!region || (standing && spare > 0 && standing.length < 2)) return undefined
  return { stock, ofStock, length, tail: tailOf(stock, keeping), crosses, bed: { region, paid: paidBy[stock.kind] } }
}

/** Where the crosses of a film stand whatever lies on it; undefined where the ends of its length are kept free for them. */
function standingCrosses(stock: Stock, reached: Box, { inCorners }: Keeping): readonly Point[] | undefined {
  const { outline, kind, margin } = stock
  if (outline) return crossesOn(outline, reached, margin)
  return inCorners && kind !== 'roll' ? cornerPlaces(usableBox({ ...stock, reached })) : undefined
}

/** A box as rings, unless it is turned inside out. */
const boxRings = ({ low, high }: Box): Rings => (high.x > low.x && high.y > low.y ? [box(low, high)] : [])

const insetRing = (outline: readonly Point[], inset: number): Rings =>
  inset > 0 ? offsetRings([outline], -inset, 'round') : [outline]

/** The least by which the heights of two crosses differ, mm, so that a sheet laid wrong way up shows. */
const leastStep = 10

/** Two places far apart and at different heights on film of any outline; none where there are no such. */
function crossesOn(outline: readonly Point[], reached: Box, margin: number): Point[] {
  const inside = boxRings(insetBox(reached, crossInset))
  const places = intersection(insetRing(outline, margin + crossInset), inside).flat()
  const order = [...places].sort((a, b) => a.x - b.x || a.y - b.y)
  const [first] = order
  if (!first) return []
  const far = order
    .filter((p) => Math.abs(p.y - first.y) >= leastStep)
    .reduce<Point | undefined>((a, b) => (a && distance(first, a) >= distance(first, b) ? a : b), undefined)
  return far ? [first, far] : []
}

/** mm along a roll that is too short to be worth a sheet of its own */
const leastRest = 20

/**
 * Everything that a stock can be cut from it, as beds. A roll gives sheets as long as the machine reaches: `generous`
 * as many as are asked for, although together they may be longer than the roll, else only as many as it has for sure.
 * A roll with bad spots gives one.
 */
export function lyingOn(stock: Stock, keeping: Keeping, most: number, generous: boolean): Lying[] {
  const each = Math.min(stock.length, keeping.reach.high.x + tailOf(stock, keeping))
  const whole = Math.floor(stock.length / each + 1e-9)
  const rest = stock.length - whole * each
  const lengths =
    stock.kind !== 'roll'
      ? Array.from({ length: Math.min(stock.count, most) }, () => stock.length)
      : stock.badSpots.length > 0
        ? [each]
        : generous
          ? Array.from({ length: most }, () => each)
          : [...Array.from({ length: Math.min(whole, most) }, () => each), ...(rest > leastRest ? [rest] : [])]
  return lengths.flatMap((length, i) => lyingOf(stock, i + 1, length, keeping) ?? [])
}

/** mm^2 that can be laid on. */
export const bedArea = ({ bed: { region } }: Lying): number =>
  Math.abs(ringsArea([region.outer])) - region.holes.reduce((sum, hole) => sum + Math.abs(ringsArea([hole])), 0)
