import { fourSidedProblems, fourSidedSolved } from '../../templates/four-sided-readings.ts'
import { signedArea } from '../geometry/area.ts'
import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { flatten } from '../geometry/flatten.ts'
import { circle, polyline, rectangle } from '../geometry/path.ts'
import { type Point, point } from '../geometry/point.ts'
import { selfCrossing } from '../geometry/valid.ts'
import type { Machine } from '../machine/profile.ts'
import type { Problem } from '../measure/problem.ts'
import type { Stock } from '../sheet/stock.ts'
import { repeats } from './repeats.ts'
import type { OneStock, WrittenStock } from './stock-schema.ts'

/** A roll whose size is not told, mm. */
const usualRoll = { width: 630, length: 10000 }
/** As many sheets as a job may take that does not tell how many there are (common practice, no source). */
const manySheets = 100
/** Chords round a bad spot, mm. */
const rough = 0.1
/** An offcut is no smaller than this, mm^2 (common practice, no source). */
const leastArea = 400

type Made = { readonly stock: Stock } | { readonly problems: readonly Problem[] }

/** What a stock that is not told in full is like: as the machine takes it. */
export type TakenBy = Pick<Machine, 'film' | 'area' | 'byHand'>

/**
 * The one roll or sheet of a job. Which of them it is where nothing tells is up to the machine. What is left out is as
 * of a usual roll, or of sheets of the machine's own size, as many as are needed where they are not called a sheet.
 */
export function oneStock(
  { kind: told, name, width, length, gap: _, count, ...rest }: OneStock,
  machine: TakenBy,
): Made {
  const { film, area, byHand } = machine
  const odd = rest.corners !== undefined || rest.sides !== undefined
  // What is bigger than the sheets that the machine takes is no sheet for it.
  const isSheet = film === 'sheet' && !byHand && !odd && (width ?? 0) <= area.y && (length ?? 0) <= area.x
  const kind = told ?? (isSheet ? 'sheet' : 'roll')
  const usual = kind === 'sheet' && !byHand ? { width: area.y, length: area.x } : usualRoll
  const size = odd ? { width, length } : { width: width ?? usual.width, length: length ?? usual.length }
  const several = count ?? (told === undefined && kind === 'sheet' ? manySheets : 1)
  return stockOf({ ...rest, kind, count: several, ...size, name: name ?? kind }, 'stock', false)
}

/** A stock as it is written to one that can be laid on, or everything that is wrong with it by itself. */
export function stockOf(written: WrittenStock, field: string, shelved: boolean): Made {
  const { name, kind, margin, face, price, count } = written
  const problems = formProblems(written, field)
  if (problems.length > 0) return { problems }
  const badSpots = written.badSpots.map(spotRing)
  const base = {
    name,
    kind,
    margin,
    turn: written.turn ?? (face === 'plain' ? 'quarter' : 'none'),
    count: kind === 'roll' ? 1 : count,
    ...(price === undefined ? {} : { price }),
    shelved,
  } as const
  const corners = cornersOf(written)
  if (!corners) {
    return { stock: { ...base, badSpots, width: written.width ?? NaN, length: written.length ?? NaN } }
  }
  const { low, high } = boundsOf([polyline(corners, true)])
  const moved = (ring: readonly Point[]) => ring.map(({ x, y }) => point(x - low.x, y - low.y))
  const outline = signedArea(polyline(corners, true)) < 0 ? moved(corners).reverse() : moved(corners)
  const size = { width: high.y - low.y, length: high.x - low.x }
  return { stock: { ...base, badSpots: badSpots.map(moved), ...size, outline } }
}

/** Corners of an offcut that has some of its own; undefined for a rectangle. */
function cornersOf({ corners, sides }: WrittenStock): readonly Point[] | undefined {
  if (corners) return corners.map(([x, y]) => point(x as number, y as number))
  return sides ? fourSidedSolved(sixOf(sides), inMm).corners : undefined
}

const inMm = (mm: number) => `${Number(mm.toFixed(1))} mm`

type Sides = NonNullable<WrittenStock['sides']>
const sixOf = ({ bottomLeftToTopRight, bottomRightToTopLeft, ...sides }: Sides) => ({
  ...sides,
  bottomLeftToTopRight,
  bottomRightToTopLeft,
})

function spotRing(spot: WrittenStock['badSpots'][number]): Point[] {
  if ('corners' in spot) return spot.corners.map(([x, y]) => point(x as number, y as number))
  const at = point(spot.x, spot.y)
  if ('radius' in spot) return flatten(circle(at, spot.radius + rough), rough)
  return flatten(rectangle(at, point(spot.x + spot.width, spot.y + spot.height)))
}

/** What a stock's way of being measured lacks or has too much. */
function formProblems(written: WrittenStock, field: string): Problem[] {
  const { kind, width, length, corners, sides } = written
  const missing = (name: string, cure: string): Problem => ({
    code: 'missing',
    field: `${field}.${name}`,
    value: 'not given',
    limit: 'it is needed',
    cure,
  })
  const odd = [corners && 'corners', sides && 'sides'].filter((name) => name !== undefined)
  if (kind !== 'offcut' && odd.length > 0) {
    const limit = `a ${kind} is a rectangle of width and length`
    return [{ code: 'wrong_kind', field: `${field}.${odd[0]}`, value: 'given', limit, cure: 'Make it an offcut.' }]
  }
  if (odd.length === 0) {
    const cure = kind === 'offcut' ? 'Give width and length, corners, or sides.' : ''
    return [
      ...(width === undefined ? [missing('width', cure || 'Add width.')] : []),
      ...(length === undefined ? [missing('length', cure || 'Add length.')] : []),
    ]
  }
  if (odd.length > 1 || width !== undefined || length !== undefined) {
    const value = `given beside ${odd[0]}`
    const limit = 'an offcut is measured in one way'
    const twice = odd.length > 1 ? 'sides' : width !== undefined ? 'width' : 'length'
    return [{ code: 'contradiction', field: `${field}.${twice}`, value, limit, cure: 'Take one of them out.' }]
  }
  if (sides) return fourSidedProblems(sixOf(sides)).map((p) => ({ ...p, field: `${field}.sides.${p.field}` }))
  const ring = cornersOf(written) ?? []
  const path = polyline(ring, true)
  if (selfCrossing(path)) {
    const value = 'crossing itself'
    const cure = 'Give the corners in turn, once round.'
    return [{ code: 'crosses_itself', field: `${field}.corners`, value, limit: 'an edge goes once round', cure }]
  }
  const area = Math.abs(signedArea(path))
  if (area >= leastArea) return []
  const { low, high } = boundsOf([path])
  const value = `${inMm(boxWidth({ low, high }))} x ${inMm(boxHeight({ low, high }))}, ${area.toFixed(0)} mm^2`
  const cure = 'Check the unit.'
  return [{ code: 'too_small', field: `${field}.corners`, value, limit: `the least is ${leastArea} mm^2`, cure }]
}

/** Stocks that share a name, told at the later one. */
export function sameStockNames(stocks: readonly { readonly name: string }[], field: string): Problem[] {
  return repeats(stocks.map(({ name }) => name.toLowerCase())).map(({ at, first }) => {
    const limit = `${field}[${first}] has that name, and film is taken by its name`
    const value = `"${stocks[at]?.name}"`
    return { code: 'same_name', field: `${field}[${at}].name`, value, limit, cure: 'Use another name.' }
  })
}
