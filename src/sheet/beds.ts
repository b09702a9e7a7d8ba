import { distance, type Point } from '../geometry/point.ts'
import { difference, intersection, offsetRings, type Rings, ringsArea } from '../geometry/polygon.ts'
import { crossRoom } from './cross-places.ts'
import type { Bed, Region } from './nest/problem.ts'
import { regionsOf } from './regions.ts'
import type { Stock } from './stock.ts'

/** What bears on where pieces may lie on any stock, mm. */
export interface Keeping {
  /** half of the gap, or what a weed border asks for */
  readonly room: number
  /** farthest x and y that the machine takes */
  readonly reach: Point
  /** kept free along every edge by the machine */
  readonly deadEdge: number
  /** a weed border runs so far from the film; 0 for none */
  readonly border: number
  /** length kept free at both ends for lining-up crosses; 0 for none */
  readonly spare: number
}

/** A piece of stock as the layout sees it. */
export interface Lying {
  readonly stock: Stock
  /** which of the sheets cut from it, from 1 */
  readonly ofStock: number
  /** mm along that can be used, margins included */
  readonly length: number
  /** kept free along every edge, mm */
  readonly margin: number
  /** where the crosses stand on what is no rectangle */
  readonly crosses: readonly Point[]
  readonly bed: Bed
}

/** A weed border keeps this far from the edge, mm, so that the blade stays on the film. */
const borderRoom = 1

const paidBy = { roll: 'length', sheet: 'whole', offcut: 'free' } as const

const box = (low: Point, high: Point): Point[] => [low, { x: high.x, y: low.y }, high, { x: low.x, y: high.y }]

/** One length of a stock from its free end, as a bed; undefined where margins leave nothing of it. */
function lyingOf(stock: Stock, ofStock: number, length: number, keeping: Keeping): Lying | undefined {
  const { room, reach, deadEdge, border, spare } = keeping
  const margin = Math.max(stock.margin, deadEdge)
  const kept = border > 0 ? Math.max(margin, border + borderRoom) : margin
  const usable = Math.min(length, reach.x)
  const base = { stock, ofStock, length: usable, margin }
  const area = stock.outline
    ? oddRegion(stock.outline, reach, Math.max(0, kept - room))
    : rectangular(
        { x: kept + spare - room, y: kept - room },
        { x: usable - kept - spare + room, y: Math.min(stock.width, reach.y) - kept + room },
      )
  const crosses = stock.outline && spare > 0 ? crossesOn(stock.outline, reach, margin) : []
  const taken = [
    ...stock.badSpots,
    ...crosses.map(({ x, y }) => box({ x: x - crossRoom, y: y - crossRoom }, { x: x + crossRoom, y: y + crossRoom })),
  ]
  const region: Region | undefined = regionsOf(taken.length > 0 ? difference(area, taken) : area)[0]
  if (!region || (stock.outline && spare > 0 && crosses.length < 2)) return undefined
  return { ...base, crosses, bed: { region, paid: paidBy[stock.kind] } }
}

/** A rectangle that margins have not turned inside out. */
const rectangular = (low: Point, high: Point): Rings => (high.x > low.x && high.y > low.y ? [box(low, high)] : [])

function oddRegion(outline: readonly Point[], reach: Point, inset: number): Rings {
  const within = intersection([outline], [box({ x: 0, y: 0 }, reach)])
  return inset > 0 ? offsetRings(within, -inset, 'round') : within
}

/** How far the middle of a cross keeps from the margin, mm. */
const crossInset = 5
/** The least by which the heights of two crosses differ, mm, so that a sheet laid wrong way up shows. */
const leastStep = 10

/** Two places far apart and at different heights on film of any outline; none where there are no such. */
function crossesOn(outline: readonly Point[], reach: Point, margin: number): Point[] {
  const places = oddRegion(outline, reach, margin + crossInset).flat()
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
  const each = Math.min(stock.length, keeping.reach.x)
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
