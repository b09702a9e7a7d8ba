import { type Box, boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { flatten } from '../geometry/flatten.ts'
import { polyline, rectangle } from '../geometry/path.ts'
import { type Point, point } from '../geometry/point.ts'
import { difference, intersection, type Rings, ringsArea, ringsOf, simplified, withRoom } from '../geometry/polygon.ts'
import { mapPoint } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import { largestRectangle } from './largest-rectangle.ts'
import { regionsOf } from './regions.ts'
import type { Placed, Sheet } from './sheet.ts'
import { edgeOf } from './stock.ts'

/** The least rectangle in an offcut that is worth keeping, mm. */
export interface Least {
  readonly short: number
  readonly long: number
}

/** A piece of film that is left of a sheet and worth keeping, where it lies on the sheet, mm. */
export interface Offcut {
  /** counter-clockwise */
  readonly outline: readonly Point[]
  /** the largest rectangle in it */
  readonly box: Box
  readonly badSpots: readonly (readonly Point[])[]
}

/** What is left of a sheet once its pieces are out; all areas in mm^2. */
export interface LeftOver {
  /** of the film that is taken: of a roll the length that is cut off it */
  readonly taken: number
  /** of the pieces, without their openings */
  readonly film: number
  readonly rectangle: Box | undefined
  /** kept apart by straight cuts; none overlaps another */
  readonly keep: readonly Offcut[]
}

/** Chords of curves, mm, what is left beside a cut, and how far an outline is made plainer. */
const rough = 0.2
const beside = 1
const plainer = 0.7
/** No more offcuts than this are kept of one sheet (common practice, no source). */
const mostKept = 3

/** The film that a sheet takes and that of it which is pieces without their openings, mm^2. */
export function filmOf({ stock, length, pieces }: Sheet): Pick<LeftOver, 'taken' | 'film'> {
  return { taken: ringsArea([edgeOf(stock, length)]), film: ringsArea(pieces.flatMap(filmRings)) }
}

/** What is left of a sheet, and what of that is worth keeping: on no roll its end whole, then rectangles, greatest first. */
export function leftOver(sheet: Sheet, least: Least): LeftOver {
  const { stock, length, pieces } = sheet
  const edge = edgeOf(stock, length)
  const cut = pieces.flatMap((piece) => simplified(withRoom([placedRing(piece)], beside), plainer))
  const free = difference(difference([edge], cut), stock.badSpots)
  const keep = stock.kind === 'roll' ? [] : restOf(sheet, edge, least)
  let left = difference(
    free,
    keep.map(({ outline }) => outline),
  )
  const whole = largestRectangle(free)
  const rectangles: Offcut[] = []
  while (keep.length + rectangles.length < mostKept) {
    const found = keep.length + rectangles.length === 0 ? whole : largestRectangle(left)
    if (!found || !isWorth(found, least)) break
    const box = wholeMm(found)
    const outline = flatten(rectangle(box.low, box.high))
    rectangles.push({ outline, box, badSpots: [] })
    left = difference(left, [outline])
  }
  return {
    ...filmOf(sheet),
    rectangle: whole,
    keep: [...keep, ...rectangles],
  }
}

/** Rounded inward, so that a person marks out whole millimetres. */
const wholeMm = ({ low, high }: Box): Box => ({
  low: point(Math.ceil(low.x - 1e-6), Math.ceil(low.y - 1e-6)),
  high: point(Math.floor(high.x + 1e-6), Math.floor(high.y + 1e-6)),
})

function isWorth(box: Box, { short, long }: Least): boolean {
  const [a, b] = [boxWidth(box), boxHeight(box)]
  return Math.min(a, b) >= short && Math.max(a, b) >= Math.max(short, long)
}

/** The film of a sheet or an offcut past its last piece, cut off straight across, with its own edge and bad spots. */
function restOf({ stock, length, pieces }: Sheet, edge: readonly Point[], least: Least): Offcut[] {
  const { high } = boundsOf(pieces.map((piece) => polyline(placedRing(piece))))
  const past = Math.ceil(high.x + beside)
  const half = [
    point(past, -1),
    point(length + 1, -1),
    point(length + 1, stock.width + 1),
    point(past, stock.width + 1),
  ]
  const outline = regionsOf(intersection([edge], [half]))[0]?.outer
  if (!outline) return []
  const badSpots = stock.badSpots.filter((spot) => ringsArea(intersection([outline], [spot])) > 0)
  const box = largestRectangle(difference([outline], badSpots))
  return box && isWorth(box, least) ? [{ outline, box, badSpots }] : []
}

const placedRing = ({ panel, place }: Placed): Point[] => flatten(cutLine(panel), rough).map((p) => mapPoint(place, p))

function filmRings(piece: Placed): Rings {
  const holes = ringsOf(piece.panel.holes, rough).map((ring) => [...ring].reverse())
  return [placedRing(piece), ...holes]
}
