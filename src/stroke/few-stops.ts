import { distance, type Point } from '../geometry/point.ts'
import type { Stop, StopOrder, Visit } from './travel.ts'

/** The most steps worth taking for certainty. */
const mostSteps = 1_000_000

/** Are the stops so few that the shortest trip can be had? */
export function areFew(stops: readonly Stop[]): boolean {
  const ways = stops.reduce((sum, stop) => sum + stop.length, 0)
  return stops.length <= 16 && 2 ** stops.length * ways * ways <= mostSteps
}

/**
 * The shortest open trip from `from` past a few stops, by the least way to each end of each set of them (Held and Karp,
 * Journal of SIAM 10, 1962). Refuses rules that cannot be kept.
 */
export function shortestTrip(stops: readonly Stop[], from: Point, order: StopOrder | undefined): Visit[] {
  const count = stops.length
  const all = 2 ** count - 1
  const ends = stops.flatMap((ways, stop) => ways.map(({ enter, leave }, way) => ({ stop, way, enter, leave })))
  const width = ends.length
  const gaps = ends.map(({ leave }) => ends.map(({ enter }) => distance(leave, enter)))
  const before = Array.from({ length: count }, (_, i) => neededBefore(i, count, order))
  const cost = new Float64Array((all + 1) * width).fill(Infinity)
  const came = new Int32Array((all + 1) * width).fill(-1)
  const mayFollow = (i: number, done: number) => (done & (1 << i)) === 0 && ((before[i] ?? 0) & ~done) === 0
  for (const [e, { stop, enter }] of ends.entries()) {
    if (mayFollow(stop, 0)) cost[(1 << stop) * width + e] = distance(from, enter)
  }
  for (let done = 1; done < all; done++) {
    const open = ends.flatMap(({ stop }, e) => (mayFollow(stop, done) ? [e] : []))
    for (let a = 0; a < width; a++) {
      const own = cost[done * width + a] as number
      if (own === Infinity) continue
      for (const b of open) {
        const next = (done | (1 << (ends[b]?.stop ?? 0))) * width + b
        const length = own + (gaps[a]?.[b] ?? 0)
        if (length < (cost[next] as number)) {
          cost[next] = length
          came[next] = a
        }
      }
    }
  }
  const last = cost.subarray(all * width)
  let end = last.indexOf(last.reduce((least, own) => Math.min(least, own), Infinity))
  const visits: Visit[] = []
  for (let done = all; done > 0; ) {
    const own = ends[end]
    if (!own || cost[done * width + end] === Infinity) throw new RangeError('stops that wait for each other in a ring')
    visits.push({ stop: own.stop, way: own.way })
    end = came[done * width + end] as number
    done &= ~(1 << own.stop)
  }
  return visits.reverse()
}

/** A bit for each stop that must come before stop `i`. */
function neededBefore(i: number, count: number, order: StopOrder | undefined): number {
  let needed = 0
  for (let k = 0; order && k < count; k++) {
    const isNeeded = order.later[k]?.includes(i) || (order.limit[k] ?? Infinity) < (order.far[i] ?? 0)
    if (k !== i && isNeeded) needed |= 1 << k
  }
  return needed
}
