import { type Box, boundsOf, insetBox } from '../geometry/bounds.ts'
import { polyline } from '../geometry/path.ts'
import { type Point, point } from '../geometry/point.ts'
import { mapPoint } from '../geometry/transform.ts'
import { type Placed, type Sheet, usableBox } from './sheet.ts'

/** Arm of a lining-up cross, mm, and how far its middle is from the edge of what can be used, 1 mm more. */
export const crossArm = 4
export const crossInset = crossArm + 1
/** Length kept free at both ends of a sheet for the lining-up crosses, mm. */
export const crossSpace = 2 * crossArm + 4
/** From the middle of a cross, what is kept free of film and slits, mm: its arm and 3 mm. */
export const crossRoom = crossArm + 3

/**
 * The middles of the two crosses of a rectangular sheet, in the lengths kept free at its ends: half and a third of the
 * way up so that a sheet laid wrong way up shows, or as near to that as slits of pieces leave room.
 */
export function crossPlaces(
  sheet: Pick<Sheet, 'length' | 'width' | 'reached' | 'margin'>,
  pieces: readonly Placed[],
): Point[] {
  const { low, high } = insetBox(usableBox(sheet), crossInset)
  const reach = sheet.reached.high.y
  const slits = pieces.flatMap(({ panel, place }) =>
    panel.slits.map(({ from, to }) => boundsOf([polyline([mapPoint(place, from), mapPoint(place, to)])])),
  )
  const isFree = ({ x, y }: Point) =>
    !slits.some(
      ({ low, high }) =>
        low.x < x + crossRoom && high.x > x - crossRoom && low.y < y + crossRoom && high.y > y - crossRoom,
    )
  const found: Point[] = []
  for (const { x, share } of [
    { x: low.x, share: 1 / 2 },
    { x: high.x, share: 1 / 3 },
  ]) {
    const wanted = point(x, reach * share)
    const room = Math.max(0, high.y - low.y)
    const steps = Array.from({ length: Math.floor(room / crossRoom) + 1 }, (_, i) => i * crossRoom)
    const places = steps.flatMap((step) => [step, -step].map((by) => point(x, wanted.y + by)))
    const apart = (p: Point) => found.every((other) => Math.abs(other.y - p.y) > Math.min(crossRoom, reach / 12))
    const inside = ({ y }: Point) => y >= low.y - 1e-9 && y <= high.y + 1e-9
    found.push(places.find((p) => inside(p) && isFree(p) && apart(p)) ?? wanted)
  }
  return found
}

/**
 * The middles of two crosses in the lower left and the upper right corner of what can be used of a sheet, the second
 * lower by a cross's room so that a sheet laid wrong way up shows; none where there is no such room.
 */
export function cornerPlaces(usable: Box): Point[] {
  const { low, high } = insetBox(usable, crossInset)
  const step = 2 * crossRoom
  return high.x - low.x > step && high.y - low.y > 2 * step ? [low, point(high.x, high.y - step)] : []
}
