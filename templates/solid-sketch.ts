import { roundedCorners } from '../src/geometry/edges.ts'
import { flatten } from '../src/geometry/flatten.ts'
import { pathLength, stationAt } from '../src/geometry/length.ts'
import { lineTo, openPath, type Path, polyline } from '../src/geometry/path.ts'
import { add, type Point, point, scaled, subtract, unit } from '../src/geometry/point.ts'
import type { Development } from '../src/panel/development.ts'
import type { Stretch } from '../src/panel/panel.ts'
import type { Drawn, Words } from '../src/picture/picture.ts'
import { filmOnObject } from './film-on-object.ts'
import { type Place, place } from './triangulate.ts'

/** How far a place `y` mm towards the back is drawn to the right and up, as shares: a cabinet drawing. */
const aside = 0.45
const rise = 0.32

/** Where a place on an object comes to lie on paper, before scale. */
export const lies = ({ x, y, z }: Place): Point => point(x + aside * y, z + rise * y)

/** An upright solid, mm: its sharp corners seen from above, counter-clockwise from the front's left end. */
export interface Solid {
  readonly corners: readonly Point[]
  readonly radius: number
  readonly height: number
}

/** An upright solid on paper, and where its places come to lie. */
export interface DrawnSolid {
  readonly items: readonly Drawn[]
  /** where the place `p` of the plan, `up` mm above the lower edge, lies on paper */
  readonly at: (p: Point, up: number) => Point
  /** the place of the plan `along` mm round from the left end of the front's flat stretch, to the right */
  readonly round: (along: number) => Point
  /** can the side be seen there? */
  readonly shows: (along: number) => boolean
  readonly low: Point
  readonly high: Point
}

/** Can the outer side of the stretch from `a` to `b`, counter-clockwise, be seen? */
const seen = (a: Point, b: Point) => {
  const way = subtract(b, a)
  return way.y * aside + way.x > 0
}

/** The solid in a box of `room` on paper, its lower left corner at `low`; the way round at half height in dashes. */
export function drawSolid({ corners, radius, height }: Solid, low: Point, room: Point): DrawnSolid {
  const plan = roundedCorners(
    polyline(corners, true),
    corners.map(() => radius),
  )
  const ring = flatten(plan, 0.05).filter((p, i, all) => {
    const next = all[(i + 1) % all.length]
    return next && Math.hypot(p.x - next.x, p.y - next.y) > 1e-9
  })
  const spread = [...ring, ...corners].map((p) => lies(place(p.x, p.y, 0)))
  const left = Math.min(...spread.map((p) => p.x))
  const bottom = Math.min(...spread.map((p) => p.y))
  const wide = Math.max(...spread.map((p) => p.x)) - left
  const tall = Math.max(...spread.map((p) => p.y)) - bottom + height
  const scale = Math.min(room.x / wide, room.y / tall)
  const at = (p: Point, up: number) => {
    const { x, y } = lies(place(p.x, p.y, up))
    return point(low.x + scale * (x - left), low.y + scale * (y - bottom))
  }

  const items: Drawn[] = []
  const draw = (path: Path, style: Drawn['style']) => items.push({ kind: 'drawn', path, style })
  const chords = ring.map((p, i) => [p, ring[(i + 1) % ring.length] ?? p] as const)
  const first = Math.max(
    0,
    chords.findIndex(([a, b], i) => seen(a, b) && !seen(...(chords.at(i - 1) ?? [a, b]))),
  )
  const inOrder = [...chords.slice(first), ...chords.slice(0, first)]
  const front = inOrder.filter(([a, b]) => seen(a, b))
  const back = inOrder.filter(([a, b]) => !seen(a, b))
  const run = (part: typeof chords, up: number) =>
    polyline([...part.slice(0, 1).map(([a]) => at(a, up)), ...part.map(([, b]) => at(b, up))])
  draw(
    polyline(
      ring.map((p) => at(p, height)),
      true,
    ),
    'object',
  )
  draw(run(front, 0), 'object')
  draw(run(back, 0), 'hidden')
  draw(run(front, height / 2), 'bare')
  const ends = [front[0]?.[0], front.at(-1)?.[1]].filter((p) => p !== undefined)
  for (const p of ends) draw(openPath(at(p, 0), lineTo(at(p, height))), 'object')
  if (radius === 0) {
    const near = front.slice(0, -1).map(([, b]) => b)
    const far = back.slice(0, -1).map(([, b]) => b)
    for (const p of near) draw(openPath(at(p, 0), lineTo(at(p, height))), 'object')
    for (const p of far) draw(openPath(at(p, 0), lineTo(at(p, height))), 'hidden')
  }
  const whole = pathLength(plan)
  const station = (along: number) => stationAt(plan, ((along % whole) + whole) % whole)
  const turn = (2 * Math.PI) / corners.length
  const reach = radius / Math.cos(turn / 2) - radius
  corners.forEach((corner, i) => {
    // The middle of the rounding stands in from the sharp corner towards the middle of its neighbours.
    const [a, b] = [corners.at(i - 1) ?? corner, corners[(i + 1) % corners.length] ?? corner]
    const inward = add(unit(subtract(a, corner)), unit(subtract(b, corner)))
    const p = add(corner, scaled(unit(inward), reach))
    if (radius > 0 && seen(a, corner) && seen(corner, b)) draw(openPath(at(p, 0), lineTo(at(p, height))), 'bare')
  })
  return {
    items,
    at,
    round: (along) => station(along).at,
    shows: (along) => seen(point(0, 0), station(along).heading),
    low,
    high: point(low.x + scale * wide, low.y + scale * tall),
  }
}

/** A thin line from `from` to words beside its end `to`. */
export function leader(from: Point, to: Point, text: string): (Drawn | Words)[] {
  const right = to.x >= from.x
  return [
    { kind: 'drawn', style: 'dimension', path: openPath(from, lineTo(to)) },
    {
      kind: 'words',
      at: point(to.x + (right ? 1 : -1), to.y - 1.4),
      text,
      size: 4,
      anchor: right ? 'start' : 'end',
      turn: 0,
    },
  ]
}

/** A sleeve on a solid: its film from the place `from` of the way round to the place `to`, mm. */
export interface SolidSleeve {
  readonly film: Development
  readonly hung: Stretch
  readonly from: number
  readonly to: number
  readonly height: number
}

/** The film of a sleeve on its solid, with the word beside a hinge that is seen. */
export function sleeveOn({ at, round, shows }: DrawnSolid, sleeve: SolidSleeve): (Drawn | Words)[] {
  const { film, hung, from, to, height } = sleeve
  const wrap = {
    place: (p: Point) => ({ round: (from + to) / 2 + p.x, up: p.y + height / 2 }),
    low: () => 0,
    high: () => height,
  }
  const items = filmOnObject(film, hung, wrap, { at: (along, up) => at(round(along), up), shows })
  const along = wrap.place(hung.to).round
  const [foot, head] = [at(round(along), 0), at(round(along), height)]
  const name: Words = {
    kind: 'words',
    at: point(head.x + 2, head.y - 6),
    text: 'hinge',
    size: 4,
    anchor: 'start',
    turn: 0,
  }
  return [...items, ...(shows(along) && head.y - foot.y > 24 ? [name] : [])]
}
