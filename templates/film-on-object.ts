import { flatten } from '../src/geometry/flatten.ts'
import { pathLength, stationAt } from '../src/geometry/length.ts'
import { lineTo, openPath, type Path, polyline } from '../src/geometry/path.ts'
import { add, between, distance, type Point, scaled, subtract, unit } from '../src/geometry/point.ts'
import type { Development } from '../src/panel/development.ts'
import type { Stretch } from '../src/panel/panel.ts'
import type { Drawn, PicturePart } from '../src/picture/picture.ts'

/** A place on the side of an object: how far round, in what `Seen` counts by, and how far up, mm. */
export interface OnSide {
  readonly round: number
  readonly up: number
}

/** How the side of an object comes to lie in a picture. */
export interface Seen {
  readonly at: (round: number, up: number) => Point
  /** is the side there turned to the onlooker? */
  readonly shows: (round: number) => boolean
}

/** Where film lies on the side of an object. */
export interface Wrap {
  readonly place: (p: Point) => OnSide
  /** how far up the measured edges of the film stand at a place round the object, mm */
  readonly low: (p: Point) => number
  readonly high: (p: Point) => number
}

/** Steps in which a line of the flat panel is carried onto the object, mm of the panel. */
const step = 2
/** Length of a mark on the picture, mm. */
const mark = 5

/**
 * Film as it lies on its object: side edges, openings and the hinge with its marks, all carried there from the flat panel.
 * What is turned away is hidden.
 * @param hung where the panel hangs, on the flat panel
 */
export function filmOnObject(film: Development, hung: Stretch, wrap: Wrap, seen: Seen): Drawn[] {
  const sides = film.edges.filter(({ name }) => name === 'left' || name === 'right')
  const carried = (path: Path, part: PicturePart) => inRuns(stepsOf(path).map(wrap.place), 'object', part, seen)
  // The hinge goes as far as the object's measured edges, not onto film that stands past them.
  const hinge = Array.from({ length: 33 }, (_, i) => {
    const p = between(hung.from, hung.to, i / 32)
    const { round, up } = wrap.place(p)
    return { round, up: Math.max(wrap.low(p), Math.min(wrap.high(p), up)) }
  })
  const ends = [hinge[0], hinge.at(-1)].filter((end) => end !== undefined)
  return [
    ...sides.flatMap(({ name, path }) => carried(path, name === 'left' ? 'left edge' : 'right edge')),
    ...film.holes.flatMap(({ path }) => carried(path, 'opening')),
    ...inRuns(hinge, 'hinge', 'hinge', seen),
    ...ends.map((end, i): Drawn => {
      const at = seen.at(end.round, end.up)
      const other = ends[1 - i] ?? end
      const towards = subtract(seen.at(other.round, other.up), at)
      const long = Math.min(mark, Math.hypot(towards.x, towards.y) / 3)
      const path = openPath(at, lineTo(add(at, scaled(unit(towards), long))))
      // The upper one is seen over the rim even where the side is turned away.
      return { kind: 'drawn', style: i === 1 || seen.shows(end.round) ? 'tick' : 'hidden', part: 'mark', path }
    }),
  ]
}

/** Places along a path; of a closed one the first again at the end. */
function stepsOf(path: Path): Point[] {
  if (!path.closed) {
    const length = pathLength(path)
    const count = Math.max(1, Math.ceil(length / step))
    return Array.from({ length: count + 1 }, (_, i) => stationAt(path, (length * i) / count).at)
  }
  const ring = flatten(path, 0.05)
  const closed = [...ring, ...ring.slice(0, 1)]
  return closed.flatMap((p, i) => {
    const next = closed[i + 1]
    if (!next) return [p]
    const count = Math.max(1, Math.ceil(distance(p, next) / step))
    return Array.from({ length: count }, (_, k) => between(p, next, k / count))
  })
}

/** A line on the object in stretches that are seen, and stretches that are hidden. */
function inRuns(places: readonly OnSide[], style: Drawn['style'], part: PicturePart, { at, shows }: Seen): Drawn[] {
  const runs: { points: Point[]; isSeen: boolean }[] = []
  places.slice(1).forEach((to, i) => {
    const from = places[i] ?? to
    const isSeen = shows((from.round + to.round) / 2)
    const last = runs.at(-1)
    if (last && last.isSeen === isSeen) last.points.push(at(to.round, to.up))
    else runs.push({ points: [at(from.round, from.up), at(to.round, to.up)], isSeen })
  })
  return runs.map(({ points, isSeen }) => ({
    kind: 'drawn',
    style: isSeen ? style : 'hidden',
    part,
    path: polyline(points),
  }))
}
