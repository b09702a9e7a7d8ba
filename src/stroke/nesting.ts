import Flatbush from 'flatbush'
import { signedArea } from '../geometry/area.ts'
import { type Box, boundsOf } from '../geometry/bounds.ts'
import { toChord } from '../geometry/chord.ts'
import { flatten } from '../geometry/flatten.ts'
import { endOf, type Path } from '../geometry/path.ts'
import { between, distance, type Point } from '../geometry/point.ts'

/** Chords that stand for the lines, mm, and how near to a line a point says nothing about its sides, mm. */
const fine = 0.005
const hair = 0.02

/** A closed line to ask whether points lie inside. */
interface Loop {
  readonly number: number
  readonly box: Box
  readonly area: number
  /** 1 inside, -1 outside, 0 on the line or within a hair of it */
  readonly side: (p: Point) => 1 | 0 | -1
}

/**
 * Of each path, the closed ones that it lies inside of without another between, by number. A path lies inside where no
 * point of it is outside and some are not on the line. Two lines that cross, or are one and the same, are beside each
 * other.
 */
export function enclosing(paths: readonly Path[]): number[][] {
  const loops = paths.flatMap((path, number) => (path.closed && path.segments.length > 0 ? [loopOf(path, number)] : []))
  if (loops.length === 0) return paths.map(() => [])
  const index = new Flatbush(loops.length)
  for (const { box } of loops) index.add(box.low.x, box.low.y, box.high.x, box.high.y)
  index.finish()
  const loopBy = new Map(loops.map((loop) => [loop.number, loop]))
  const all = paths.map((path, number): Set<number> => {
    const own = loopBy.get(number)
    const box = own?.box ?? boundsOf([path])
    const places = placesOn(path)
    const round = index
      .search(box.low.x, box.low.y, box.high.x, box.high.y)
      .flatMap((i) => loops[i] ?? [])
      .filter((loop) => loop.number !== number && holds(loop.box, box) && (!own || own.area < loop.area))
      .filter((loop) => liesInside(places, loop))
    return new Set(round.map((loop) => loop.number))
  })
  // Only the nearest: what lies round one of those lies round this too.
  return all.map((round) => [...round].filter((far) => ![...round].some((other) => all[other]?.has(far))))
}

const holds = (outer: Box, inner: Box): boolean =>
  inner.low.x > outer.low.x - hair &&
  inner.low.y > outer.low.y - hair &&
  inner.high.x < outer.high.x + hair &&
  inner.high.y < outer.high.y + hair

/** Corners of the chords and places between them, closely enough that no crossing of a hair's depth is passed over. */
function placesOn(path: Path): Point[] {
  const corners = flatten(path, fine)
  const round = path.closed ? [...corners, path.start] : corners
  if (round.length === 1) return [endOf(path)]
  return round.slice(1).flatMap((q, i) => {
    const p = round[i] ?? q
    const parts = Math.min(16, 2 + Math.floor(distance(p, q) / 20))
    return Array.from({ length: parts }, (_, k) => between(p, q, k / parts))
  })
}

function liesInside(places: readonly Point[], { side }: Loop): boolean {
  let inside = false
  for (const p of places) {
    const own = side(p)
    if (own < 0) return false
    if (own > 0) inside = true
  }
  return inside
}

function loopOf(path: Path, number: number): Loop {
  const corners = flatten(path, fine)
  const index = new Flatbush(corners.length)
  const edge = (i: number): [Point, Point] => [corners[i] as Point, corners[(i + 1) % corners.length] as Point]
  for (let i = 0; i < corners.length; i++) {
    const [a, b] = edge(i)
    index.add(Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y))
  }
  index.finish()
  const box = boundsOf([path])
  const side = (p: Point): 1 | 0 | -1 => {
    const isNear = (i: number) => toChord(p, ...edge(i)) < hair
    if (index.search(p.x - hair, p.y - hair, p.x + hair, p.y + hair).some(isNear)) return 0
    let inside = false
    for (const i of index.search(p.x, p.y, box.high.x, p.y)) {
      const [a, b] = edge(i)
      if (a.y > p.y !== b.y > p.y && a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x) > p.x) inside = !inside
    }
    return inside ? 1 : -1
  }
  return { number, box, area: Math.abs(signedArea(path)), side }
}
