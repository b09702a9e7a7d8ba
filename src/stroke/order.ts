import Flatbush from 'flatbush'
import { signedArea } from '../geometry/area.ts'
import { boundsOf } from '../geometry/bounds.ts'
import { stationAt } from '../geometry/length.ts'
import { endOf, type Path, reversed } from '../geometry/path.ts'
import { distance, type Point } from '../geometry/point.ts'
import { enclosing } from './nesting.ts'
import { sectionsOf } from './sections.ts'
import { begunAt, goodStarts } from './starts.ts'
import { type Operation, operations, type Stroke } from './stroke.ts'
import { isLiningUp } from './strokes.ts'
import { bestWays, passed, type Stop, type StopOrder, shortTrip, touched } from './travel.ts'

/** Ends of open strokes this near to the box of a closed one may keep it from starting there, mm. */
const nearOutline = 3
/** Share of a tour's usual search: a few hundred strokes gain a hundredth by the rest of it. */
const effort = 0.2
/** Most places looked at for the start of one closed stroke. */
const mostStarts = 64

export interface OrderChoice {
  /** where the tool stands first, mm */
  readonly from: Point
  /** a roll: how far the film may go back, mm; without it the film lies still */
  readonly window?: number
  /** all that is done by one operation before the next, along the whole roll */
  readonly inOne?: boolean
}

/**
 * The same strokes in the order in which they are cut, with little travel between them. What is never broken:
 * - all of pen, then kiss, then through; within each, lining-up crosses as given first. A slit faces the other side, so
 *   it may not stand with other operations. On a roll that goes for each section of `sectionsOf`, one after the other,
 *   unless the roll is done in one.
 * - What lies inside a closed line of its operation goes before it.
 * - On a roll, in each operation, no stroke reaches farther back than `window` from the farthest place reached before
 *   it (or than its own extent along the film, where that is more: then the film goes so far back in any case).
 * Open strokes may be reversed; closed ones begin where `goodStarts` has it. Where the given order keeps all this and
 * travels less, it stands.
 */
export function ordered(strokes: readonly Stroke[], { from, window, inOne = false }: OrderChoice): Stroke[] {
  if (window !== undefined && !(window > 0)) {
    throw new RangeError(`a window of ${window} mm; it must be above 0 mm, or left out where the film lies still`)
  }
  const slit = strokes.find(({ operation }) => operation === 'slit')
  const other = strokes.find(({ operation }) => operation !== 'slit')
  if (slit && other) {
    throw new RangeError(
      `${slit.name} is a slit, which faces the liner, and ${other.name} (${other.operation}) is not. Put slits in their own file.`,
    )
  }
  let at = from
  return sectionsOf(strokes, inOne ? Infinity : (window ?? Infinity)).flatMap((section) => {
    const made = inOneSection(section, { from: at, ...(window === undefined ? {} : { window }) })
    const last = made.at(-1)
    if (last) at = endOf(last.path)
    return made
  })
}

function inOneSection(strokes: readonly Stroke[], { from, window }: OrderChoice): Stroke[] {
  const stops = stopsOf(strokes)
  const groups = operations.map((operation) => groupOf(strokes, operation, window))
  const made: number[] = []
  for (const { fixed, free, order } of groups) {
    made.push(...fixed)
    const own = free.map((i) => stops[i]?.stop ?? [])
    const trip = shortTrip(own, { from: travelled(stops, made, from).end, order, effort })
    made.push(...trip.flatMap(({ stop }) => free[stop] ?? []))
  }
  const ours = travelled(stops, made, from)
  const stands = groups.every(({ free, order }) => isKept(free.length, order))
  const given = groups.flatMap(({ fixed, free }) => [...fixed, ...free])
  const theirs = stands ? travelled(stops, given, from) : ours
  const [sequence, { ways }] = theirs.length < ours.length ? [given, theirs] : [made, ours]
  return sequence.flatMap((i, k) => {
    const [stroke, stop] = [strokes[i], stops[i]]
    return stroke && stop ? [{ ...stroke, path: pathBy(stroke.path, stop, ways[k] ?? 0) }] : []
  })
}

/** Every stroke `passes` times in a row, or as often as its operation asks; open ones there and back again. */
export function repeated(
  strokes: readonly Stroke[],
  passes: number | Readonly<Partial<Record<Operation, number>>>,
): Stroke[] {
  return strokes.flatMap((stroke) => {
    const count = typeof passes === 'number' ? passes : (passes[stroke.operation] ?? 1)
    if (!Number.isInteger(count) || count < 1) {
      throw new RangeError(`${count} passes for ${stroke.operation}; it must be a whole number from 1`)
    }
    const back = stroke.path.closed ? stroke : { ...stroke, path: reversed(stroke.path) }
    return Array.from({ length: count }, (_, k) => (k % 2 === 0 ? stroke : back))
  })
}

/** A stroke as it may be passed; `starts` in mm along a closed one, way for way. */
interface StrokeStop {
  readonly stop: Stop
  readonly starts: readonly number[]
}

function stopsOf(strokes: readonly Stroke[]): StrokeStop[] {
  const ends = strokes.flatMap(({ path }) => (path.closed ? [] : [path.start, endOf(path)]))
  const endsNear = searchOf(ends)
  return strokes.map((stroke): StrokeStop => {
    const { path } = stroke
    if (isLiningUp(stroke)) return { stop: [{ enter: path.start, leave: endOf(path) }], starts: [] }
    if (!path.closed) return { stop: passed(path.start, endOf(path)), starts: [] }
    const starts = thinned(goodStarts(path, endsNear(path)))
    return { stop: touched(starts.map((length) => (length === 0 ? path.start : stationAt(path, length).at))), starts }
  })
}

/** Finds those of the points that lie near a path. */
function searchOf(points: readonly Point[]): (path: Path) => Point[] {
  if (points.length === 0) return () => []
  const index = new Flatbush(points.length)
  for (const { x, y } of points) index.add(x, y)
  index.finish()
  return (path) => {
    const { low, high } = boundsOf([path])
    const found = index.search(low.x - nearOutline, low.y - nearOutline, high.x + nearOutline, high.y + nearOutline)
    return found.flatMap((i) => points[i] ?? [])
  }
}

/** At most `mostStarts` of them, evenly. */
const thinned = (starts: readonly number[]): readonly number[] =>
  starts.length <= mostStarts
    ? starts
    : Array.from({ length: mostStarts }, (_, k) => starts[Math.floor((k * starts.length) / mostStarts)] ?? 0)

function pathBy(path: Path, { starts }: StrokeStop, way: number): Path {
  if (path.closed) return starts.length > 0 ? begunAt(path, starts[way] ?? 0) : path
  return way === 0 ? path : reversed(path)
}

/** The strokes of one operation by number. */
interface Group {
  readonly fixed: readonly number[]
  readonly free: readonly number[]
  /** rules between the free ones, by their place in `free` */
  readonly order: StopOrder
}

function groupOf(strokes: readonly Stroke[], operation: Operation, window: number | undefined): Group {
  const own = strokes.flatMap((stroke, i) => (stroke.operation === operation ? [{ stroke, i }] : []))
  const paths = own.flatMap(({ stroke }) => (isLiningUp(stroke) ? [] : [stroke.path]))
  return {
    fixed: own.filter(({ stroke }) => isLiningUp(stroke)).map(({ i }) => i),
    free: own.filter(({ stroke }) => !isLiningUp(stroke)).map(({ i }) => i),
    order: orderOf(paths, window),
  }
}

function orderOf(paths: readonly Path[], window = Infinity): StopOrder {
  const later = enclosing(paths)
  const boxes = paths.map((path) => boundsOf([path]))
  if (window === Infinity) return { later, far: paths.map(() => 0), limit: paths.map(() => Infinity) }
  const far = boxes.map(({ high }) => high.x)
  // What lies inside may stand out by a hair: no line ends before what it encloses. Smaller ones first.
  const areas = paths.map((path) => (path.closed ? Math.abs(signedArea(path)) : 0))
  const bySize = paths.map((_, i) => i).sort((a, b) => (areas[a] ?? 0) - (areas[b] ?? 0) || a - b)
  for (const i of bySize) {
    for (const outer of later[i] ?? []) far[outer] = Math.max(far[outer] ?? 0, far[i] ?? 0)
  }
  return { later, far, limit: boxes.map(({ low }, i) => Math.max(low.x + window, far[i] ?? 0)) }
}

/** Do stops keep the rules in the order in which they stand? */
function isKept(count: number, { later, far, limit }: StopOrder): boolean {
  let reached = -Infinity
  for (let i = 0; i < count; i++) {
    if (later[i]?.some((outer) => outer < i) || reached > (limit[i] ?? Infinity)) return false
    reached = Math.max(reached, far[i] ?? 0)
  }
  return true
}

interface Travelled {
  /** mm with the tool up */
  readonly length: number
  readonly ways: readonly number[]
  readonly end: Point
}

/** The least travel past strokes in a sequence. */
function travelled(stops: readonly StrokeStop[], sequence: readonly number[], from: Point): Travelled {
  const own = sequence.map((i) => stops[i]?.stop ?? [])
  const ways = bestWays(own, from)
  let end = from
  let length = 0
  for (const [k, way] of ways.entries()) {
    const { enter, leave } = own[k]?.[way] ?? { enter: end, leave: end }
    length += distance(end, enter)
    end = leave
  }
  return { length, ways, end }
}
