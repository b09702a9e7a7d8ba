import { chanceOf } from '../geometry/chance.ts'
import { distance, type Point } from '../geometry/point.ts'
import { areFew, shortestTrip } from './few-stops.ts'
import { allowedOrder, greedyTour } from './first-tour.ts'
import { mostNeighbours, neighbours } from './neighbours.ts'
import { goBack, keep, type NodeOrder, settle, shaken, type Tour, wake } from './tour.ts'

/** One way to pass a stop. */
export interface Way {
  readonly enter: Point
  readonly leave: Point
}

/**
 * The ways to pass a stop: `passed(a, b)` from end to end, either way round, or `touched(places)` at any one place.
 */
export type Stop = readonly Way[]

export const passed = (a: Point, b: Point): Stop => [
  { enter: a, leave: b },
  { enter: b, leave: a },
]
export const touched = (places: readonly Point[]): Stop => places.map((place) => ({ enter: place, leave: place }))

/** A stop by its number, and which of its ways is taken. */
export interface Visit {
  readonly stop: number
  readonly way: number
}

/** What may not come before what. */
export interface StopOrder {
  /** of each stop, those that come later; what follows from two of these may be left out */
  readonly later: readonly (readonly number[])[]
  /** a stop with a lower `limit` than another's `far` comes before it; far <= limit; far never falls along `later`, mm */
  readonly far: readonly number[]
  readonly limit: readonly number[]
}

export interface TripChoice {
  /** where an open trip begins; without it the trip is closed and ends where it began */
  readonly from?: Point
  readonly order?: StopOrder
  /** share of the usual number of changes that is tried, above 0; 1 unless given */
  readonly effort?: number
}

/** Changes tried for each stop, and the least for a small trip; each costs the same whatever the number of stops. */
const triesEach = 8
const leastTries = 300
/** Most stops that are changed over with as many beside them in one try. */
const longestShake = 30

/** Ways between the stops as they are visited, mm; without `from` the way back to the first counts too. */
export function tripLength(stops: readonly Stop[], visits: readonly Visit[], from?: Point): number {
  const ways = visits.map(({ stop, way }) => stops[stop]?.[way] ?? missing(stop, way))
  let at = from ?? ways.at(-1)?.leave
  let sum = 0
  for (const { enter, leave } of ways) {
    if (at) sum += distance(at, enter)
    at = leave
  }
  return sum
}

function missing(stop: number, way: number): never {
  throw new RangeError(`there is no way ${way} past stop ${stop}`)
}

/**
 * A short trip past all stops, the shortest past a few. Else it is joined from the shortest gaps, then made
 * shorter by turning runs back to front (2-opt) and setting short ones in elsewhere (or-opt) among neighbours, then by changing over two runs somewhere, settling
 * what is round them, and going back where that did not help. The same stops always give the same trip.
 */
export function shortTrip(stops: readonly Stop[], choice: TripChoice = {}): Visit[] {
  if (stops.length === 0) return []
  if (choice.from && areFew(stops)) return shortestTrip(stops, choice.from, choice.order)
  const tour = firstTour(stops, choice)
  for (let v = 0; v < tour.count; v++) wake(tour, tour.nodes[v] as number)
  settle(tour)
  keep(tour)
  shake(tour, choice.effort ?? 1)
  return visitsOf(tour, stops)
}

/** The first ways past stops in the given order that make an open trip from `from` the shortest. */
export function bestWays(stops: readonly Stop[], from: Point): number[] {
  const came: Int32Array[] = []
  let leaves: readonly Point[] = [from]
  let costs = new Float64Array(1)
  for (const [i, ways] of stops.entries()) {
    if (ways.length === 0) missing(i, 0)
    const next = new Float64Array(ways.length).fill(Infinity)
    const via = new Int32Array(ways.length)
    for (const [w, { enter }] of ways.entries()) {
      for (const [k, leave] of leaves.entries()) {
        const cost = (costs[k] as number) + distance(leave, enter)
        if (cost < (next[w] as number)) {
          next[w] = cost
          via[w] = k
        }
      }
    }
    came.push(via)
    leaves = ways.map(({ leave }) => leave)
    costs = next
  }
  let best = costs.indexOf(Math.min(...costs))
  const chosen: number[] = []
  for (const via of came.reverse()) {
    chosen.push(best)
    best = via[best] as number
  }
  return chosen.reverse()
}

function shake(tour: Tour, effort: number): void {
  const { count } = tour
  // An open trip's first node stays; two runs and a node on each side are needed.
  const first = tour.closed ? 0 : 1
  const most = Math.min(longestShake, Math.floor((count - 2) / 2))
  if (most < 1) return
  const chance = chanceOf(1)
  const tries = effort * Math.max(leastTries, triesEach * count)
  for (let k = 0; k < tries; k++) {
    const one = 1 + Math.floor(chance() * most)
    const two = 1 + Math.floor(chance() * most)
    const room = tour.closed ? count : count - first - one - two + 1
    if (room < 1) continue
    const start = first + Math.floor(chance() * room)
    if (shaken(tour, start, one, two) > 0) goBack(tour)
    else keep(tour)
  }
}

const isTouched = (stop: Stop): boolean => stop.every(({ enter, leave }) => enter.x === leave.x && enter.y === leave.y)

function firstTour(stops: readonly Stop[], { from, order }: TripChoice): Tour {
  const all = from ? [...stops, touched([from])] : stops
  const count = all.length
  const x = new Float64Array(2 * count)
  const y = new Float64Array(2 * count)
  for (const [v, stop] of all.entries()) {
    const way = stop[0] ?? missing(v, 0)
    x[2 * v] = way.enter.x
    y[2 * v] = way.enter.y
    x[2 * v + 1] = way.leave.x
    y[2 * v + 1] = way.leave.y
  }
  const places = all.map((stop) =>
    stop.length > 1 && isTouched(stop) ? stop.flatMap(({ enter }) => [enter.x, enter.y]) : [],
  )
  const { near, nearBy } = neighbours(
    all.map((stop) => (isTouched(stop) ? stop.map(({ enter }) => enter) : endsOf(stop))),
  )
  const { nodes, turned } = greedyTour(x, y, near, mostNeighbours)
  const nodeOrder = order && from && isBinding(order) ? asNodeOrder(order, count) : undefined
  const begun = from ? fromNode(nodes, turned, count - 1, x, y) : nodes
  const allowed = nodeOrder ? allowedOrder(begun, nodeOrder) : begun
  const positions = new Int32Array(count)
  allowed.forEach((node, p) => {
    positions[node] = p
  })
  const tour: Tour = {
    count,
    closed: !from,
    nodes: allowed,
    positions,
    turned,
    x,
    y,
    near,
    nearBy,
    width: mostNeighbours,
    places,
    order: nodeOrder,
    journal: [],
    waiting: new Int32Array(count),
    isWaiting: new Uint8Array(count),
    ring: { head: 0, size: 0 },
  }
  return tour
}

const isBinding = ({ later, limit }: StopOrder): boolean =>
  later.some((own) => own.length > 0) || limit.some((length) => length < Infinity)

/** Rules between stops as rules between nodes, with the node of the start (the last one) before all of them. */
function asNodeOrder({ later, far, limit }: StopOrder, count: number): NodeOrder {
  const start = count - 1
  const earlier: number[][] = Array.from({ length: count }, () => [])
  for (const [v, own] of later.entries()) for (const w of own) earlier[w]?.push(v)
  return {
    later: [...later, []],
    earlier,
    far: Float64Array.from({ length: count }, (_, v) => (v === start ? -Infinity : (far[v] ?? 0))),
    limit: Float64Array.from({ length: count }, (_, v) => (v === start ? -Infinity : (limit[v] ?? Infinity))),
  }
}

/** A closed tour opened at one of its nodes: it goes off the shorter way, and the longer one falls away. */
function fromNode(nodes: Int32Array, turned: Uint8Array, node: number, x: Float64Array, y: Float64Array): Int32Array {
  const count = nodes.length
  const at = nodes.indexOf(node)
  const before = nodes[(at + count - 1) % count] as number
  const after = nodes[(at + 1) % count] as number
  const gap = (end: number) =>
    Math.hypot((x[end] as number) - (x[2 * node] as number), (y[end] as number) - (y[2 * node] as number))
  const goesOn = gap(2 * after + (turned[after] as number)) <= gap(2 * before + 1 - (turned[before] as number))
  if (!goesOn) for (let v = 0; v < count; v++) turned[v] = 1 - (turned[v] as number)
  return nodes.map((_, p) => nodes[(at + (goesOn ? p : count - p)) % count] as number)
}

const endsOf = (stop: Stop): Point[] => stop.slice(0, 1).flatMap(({ enter, leave }) => [enter, leave])

function visitsOf(tour: Tour, stops: readonly Stop[]): Visit[] {
  return [...tour.nodes].flatMap((node): Visit[] => {
    const stop = stops[node]
    if (!stop) return []
    if (!isTouched(stop)) return [{ stop: node, way: tour.turned[node] as number }]
    const [x, y] = [tour.x[2 * node], tour.y[2 * node]]
    return [{ stop: node, way: stop.findIndex(({ enter }) => enter.x === x && enter.y === y) }]
  })
}
