/**
 * A trip past many stops under improvement, in flat arrays. A stop is a node with two ends; ends 2v and 2v + 1 of node
 * v are one place for what is only touched. A node is entered at end 2v + turned and left at the other.
 */
export interface Tour {
  readonly count: number
  /** Does the last node lead back to the first? An open trip always begins with the node at position 0. */
  readonly closed: boolean
  /** node at each position, and position of each node */
  readonly nodes: Int32Array
  readonly positions: Int32Array
  readonly turned: Uint8Array
  /** places of the ends, mm */
  readonly x: Float64Array
  readonly y: Float64Array
  /** `width` neighbours of each node, nearest first, -1 past the last; no ends of the two are nearer than `nearBy` mm */
  readonly near: Int32Array
  readonly nearBy: Float64Array
  readonly width: number
  /** of each node, the places where it may be touched, as x, y, x, y ...; none where there is no choice */
  readonly places: readonly (readonly number[])[]
  readonly order: NodeOrder | undefined
  readonly journal: number[]
  readonly waiting: Int32Array
  readonly isWaiting: Uint8Array
  readonly ring: { head: number; size: number }
}

/** What may not come before what. Of two nodes the one with a lower `limit` than the other's `far` goes first. */
export interface NodeOrder {
  /** of each node, nodes that come later and nodes that come earlier; what follows from two of these need not stand here */
  readonly later: readonly (readonly number[])[]
  readonly earlier: readonly (readonly number[])[]
  /** mm along the film; far <= limit for each node, and far never falls towards later ones */
  readonly far: Float64Array
  readonly limit: Float64Array
}

/** A gain under this is none, mm. */
const least = 1e-9
/** The most nodes that go along as one when a run is set in elsewhere. */
const longestRun = 3
/** No single change moves more nodes than this, so that time does not grow faster than the number of nodes. */
const mostMoved = 50_000

const enterEnd = (t: Tour, node: number): number => 2 * node + (t.turned[node] as number)
const leaveEnd = (t: Tour, node: number): number => 2 * node + 1 - (t.turned[node] as number)

function between(t: Tour, a: number, b: number): number {
  const dx = (t.x[a] as number) - (t.x[b] as number)
  const dy = (t.y[a] as number) - (t.y[b] as number)
  return Math.sqrt(dx * dx + dy * dy)
}

/** The node at a position, which goes round where the tour is closed; -1 off the ends of an open one. */
function nodeAt(t: Tour, position: number): number {
  if (!t.closed) return position < 0 || position >= t.count ? -1 : (t.nodes[position] as number)
  return t.nodes[round(t, position)] as number
}

const round = (t: Tour, position: number): number =>
  position < 0 ? position + t.count : position >= t.count ? position - t.count : position

/** Way from where one node is left to where the next is entered, mm; nothing past the end of an open trip. */
const gap = (t: Tour, a: number, b: number): number => (a < 0 || b < 0 ? 0 : between(t, leaveEnd(t, a), enterEnd(t, b)))

export function wake(t: Tour, node: number): void {
  if (node < 0 || t.isWaiting[node]) return
  t.isWaiting[node] = 1
  t.waiting[(t.ring.head + t.ring.size) % t.count] = node
  t.ring.size++
}

/** Makes the tour shorter round the nodes that wait, until none of them has a better way. Gives the change, mm. */
export function settle(t: Tour): number {
  let change = 0
  while (t.ring.size > 0) {
    const node = t.waiting[t.ring.head] as number
    t.ring.head = (t.ring.head + 1) % t.count
    t.ring.size--
    t.isWaiting[node] = 0
    for (let own = better(t, node); own < 0; own = better(t, node)) change += own
  }
  return change
}

const better = (t: Tour, node: number): number =>
  touchedBetter(t, node) || turnedBack(t, node) || setInElsewhere(t, node)

/** Swaps two runs of nodes that lie one after the other (a double bridge, if short), and settles what is round them. */
export function shaken(t: Tour, start: number, first: number, second: number): number {
  if (!maySwap(t, start, first, second)) return 0
  const a = nodeAt(t, start - 1)
  const b = nodeAt(t, start)
  const c = nodeAt(t, start + first - 1)
  const d = nodeAt(t, start + first)
  const e = nodeAt(t, start + first + second - 1)
  const f = nodeAt(t, start + first + second)
  const change = gap(t, a, d) + gap(t, e, b) + gap(t, c, f) - gap(t, a, b) - gap(t, c, d) - gap(t, e, f)
  swap(t, start, first, second)
  wakeFour(t, a, b, c, d)
  wake(t, e)
  wake(t, f)
  return change + settle(t)
}

/** Forgets how to go back to earlier states. */
export function keep(t: Tour): void {
  t.journal.length = 0
}

/** Goes back to the state at the last `keep`. */
export function goBack(t: Tour): void {
  const { journal } = t
  while (journal.length > 0) {
    const c = journal.pop() as number
    const b = journal.pop() as number
    const a = journal.pop() as number
    // Runs swapped have two lengths, a run turned back has one, a place touched has -1 and its old coordinates.
    const kind = journal.pop() as number
    if (kind === 0) turn(t, a, b)
    else if (kind === 1) swap(t, a, c, b)
    else touch(t, a, b, c)
    journal.length -= 4
  }
}

/** Turns `length` nodes from `start` on back to front. */
function turn(t: Tour, start: number, length: number): void {
  const { nodes, positions, turned, count } = t
  t.journal.push(0, start, length, 0)
  let i = start
  let j = start + length - 1
  if (j >= count) j -= count
  for (let k = length >> 1; k > 0; k--) {
    const a = nodes[i] as number
    const b = nodes[j] as number
    nodes[i] = b
    nodes[j] = a
    positions[b] = i
    positions[a] = j
    turned[a] = 1 - (turned[a] as number)
    turned[b] = 1 - (turned[b] as number)
    if (++i === count) i = 0
    if (--j < 0) j = count - 1
  }
  if (length & 1) {
    const middle = nodes[i] as number
    turned[middle] = 1 - (turned[middle] as number)
  }
}

/** Changes over the `first` nodes from `start` on and the `second` nodes after them. */
function swap(t: Tour, start: number, first: number, second: number): void {
  const { nodes, positions, count } = t
  t.journal.push(1, start, first, second)
  const held: number[] = []
  const put = (p: number, node: number) => {
    const at = p >= count ? p - count : p
    nodes[at] = node
    positions[node] = at
  }
  const get = (p: number) => nodes[p >= count ? p - count : p] as number
  if (first <= second) {
    for (let k = 0; k < first; k++) held.push(get(start + k))
    for (let k = 0; k < second; k++) put(start + k, get(start + first + k))
    for (let k = 0; k < first; k++) put(start + second + k, held[k] as number)
  } else {
    for (let k = 0; k < second; k++) held.push(get(start + first + k))
    for (let k = first - 1; k >= 0; k--) put(start + second + k, get(start + k))
    for (let k = 0; k < second; k++) put(start + k, held[k] as number)
  }
}

function touch(t: Tour, node: number, x: number, y: number): void {
  t.journal.push(2, node, t.x[2 * node] as number, t.y[2 * node] as number)
  t.x[2 * node] = x
  t.y[2 * node] = y
  t.x[2 * node + 1] = x
  t.y[2 * node + 1] = y
}

/** May `length` nodes of an open trip from `start` on come in the opposite order? */
function mayTurn({ order, nodes, positions }: Tour, start: number, length: number): boolean {
  if (!order) return true
  let lowest = Infinity
  for (let p = start; p < start + length; p++) {
    const node = nodes[p] as number
    if ((order.far[node] as number) > lowest) return false
    lowest = Math.min(lowest, order.limit[node] as number)
    for (const later of order.later[node] as readonly number[]) {
      if ((positions[later] as number) < start + length) return false
    }
  }
  return true
}

/** May the `first` nodes from `start` on come after the `second` nodes behind them? */
function maySwap({ order, nodes, positions }: Tour, start: number, first: number, second: number): boolean {
  if (!order) return true
  const middle = start + first
  const end = middle + second
  if (first < second) {
    for (let p = start; p < middle; p++) {
      for (const later of order.later[nodes[p] as number] as readonly number[]) {
        if ((positions[later] as number) < end && (positions[later] as number) >= middle) return false
      }
    }
  } else {
    for (let p = middle; p < end; p++) {
      for (const earlier of order.earlier[nodes[p] as number] as readonly number[]) {
        if ((positions[earlier] as number) >= start && (positions[earlier] as number) < middle) return false
      }
    }
  }
  let lowest = Infinity
  for (let p = start; p < middle; p++) lowest = Math.min(lowest, order.limit[nodes[p] as number] as number)
  if (lowest === Infinity) return true
  for (let p = middle; p < end; p++) if ((order.far[nodes[p] as number] as number) > lowest) return false
  return true
}

/** Another place to touch the node at, between its neighbours as they are. */
function touchedBetter(t: Tour, node: number): number {
  const places = t.places[node] as readonly number[]
  if (places.length < 4) return 0
  const p = t.positions[node] as number
  const before = nodeAt(t, p - 1)
  const after = nodeAt(t, p + 1)
  const a = before < 0 ? -1 : leaveEnd(t, before)
  const b = after < 0 ? -1 : enterEnd(t, after)
  const by = (x: number, y: number) =>
    (a < 0 ? 0 : Math.sqrt(((t.x[a] as number) - x) ** 2 + ((t.y[a] as number) - y) ** 2)) +
    (b < 0 ? 0 : Math.sqrt(((t.x[b] as number) - x) ** 2 + ((t.y[b] as number) - y) ** 2))
  const now = by(t.x[2 * node] as number, t.y[2 * node] as number)
  let best = now - least
  let found = -1
  for (let k = 0; k < places.length; k += 2) {
    const own = by(places[k] as number, places[k + 1] as number)
    if (own < best) {
      best = own
      found = k
    }
  }
  if (found < 0) return 0
  touch(t, node, places[found] as number, places[found + 1] as number)
  wake(t, before)
  wake(t, after)
  return best - now
}

/** A run beside the node turned back to front, so that the node comes beside one near it (a 2-opt move). */
function turnedBack(t: Tour, node: number): number {
  const { near, nearBy, width, positions } = t
  const p = positions[node] as number
  const after = nodeAt(t, p + 1)
  const before = nodeAt(t, p - 1)
  const afterGap = gap(t, node, after)
  const beforeGap = gap(t, before, node)
  const most = Math.max(afterGap, beforeGap)
  for (let k = node * width; k < (node + 1) * width; k++) {
    const by = nearBy[k] as number
    if (by >= most) break
    const other = near[k] as number
    const q = positions[other] as number
    if (by < afterGap) {
      const beyond = nodeAt(t, q + 1)
      const made = between(t, leaveEnd(t, node), leaveEnd(t, other))
      const joined = after < 0 || beyond < 0 ? 0 : between(t, enterEnd(t, after), enterEnd(t, beyond))
      const change = made + joined - afterGap - gap(t, other, beyond)
      if (change < -least && turnBetween(t, p, q)) {
        wakeFour(t, node, after, other, beyond)
        return change
      }
    }
    const ahead = nodeAt(t, q - 1)
    if (by < beforeGap && ahead >= 0) {
      const made = between(t, enterEnd(t, node), enterEnd(t, other))
      const joined = between(t, leaveEnd(t, before), leaveEnd(t, ahead))
      const change = made + joined - beforeGap - gap(t, ahead, other)
      if (change < -least && turnBetween(t, p - 1, q - 1)) {
        wakeFour(t, node, before, other, ahead)
        return change
      }
    }
  }
  return 0
}

function wakeFour(t: Tour, a: number, b: number, c: number, d: number): void {
  wake(t, a)
  wake(t, b)
  wake(t, c)
  wake(t, d)
}

/** Turns the nodes after position `p` up to `q`, or after `q` up to `p`; of a closed tour whatever is shorter. */
function turnBetween(t: Tour, p: number, q: number): boolean {
  if (t.closed) {
    const inside = (q - p + 2 * t.count) % t.count
    const start = inside * 2 <= t.count ? p + 1 : q + 1
    const length = Math.min(inside, t.count - inside)
    if (length > mostMoved) return false
    turn(t, (start + t.count) % t.count, length)
    return true
  }
  const start = Math.min(p, q) + 1
  const length = Math.abs(q - p)
  if (length > mostMoved || !mayTurn(t, start, length)) return false
  turn(t, start, length)
  return true
}

/** A run of a few nodes, with the node at one of its ends, set in beside one near the node (an or-opt move). */
function setInElsewhere(t: Tour, node: number): number {
  const p = t.positions[node] as number
  for (let length = 1; length <= longestRun && length + 3 <= t.count; length++) {
    const change = runSetIn(t, node, p, length, true) || runSetIn(t, node, p - length + 1, length, false)
    if (change < 0) return change
  }
  return 0
}

/** `isFirst`: the node is at the beginning of the run of `length` nodes from position `i` on, not at its end. */
function runSetIn(t: Tour, node: number, i: number, length: number, isFirst: boolean): number {
  const { near, nearBy, width, positions, count } = t
  if (!t.closed && (i < 1 || i + length > count)) return 0
  const from = nodeAt(t, i)
  const to = nodeAt(t, i + length - 1)
  const before = nodeAt(t, i - 1)
  const after = nodeAt(t, t.closed ? round(t, i) + length : i + length)
  const freed = gap(t, before, from) + gap(t, to, after) - gap(t, before, after)
  if (freed <= least) return 0
  const own = isFirst ? enterEnd(t, from) : leaveEnd(t, to)
  const far = isFirst ? leaveEnd(t, to) : enterEnd(t, from)
  for (let k = node * width; k < (node + 1) * width; k++) {
    const by = nearBy[k] as number
    if (by >= freed) break
    const other = near[k] as number
    const q = positions[other] as number
    const offset = t.closed ? (q - i + 2 * count) % count : q - i
    if (offset >= 0 && offset < length) continue
    if (other !== before) {
      const beyond = nodeAt(t, q + 1)
      const join = beyond < 0 ? 0 : between(t, far, enterEnd(t, beyond)) - gap(t, other, beyond)
      const change = between(t, leaveEnd(t, other), own) + join - freed
      if (change < -least && setIn(t, i, length, q, !isFirst)) {
        wakeFour(t, from, to, before, after)
        wake(t, other)
        wake(t, beyond)
        return change
      }
    }
    const ahead = nodeAt(t, q - 1)
    if (other !== after && ahead >= 0) {
      const join = between(t, leaveEnd(t, ahead), far) - gap(t, ahead, other)
      const change = between(t, enterEnd(t, other), own) + join - freed
      if (change < -least && setIn(t, i, length, q - 1, isFirst)) {
        wakeFour(t, from, to, before, after)
        wake(t, other)
        wake(t, ahead)
        return change
      }
    }
  }
  return 0
}

/** Sets the run of `length` nodes from `i` on in behind position `q`, turned back to front if wanted. */
function setIn(t: Tour, i: number, length: number, q: number, back: boolean): boolean {
  const { count } = t
  const start = t.closed ? round(t, i) : i
  const ahead = t.closed ? (q - (start + length - 1) + 2 * count) % count : q - (start + length - 1)
  const behind = t.closed ? count - length - ahead : start - 1 - q
  const goesOn = t.closed ? ahead <= behind : ahead >= 0
  const passed = goesOn ? ahead : behind
  if (passed > mostMoved || (back && !mayTurn(t, start, length))) return false
  const swapFrom = goesOn ? start : t.closed ? (start - passed + count) % count : start - passed
  if (!(goesOn ? maySwap(t, swapFrom, length, passed) : maySwap(t, swapFrom, passed, length))) return false
  if (goesOn) swap(t, swapFrom, length, passed)
  else swap(t, swapFrom, passed, length)
  if (back) turn(t, goesOn ? (swapFrom + passed) % count : swapFrom, length)
  return true
}
