import { boundsOf } from '../../src/geometry/bounds.ts'
import { crossings } from '../../src/geometry/intersect.ts'
import { lineTo, openPath, type Path, type Segment } from '../../src/geometry/path.ts'
import { distance, type Point, point, subtract, unit } from '../../src/geometry/point.ts'
import type { BareEdge } from '../../src/panel/development.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import { middleOf, outlineOf } from '../flat-face.ts'
import { type RingPoint, smoothRing } from '../smooth-ring.ts'

/** Offsets from one place of the base line, mm: `left` and `right` of it as one looks along it. */
export interface Station {
  readonly along: number
  readonly left: number
  readonly right: number
  readonly corner: 'yes' | 'no'
}

type SideName = 'bottom' | 'right' | 'top' | 'left'
const order: readonly SideName[] = ['bottom', 'right', 'top', 'left']

/** A point of the outline with the name of the edge that starts there. */
interface Node extends RingPoint {
  readonly name: SideName
}

export const widthOf = ({ left, right }: Station): number => left + right

/**
 * The outline counter-clockwise, base line upright from (0, 0). A wide end has two corners and an edge of its own;
 * where both offsets are 0 the two sides meet, in a corner, or running round the end: then the `bottom` or `top` reaches
 * as far as the next station on either side.
 */
function nodesOf(stations: readonly Station[], smooth: boolean): Node[] {
  const last = stations.length - 1
  const isRound = (i: number) => smooth && stations[i]?.corner === 'no' && widthOf(stations[i] as Station) === 0
  const node = (x: number, station: Station, isEnd: boolean, name: SideName): Node => ({
    at: point(x, station.along),
    corner: !smooth || station.corner === 'yes' || (isEnd && widthOf(station) > 0),
    name,
  })
  const up = stations.map((station, i): Node => {
    const name = i === 0 && isRound(0) ? 'bottom' : i === last - 1 && isRound(last) ? 'top' : 'right'
    const own = i === last ? (widthOf(station) > 0 || isRound(last) ? 'top' : 'left') : name
    return node(station.right, station, i === 0 || i === last, own)
  })
  const down = stations.flatMap((station, i): Node[] => {
    const isEnd = i === 0 || i === last
    if (isEnd && widthOf(station) === 0) return []
    const name = i === 0 || (i === 1 && isRound(0)) ? 'bottom' : 'left'
    return [node(0 - station.left, station, isEnd, name)]
  })
  return [...up, ...down.reverse()]
}

/** The edges with the pieces between stations; each name once, `bottom` first where there is one. */
export function edgesOf(stations: readonly Station[], smooth: boolean): BareEdge[] {
  const nodes = nodesOf(stations, smooth)
  const segments = smoothRing(nodes)
  const pieces = nodes.map((node, i) => ({ node, segment: segments[i] as Segment }))
  // A name's pieces may run past the end of the list: begin where a name begins.
  const first = pieces.findIndex(({ node }, i) => node.name !== (pieces.at(i - 1) as (typeof pieces)[number]).node.name)
  const inTurn = [...pieces.slice(Math.max(0, first)), ...pieces.slice(0, Math.max(0, first))]
  return order.flatMap((name): BareEdge[] => {
    const own = inTurn.filter(({ node }) => node.name === name)
    const [start] = own
    return start ? [{ name, path: openPath(start.node.at, ...own.map(({ segment }) => segment)) }] : []
  })
}

/** The corners of the outline where it turns sharply. */
export const cornersOf = (stations: readonly Station[], smooth: boolean): Point[] =>
  nodesOf(stations, smooth)
    .filter(({ corner }) => corner)
    .map(({ at }) => at)

/** A hinge keeps this far from a corner, mm, so that its tick can be found and cut (common practice, no source). */
const clear = 4

/**
 * The line to hang the face from: from the middle of its bottom to the middle of its top; where that leaves the face,
 * or where it has no bottom or top, the longest stretch of an upright line near its middle, clear of corners.
 */
export function hingeOf(edges: readonly BareEdge[], corners: readonly Point[]): Stretch {
  const outline = outlineOf(edges)
  const [bottom, top] = ['bottom', 'top'].map((name) => edges.find((edge) => edge.name === name)?.path)
  if (bottom && top) {
    const line = { from: middleOf(bottom), to: middleOf(top) }
    const met = crossings(outline, line.from, unit(subtract(line.to, line.from)))
    if (met.length === 2) return line
  }
  const { low, high } = boundsOf([outline])
  const shares = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7].map((k) => 0.5 + k * 0.06)
  const lines = shares.flatMap((share) => longestUpright(outline, low.x + share * (high.x - low.x)))
  const isClear = ({ from, to }: Stretch) => corners.every((c) => distance(c, from) > clear && distance(c, to) > clear)
  const longest = Math.max(...lines.map((line) => distance(line.from, line.to)))
  const good = lines.filter((line) => distance(line.from, line.to) > 0.6 * longest)
  return good.find(isClear) ?? good[0] ?? { from: low, to: high }
}

function longestUpright(outline: Path, x: number): Stretch[] {
  const met = crossings(outline, point(x, 0), point(0, 1))
  if (met.length % 2 === 1) return []
  const stretches = met.flatMap(({ at }, i) => {
    const next = met[i + 1]
    return i % 2 === 0 && next ? [{ from: at, to: next.at }] : []
  })
  return stretches.sort((a, b) => distance(b.from, b.to) - distance(a.from, a.to)).slice(0, 1)
}

/** The base line from the first station to the last. */
export function baseLine(stations: readonly Station[]): Path {
  const [low, high] = [stations[0], stations.at(-1)]
  return openPath(point(0, low?.along ?? 0), lineTo(point(0, high?.along ?? 0)))
}
