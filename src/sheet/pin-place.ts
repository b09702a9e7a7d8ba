import { type Box, boundsOf } from '../geometry/bounds.ts'
import { polyline } from '../geometry/path.ts'
import type { Rings } from '../geometry/polygon.ts'
import { mapPoint } from '../geometry/transform.ts'
import type { Panel } from '../panel/panel.ts'
import { type Keeping, lyingOn } from './beds.ts'
import { pieceRings } from './piece-region.ts'
import { lieMatrix, originOf } from './placing.ts'
import type { Pin } from './sheet.ts'
import type { Stock } from './stock.ts'

/** mm by which a place set by hand may be off and still keep its distances. */
const pinSlack = 0.05

/** What a pinned panel takes up on the film, with the room that it keeps. */
export function pinnedRings(
  panel: Panel,
  { x, y, angle }: { readonly x: number; readonly y: number; readonly angle: number },
  room: number,
): Rings {
  const matrix = lieMatrix(angle, x, y)
  return pieceRings(panel, Math.max(0, room - pinSlack), false).map((ring) => ring.map((p) => mapPoint(matrix, p)))
}

const boxOf = (rings: Rings): Box => boundsOf(rings.map((ring) => polyline(ring, true)))

/**
 * The place nearest to a pin where the panel lies inside the box round all of its film that can be cut: a legal one on
 * rectangles. The pin itself where it names film that there is not, or the panel is bigger than that box.
 */
export function nearestPin(panel: Panel, pin: Pin, stocks: readonly Stock[], keeping: Keeping): Pin {
  const stock = stocks.find(({ name }) => name === pin.stock) ?? stocks[0]
  const lying = stock && lyingOn(stock, keeping, pin.sheet, true).find(({ ofStock }) => ofStock === pin.sheet)
  if (!lying) return pin
  const film = boxOf([lying.bed.region.outer])
  const own = boxOf(pinnedRings(panel, { ...originOf(panel, pin), angle: pin.angle }, keeping.room))
  const shift = (axis: 'x' | 'y') => {
    // a little farther in, since a person's places are told to a tenth of a mm
    const [up, down] = [film.low[axis] - own.low[axis] + pinSlack, film.high[axis] - own.high[axis] - pinSlack]
    if (up > down) return up > down + 2 * pinSlack ? undefined : (up + down) / 2
    return Math.max(up, Math.min(0, down))
  }
  const [x, y] = [shift('x'), shift('y')]
  return x === undefined || y === undefined ? pin : { ...pin, x: pin.x + x, y: pin.y + y }
}
