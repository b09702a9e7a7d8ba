import { type Box, boundsOf, boxesMeet } from '../geometry/bounds.ts'
import { polyline } from '../geometry/path.ts'
import { add, between, distance, dot, type Point, scaled, subtract } from '../geometry/point.ts'
import { difference, intersection, type Rings, thickened } from '../geometry/polygon.ts'
import { hullOf } from './nest/rings.ts'
import { isIn } from './regions.ts'
import type { Scrap } from './scrap.ts'

/** It is first looked so many times the size of what is to be laid down round the place. */
const firstLook = 4
/** Lines on scrap are so wide to both sides, mm. */
const hairline = 0.01
/** Each look after that goes so much farther. */
const farther = 4

/**
 * Where a convex ring, mm, can be laid down on scrap as it stands, without turning it, as near as may be to where it
 * lies; by how much it is moved for that. Undefined where there is no room for it.
 */
export function freePlace(room: readonly Point[], { film, taken, lines }: Omit<Scrap, 'margin'>): Point | undefined {
  if (film.length === 0) return undefined
  const middle = centreOf(room)
  const shape = room.map((p) => subtract(p, middle))
  const size = Math.max(...shape.map(({ x, y }) => Math.hypot(x, y)))
  const whole = boxOf(film)
  const [rings, ways] = [
    taken.map((own) => ({ own, box: boxOf(own) })),
    lines.map((own) => ({ own, box: boxOf([own]) })),
  ]
  for (let look = firstLook * size; ; look *= farther) {
    const box = about(middle, look)
    const near = rings.flatMap((each) => (boxesMeet(box, each.box) ? each.own : []))
    const crossed = ways.flatMap((each) => (boxesMeet(box, each.box) ? [each.own] : []))
    const free = difference(intersection(film, [corners(box)]), [...near, ...thickened(crossed, hairline)])
    const at = nearestIn(placesFor(shape, free), middle)
    const isWhole = isInside(whole, box)
    // A place nearer than what was looked at is the nearest of all.
    if (at && (isWhole || distance(at, middle) + size <= look)) return subtract(at, middle)
    if (isWhole) return undefined
  }
}

/** Where the middle of a convex ring about 0, 0 may lie so that all of it is in the free rings. */
function placesFor(shape: readonly Point[], free: Rings): Rings {
  const flipped = shape.map((p) => scaled(p, -1))
  const near = free.flatMap((ring) =>
    ring.map((b, i) => {
      const a = ring.at(i - 1) as Point
      return hullOf(flipped.flatMap((p) => [add(p, a), add(p, b)]))
    }),
  )
  return difference(free, near)
}

/** The place in rings, edges included, that is nearest to another. */
function nearestIn(rings: Rings, to: Point): Point | undefined {
  if (rings.filter((ring) => isIn(ring, to)).length % 2 === 1) return to
  let nearest: Point | undefined
  for (const ring of rings) {
    ring.forEach((b, i) => {
      const at = nearestOn(ring.at(i - 1) as Point, b, to)
      if (!nearest || distance(at, to) < distance(nearest, to)) nearest = at
    })
  }
  return nearest
}

function nearestOn(a: Point, b: Point, to: Point): Point {
  const way = subtract(b, a)
  const square = dot(way, way)
  return square === 0 ? a : between(a, b, Math.max(0, Math.min(1, dot(subtract(to, a), way) / square)))
}

const boxOf = (rings: Rings): Box => boundsOf(rings.map((ring) => polyline(ring)))

const about = ({ x, y }: Point, by: number): Box => ({ low: { x: x - by, y: y - by }, high: { x: x + by, y: y + by } })

const corners = ({ low, high }: Box): Point[] => [low, { x: high.x, y: low.y }, high, { x: low.x, y: high.y }]

const isInside = (a: Box, b: Box): boolean =>
  a.low.x >= b.low.x && a.low.y >= b.low.y && a.high.x <= b.high.x && a.high.y <= b.high.y

function centreOf(ring: readonly Point[]): Point {
  const { low, high } = boxOf([ring])
  return between(low, high, 0.5)
}
