import { boundsOf } from '../../src/geometry/bounds.ts'
import { toChord } from '../../src/geometry/chord.ts'
import { deviation } from '../../src/geometry/deviation.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { endOf, type Path, polyline } from '../../src/geometry/path.ts'
import { add, between, cross, distance, dot, type Point, point, subtract, turned } from '../../src/geometry/point.ts'
import { difference } from '../../src/geometry/polygon.ts'
import { markOut } from '../../src/panel/mark-out.ts'
import type { Panel } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { follow, type Marked, type Mistake } from './follow-marks.ts'

export interface MarkingError {
  /** mm between the edge that a person gets and the true one, openings included */
  readonly edge: number
  /** mm between ticks and crosses and their true places */
  readonly ticks: number
  readonly marked: Marked
}

/** How far a panel marked out from the printed list is from the true one, laid on it as it fits best. */
export function markingError(panel: Panel, say: Say, mistake?: Mistake): MarkingError {
  const marked = follow(markOut(panel, say), mistake)
  const place = bestPlace(marked, panel)
  const film = [marked.outline.map(place)]
  const openings = marked.openings.map((ring) => ring.map(place))
  const bitten = panel.holes.length < panel.openings.length
  const rings = bitten ? difference(film, openings) : [...film, ...openings]
  const asked = [panel.outline, ...panel.holes]
  if (rings.length !== asked.length) throw new Error(`${rings.length} closed lines were marked of ${asked.length}`)
  const edge = Math.max(
    ...paired(
      asked.map((path) => polyline(flatten(path, 0.01), true)),
      rings.map((ring) => polyline(ring, true)),
    ).map(([path, ring]) => deviation(ring, path).distance),
  )
  if (marked.ticks.length !== panel.ticks.length) throw new Error('a tick is missing')
  if (marked.crosses.length !== panel.points.length) throw new Error('a cross is missing')
  const ticks = Math.max(
    0,
    ...panel.ticks.map((tick, i) => distance(tick.at, place((marked.ticks[i] as { at: Point }).at))),
    ...panel.points.map((p, i) => distance(p, place(marked.crosses[i] as Point))),
  )
  return { edge, ticks, marked }
}

/** Each closed line with the marked one that fills most nearly the same box, each of them once. */
function paired(asked: readonly Path[], rings: readonly Path[]): [Path, Path][] {
  const left = rings.map((ring) => ({ ring, box: boundsOf([ring]) }))
  return asked.map((path) => {
    const { low, high } = boundsOf([path])
    const offs = left.map(({ box }) => distance(low, box.low) + distance(high, box.high))
    const [nearest] = left.splice(offs.indexOf(Math.min(...offs)), 1)
    return [path, (nearest as (typeof left)[number]).ring]
  })
}

/**
 * Film has no zero of its own: what was marked is turned and moved to where it fits the true edge best, in the least
 * squares of 60 places, from the best, ticks looked at too, of the turns that lay its first line on one of the edges.
 */
function bestPlace({ outline, ticks }: Marked, panel: Panel): (p: Point) => Point {
  const truth = flatten(panel.outline, 0.05)
  const drawn = evenly(polyline(outline, true), 60)
  const middle = middleOf(evenly(panel.outline, 60))
  const starts = [0, ...panel.edges.map(({ outline: own }) => headingOf(subtract(endOf(own), own.start)))].map(
    (angle) => {
      const from = middleOf(drawn.map((p) => turned(p, angle)))
      const place = (p: Point) => add(turned(p, angle), subtract(middle, from))
      const off = drawn.reduce(
        (sum, p, i) => (i % 5 === 0 ? sum + distance(place(p), nearestOn(truth, place(p))) : sum),
        0,
      )
      const ticked = panel.ticks.reduce((sum, tick, i) => sum + distance(tick.at, place(ticks[i]?.at ?? tick.at)), off)
      return { place, off: ticked }
    },
  )
  let { place } = starts.reduce((a, b) => (b.off < a.off ? b : a))
  for (let i = 0; i < 6; i++) {
    const here = drawn.map(place)
    const wanted = here.map((p) => nearestOn(truth, p))
    const [from, to] = [middleOf(here), middleOf(wanted)]
    let [sine, cosine] = [0, 0]
    here.forEach((p, k) => {
      const [a, b] = [subtract(p, from), subtract(wanted[k] as Point, to)]
      sine += cross(a, b)
      cosine += dot(a, b)
    })
    const [before, turn] = [place, Math.atan2(sine, cosine)]
    place = (p) => add(turned(subtract(before(p), from), turn), to)
  }
  return place
}

const headingOf = (way: Point) => Math.atan2(way.y, way.x)

const evenly = (path: Path, count: number) =>
  Array.from({ length: count }, (_, i) => stationAt(path, (pathLength(path) * (i + 0.37)) / count).at)

function middleOf(points: readonly Point[]): Point {
  const sum = points.reduce((a, p) => point(a.x + p.x, a.y + p.y), point(0, 0))
  return point(sum.x / points.length, sum.y / points.length)
}

function nearestOn(line: readonly Point[], p: Point): Point {
  let best = Infinity
  let found = p
  line.forEach((a, i) => {
    const b = line[(i + 1) % line.length] as Point
    const own = toChord(p, a, b)
    if (own >= best) return
    best = own
    const length = distance(a, b)
    const t = length === 0 ? 0 : ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length ** 2
    found = between(a, b, Math.max(0, Math.min(1, t)))
  })
  return found
}
