import Flatbush from 'flatbush'
import type { NodeOrder } from './tour.ts'

/** Ends looked at round each loose end when chains of nodes are joined. */
const looked = 6

/** Nodes in order, each with whether it is entered at its second end. */
export interface FirstTour {
  readonly nodes: Int32Array
  readonly turned: Uint8Array
}

/**
 * A tour by the shortest joints first (the greedy edge heuristic, Bentley 1992): ends of different chains are joined,
 * nearest first, until one chain is left. Node v has the ends 2v and 2v + 1 at `x`, `y`; `near` holds `width` likely
 * partners of each node, nearest first, -1 past the last.
 */
export function greedyTour(x: Float64Array, y: Float64Array, near: Int32Array, width: number): FirstTour {
  const count = x.length / 2
  const mates = new Int32Array(2 * count).fill(-1)
  const chain = Int32Array.from({ length: count }, (_, i) => i)
  const chainOf = (node: number): number => {
    let top = node
    while (chain[top] !== top) top = chain[top] as number
    for (let v = node; v !== top; ) {
      const up = chain[v] as number
      chain[v] = top
      v = up
    }
    return top
  }
  let left = count
  const join = (a: number, b: number): void => {
    if (mates[a] !== -1 || mates[b] !== -1) return
    const [u, v] = [chainOf(a >> 1), chainOf(b >> 1)]
    if (u === v) return
    chain[u] = v
    mates[a] = b
    mates[b] = a
    left--
  }
  joinShortest(x, y, partnersNear(x, y, near, width), join)
  while (left > 1) joinShortest(x, y, partnersOfLoose(x, y, mates, chainOf), join)
  return walked(mates, count)
}

/** Pairs of ends, flat: a, b, a, b ... */
function partnersNear(x: Float64Array, y: Float64Array, near: Int32Array, width: number): number[] {
  const pairs: number[] = []
  const isPoint = (v: number) => x[2 * v] === x[2 * v + 1] && y[2 * v] === y[2 * v + 1]
  for (let v = 0; v < x.length / 2; v++) {
    for (let k = v * width; k < (v + 1) * width; k++) {
      const u = near[k] as number
      if (u < 0) break
      // Is this pair found from the other side as well?
      if (u < v && near.subarray(u * width, (u + 1) * width).includes(v)) continue
      for (const a of isPoint(v) ? [2 * v] : [2 * v, 2 * v + 1]) {
        for (const b of isPoint(u) ? [2 * u] : [2 * u, 2 * u + 1]) pairs.push(a, b)
      }
    }
  }
  return pairs
}

function partnersOfLoose(
  x: Float64Array,
  y: Float64Array,
  mates: Int32Array,
  chainOf: (node: number) => number,
): number[] {
  const loose: number[] = []
  for (let e = 0; e < mates.length; e++) if (mates[e] === -1) loose.push(e)
  const index = new Flatbush(loose.length)
  for (const e of loose) index.add(x[e] as number, y[e] as number)
  index.finish()
  const pairs: number[] = []
  for (const e of loose) {
    const own = chainOf(e >> 1)
    const isOther = (i: number) => chainOf((loose[i] as number) >> 1) !== own
    for (const i of index.neighbors(x[e] as number, y[e] as number, looked, Infinity, isOther)) {
      pairs.push(e, loose[i] as number)
    }
  }
  return pairs
}

function joinShortest(
  x: Float64Array,
  y: Float64Array,
  pairs: readonly number[],
  join: (a: number, b: number) => void,
): void {
  const lengths = Float64Array.from({ length: pairs.length / 2 }, (_, k) => {
    const [a, b] = [pairs[2 * k] as number, pairs[2 * k + 1] as number]
    return Math.hypot((x[a] as number) - (x[b] as number), (y[a] as number) - (y[b] as number))
  })
  const order = Uint32Array.from(lengths, (_, k) => k)
  order.sort((j, k) => (lengths[j] as number) - (lengths[k] as number) || j - k)
  for (const k of order) {
    const [a, b] = [pairs[2 * k] as number, pairs[2 * k + 1] as number]
    join(a, b)
    // Both ends of a point are in one place: the other one may be free.
    const same = (e: number) => x[e] === x[e ^ 1] && y[e] === y[e ^ 1]
    if (same(a)) join(a ^ 1, b)
    if (same(b)) join(a, b ^ 1)
    if (same(a) && same(b)) join(a ^ 1, b ^ 1)
  }
}

function walked(mates: Int32Array, count: number): FirstTour {
  const nodes = new Int32Array(count)
  const turned = new Uint8Array(count)
  let end = Math.max(0, mates.indexOf(-1))
  for (let p = 0; p < count; p++) {
    nodes[p] = end >> 1
    turned[end >> 1] = end & 1
    end = mates[end ^ 1] as number
  }
  return { nodes, turned }
}

/** The nodes in an order that is allowed, as near to the wanted one as going for the earliest wanted one makes it. */
export function allowedOrder(wanted: Int32Array, order: NodeOrder): Int32Array {
  const count = wanted.length
  const rank = new Float64Array(count)
  wanted.forEach((node, p) => {
    rank[node] = p
  })
  const waitsFor = Int32Array.from({ length: count }, (_, v) => order.earlier[v]?.length ?? 0)
  const byLimit = Array.from({ length: count }, (_, v) => v).sort(
    (a, b) => (order.limit[a] as number) - (order.limit[b] as number) || a - b,
  )
  const isDone = new Uint8Array(count)
  const ready = heap(rank)
  const tooFar = heap(order.far)
  for (let v = 0; v < count; v++) if (waitsFor[v] === 0) tooFar.push(v)
  const result = new Int32Array(count)
  let lowest = 0
  for (let p = 0; p < count; p++) {
    while (isDone[byLimit[lowest] as number]) lowest++
    const limit = order.limit[byLimit[lowest] as number] as number
    while (tooFar.size() > 0 && (order.far[tooFar.first()] as number) <= limit) ready.push(tooFar.take())
    if (ready.size() === 0) throw new RangeError('stops that wait for each other in a ring')
    const node = ready.take()
    result[p] = node
    isDone[node] = 1
    for (const later of order.later[node] as readonly number[]) {
      waitsFor[later] = (waitsFor[later] as number) - 1
      if (waitsFor[later] === 0) tooFar.push(later)
    }
  }
  return result
}

/** A binary heap of nodes, the one with the least key first. */
function heap(key: Float64Array) {
  const own: number[] = []
  const isBefore = (i: number, j: number) => {
    const [a, b] = [own[i] as number, own[j] as number]
    const [ka, kb] = [key[a] as number, key[b] as number]
    return ka < kb || (ka === kb && a < b)
  }
  const change = (i: number, j: number) => {
    const held = own[i] as number
    own[i] = own[j] as number
    own[j] = held
  }
  return {
    size: () => own.length,
    first: () => own[0] as number,
    push(node: number) {
      own.push(node)
      for (let i = own.length - 1; i > 0; ) {
        const up = (i - 1) >> 1
        if (!isBefore(i, up)) break
        change(i, up)
        i = up
      }
    },
    take(): number {
      const top = own[0] as number
      const last = own.pop() as number
      if (own.length === 0) return top
      own[0] = last
      for (let i = 0; ; ) {
        const left = 2 * i + 1
        if (left >= own.length) break
        const down = left + 1 < own.length && isBefore(left + 1, left) ? left + 1 : left
        if (!isBefore(down, i)) break
        change(i, down)
        i = down
      }
      return top
    },
  }
}
