import { signedArea } from './area.ts'
import { type Box, boundsOf, boxesMeet } from './bounds.ts'
import { pointInside } from './inside.ts'
import { pathLength, pathPart, stationAt } from './length.ts'
import { meetings } from './meet.ts'
import { type Path, pieces, polyline, reversed, type Segment } from './path.ts'
import { distance, dot, type Point, turnBetween } from './point.ts'
import { ringsOf, union } from './polygon.ts'
import { segmentHeading, segmentLength } from './segment.ts'
import { selfCrossing } from './valid.ts'

/** What closed paths fill together by the non-zero rule. */
export interface Filled {
  /** closed simple lines with what is filled to their left: outer ones counter-clockwise, counters clockwise */
  readonly paths: readonly Path[]
  /** Was an outline that crosses itself, or is only touched, worked out on chords instead of its own curves? */
  readonly flattened: boolean
}

/** Chords that stand for an outline that crosses itself, mm. */
const fine = 0.005
/** Two places, or the middles of two stretches, nearer than this are one, mm. */
const onePlace = 1e-6
/** A piece shorter than this is left out, mm. */
const nothing = 1e-7

/**
 * The lines round what closed paths fill together, either way round: a point is filled where they wind round it. Lines,
 * arcs and cubics stay what they are, cut where two paths meet.
 */
export function filledBy(paths: readonly Path[]): Filled {
  const groups = nearGroups(paths)
  const each = groups.map((group): Filled => {
    const exact = group.some((path) => selfCrossing(path)) ? undefined : boundary(group)
    if (exact) return { paths: exact, flattened: false }
    return { paths: union(ringsOf(group, fine), []).map((ring) => polyline(ring, true)), flattened: true }
  })
  return { paths: each.flatMap((one) => one.paths), flattened: each.some((one) => one.flattened) }
}

/** Paths that may have to do with each other, by the boxes round them, in the order of their first. */
function nearGroups(paths: readonly Path[]): Path[][] {
  let groups: { paths: Path[]; boxes: Box[] }[] = []
  for (const path of paths) {
    const box = boundsOf([path])
    const isNear = ({ boxes }: { boxes: readonly Box[] }) => boxes.some((other) => boxesMeet(box, other, onePlace))
    const own = groups.filter(isNear)
    const grown = { paths: [...own.flatMap((g) => g.paths), path], boxes: [...own.flatMap((g) => g.boxes), box] }
    const at = groups.findIndex(isNear)
    if (at < 0) groups.push(grown)
    else groups = groups.flatMap((group, i) => (i === at ? [grown] : own.includes(group) ? [] : [group]))
  }
  return groups.map((group) => group.paths)
}

/** A path with how it winds: 1 counter-clockwise, -1 clockwise. */
interface Contour {
  readonly path: Path
  readonly hand: 1 | -1
  readonly box: Box
}

/** A stretch of a contour between two nodes; one that meets nothing has no nodes. */
interface Stretch {
  readonly contour: Contour
  readonly from: number | undefined
  readonly to: number | undefined
  readonly path: Path
  readonly length: number
  readonly middle: Point
}

function boundary(paths: readonly Path[]): Path[] | undefined {
  const contours = paths.map((path): Contour => {
    return { path, hand: signedArea(path) < 0 ? -1 : 1, box: boundsOf([path]) }
  })
  const all = cutAtNodes(contours)
  const kept: Stretch[] = []
  for (const [i, own] of all.entries()) {
    const same = all.flatMap((other, j) => {
      const way = j === i ? 1 : sameWay(own, other)
      return way === 0 ? [] : [{ j, way, contour: other.contour }]
    })
    // Of stretches that several contours have in common the first stands for all.
    if (same.some(({ j }) => j < i)) continue
    const others = contours.filter((c) => !same.some(({ contour }) => contour === c))
    const beside = others.reduce((sum, c) => sum + (windsRound(c, own.middle) ? c.hand : 0), 0)
    // On the right of a counter-clockwise contour is its outside, on the right of a clockwise one its inside.
    const right = same.reduce((sum, { way, contour }) => sum + (way === contour.hand ? 0 : contour.hand), beside)
    const left = same.reduce((sum, { way }) => sum + way, right)
    if ((left !== 0) === (right !== 0)) continue
    kept.push(left !== 0 ? own : { ...own, from: own.to, to: own.from, path: reversed(own.path) })
  }
  return chained(kept)
}

/** 1 where two stretches are one and the same, -1 where they run against each other, else 0. */
function sameWay(one: Stretch, other: Stretch): 0 | 1 | -1 {
  if (one.contour === other.contour || one.from === undefined || other.from === undefined) return 0
  if (Math.abs(one.length - other.length) > onePlace || distance(one.middle, other.middle) > onePlace) return 0
  // A stretch from a node back to it has its way told by the heading in its middle.
  if (one.from === one.to) {
    const [u, v] = [one, other].map(({ path, length }) => stationAt(path, length / 2).heading)
    return other.from === one.from && other.to === one.to ? (u && v && dot(u, v) > 0 ? 1 : -1) : 0
  }
  if (one.from === other.from && one.to === other.to) return 1
  return one.from === other.to && one.to === other.from ? -1 : 0
}

function windsRound({ path, box }: Contour, p: Point): boolean {
  const isNear = p.x >= box.low.x && p.x <= box.high.x && p.y >= box.low.y && p.y <= box.high.y
  return isNear && pointInside(path, p)
}

/** Every contour cut where it meets another; places within a hair of each other are one node. */
function cutAtNodes(contours: readonly Contour[]): Stretch[] {
  const nodes: Point[] = []
  const nodeAt = (p: Point): number => {
    const found = nodes.findIndex((q) => distance(p, q) < onePlace)
    return found < 0 ? nodes.push(p) - 1 : found
  }
  const cuts = contours.map((): { on: number; node: number }[] => [])
  for (const [i, a] of contours.entries()) {
    for (const [j, b] of contours.entries()) {
      if (j <= i || !boxesMeet(a.box, b.box, onePlace)) continue
      for (const { at, onA, onB } of meetings(a.path, b.path)) {
        const node = nodeAt(at)
        cuts[i]?.push({ on: onA, node })
        cuts[j]?.push({ on: onB, node })
      }
    }
  }
  return contours.flatMap((contour, i): Stretch[] => {
    const whole = pathLength(contour.path)
    const order = (cuts[i] ?? []).sort((one, other) => one.on - other.on)
    const own = order.filter(({ on, node }, k) => {
      const before = order[k - 1]
      return !before || before.node !== node || on - before.on > 2 * onePlace
    })
    if (own.length === 0) {
      const middle = stationAt(contour.path, whole / 2).at
      return [{ contour, from: undefined, to: undefined, path: contour.path, length: whole, middle }]
    }
    return own.map((cut, k) => {
      const next = own[k + 1] ?? own[0] ?? cut
      const runs =
        k + 1 < own.length
          ? [part(contour.path, cut.on, next.on)]
          : [part(contour.path, cut.on, whole), part(contour.path, 0, next.on)]
      const path = joined(nodes[cut.node] as Point, runs.flat(), nodes[next.node] as Point)
      const length = pathLength(path)
      return { contour, from: cut.node, to: next.node, path, length, middle: stationAt(path, length / 2).at }
    })
  })
}

/** The segments between two lengths along a path, less what is too short to count. */
function part(path: Path, low: number, high: number): Segment[] {
  if (high - low < nothing) return []
  const own = [...pieces(pathPart(path, low, high))]
  return own.filter(({ from, segment }) => segmentLength(from, segment) >= nothing).map(({ segment }) => segment)
}

/** Segments as an open path that ends in `end` exactly. */
function joined(start: Point, segments: readonly Segment[], end: Point): Path {
  const last = segments.at(-1)
  const own: Segment[] = last ? [...segments.slice(0, -1), { ...last, to: end }] : [{ kind: 'line', to: end }]
  return { start, segments: own, closed: false }
}

/** Stretches end to end as closed paths; undefined where an end meets none. */
function chained(kept: readonly Stretch[]): Path[] | undefined {
  const loops = kept.filter(({ from }) => from === undefined).map(({ path }) => path)
  const left = new Set(kept.filter(({ from }) => from !== undefined))
  for (const first of left) {
    left.delete(first)
    const own = [first]
    for (let last = first; ; ) {
      const on = [first, ...left].filter(({ from }) => from === last.to)
      const next = sharpestLeft(last, on)
      if (!next) return undefined
      if (next === first) break
      left.delete(next)
      own.push(next)
      last = next
    }
    loops.push({ start: first.path.start, segments: own.flatMap(({ path }) => path.segments), closed: true })
  }
  return loops
}

/** Where several stretches go on from one place: the one that keeps what only touches there apart. */
function sharpestLeft(last: Stretch, on: readonly Stretch[]): Stretch | undefined {
  const end = [...pieces(last.path)].at(-1)
  if (!end || on.length < 2) return on[0]
  const u = segmentHeading(end.from, end.segment, 1)
  const turn = ({ path }: Stretch): number => {
    const first = path.segments[0]
    if (!first) return -Infinity
    const v = segmentHeading(path.start, first, 0)
    return turnBetween(u, v)
  }
  return on.reduce((best, one) => (turn(one) > turn(best) ? one : best))
}
