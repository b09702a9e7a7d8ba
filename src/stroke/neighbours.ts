import type { Point } from '../geometry/point.ts'

/** How many of the nearest stops are taken, and how many more in each quarter round a place. */
const nearestTaken = 6
const quarterTaken = 2
/** Most neighbours of a stop. */
export const mostNeighbours = nearestTaken + 4 * quarterTaken
/** Places in a leaf of the tree. */
const leaf = 6

export interface Neighbours {
  /** `mostNeighbours` of each stop, nearest first, -1 past the last */
  readonly near: Int32Array
  /** mm between the nearest places of the two */
  readonly nearBy: Float64Array
}

/**
 * Likely neighbours of stops that have one place or several: the nearest, and the nearest in each quarter, so that a
 * crowd of stops also knows the next crowd (quadrant neighbours, Johnson and McGeoch 1997). n log n by a k-d tree.
 */
export function neighbours(placesOf: readonly (readonly Point[])[]): Neighbours {
  const tree = treeOf(placesOf)
  const near = new Int32Array(placesOf.length * mostNeighbours).fill(-1)
  const nearBy = new Float64Array(near.length).fill(Infinity)
  const found = new Map<number, number>()
  const take = (best: Best) => {
    for (let k = 0; k < best.size; k++) {
      const owner = best.owners[k] as number
      found.set(owner, Math.min(found.get(owner) ?? Infinity, best.squares[k] as number))
    }
  }
  for (const [v, places] of placesOf.entries()) {
    found.clear()
    for (const { x, y } of places) {
      take(nearestTo(tree, { v, x, y, quarter: -1 }, nearestTaken))
      for (let quarter = 0; quarter < 4; quarter++) take(nearestTo(tree, { v, x, y, quarter }, quarterTaken))
    }
    const own = [...found].sort(([a, p], [b, q]) => p - q || a - b).slice(0, mostNeighbours)
    for (const [k, [other, square]] of own.entries()) {
      near[v * mostNeighbours + k] = other
      nearBy[v * mostNeighbours + k] = Math.sqrt(square)
    }
  }
  return { near, nearBy }
}

/** Places in the order of a balanced k-d tree: the middle one of a run parts it, by x and by y in turn. */
interface Tree {
  readonly x: Float64Array
  readonly y: Float64Array
  readonly owners: Int32Array
}

function treeOf(placesOf: readonly (readonly Point[])[]): Tree {
  const all = placesOf.flatMap((places, owner) => places.map(({ x, y }) => ({ x, y, owner })))
  const x = Float64Array.from(all, (p) => p.x)
  const y = Float64Array.from(all, (p) => p.y)
  const order = Int32Array.from(all, (_, i) => i)
  const split = (low: number, high: number, byX: boolean): void => {
    if (high - low <= leaf) return
    const key = byX ? x : y
    const part = order.subarray(low, high)
    part.sort((a, b) => (key[a] as number) - (key[b] as number) || a - b)
    const middle = (low + high) >> 1
    split(low, middle, !byX)
    split(middle + 1, high, !byX)
  }
  split(0, all.length, true)
  return {
    x: Float64Array.from(order, (i) => x[i] as number),
    y: Float64Array.from(order, (i) => y[i] as number),
    owners: Int32Array.from(order, (i) => all[i]?.owner ?? -1),
  }
}

/** What is looked for: stops other than `v` near x, y, in all quarters (-1) or one (0 to 3 from +x, counter-clockwise). */
interface Wish {
  readonly v: number
  readonly x: number
  readonly y: number
  readonly quarter: number
}

interface Best {
  size: number
  readonly owners: number[]
  readonly squares: number[]
}

function nearestTo(tree: Tree, wish: Wish, most: number): Best {
  const best: Best = { size: 0, owners: [], squares: [] }
  look(tree, wish, most, best, 0, tree.x.length, true)
  return best
}

function look(tree: Tree, wish: Wish, most: number, best: Best, low: number, high: number, byX: boolean): void {
  if (high - low <= leaf) {
    for (let i = low; i < high; i++) offer(tree, wish, most, best, i)
    return
  }
  const middle = (low + high) >> 1
  const away = byX ? wish.x - (tree.x[middle] as number) : wish.y - (tree.y[middle] as number)
  const { quarter } = wish
  // Is only one side wanted, and all of the other side on the wrong one?
  const side = quarter < 0 ? 0 : byX ? (quarter === 0 || quarter === 3 ? 1 : -1) : quarter < 2 ? 1 : -1
  const lowWanted = !(side > 0 && away > 0)
  const highWanted = !(side < 0 && away < 0)
  const lowFirst = away < 0
  for (const isLow of [lowFirst, !lowFirst]) {
    if (isLow !== lowFirst) {
      offer(tree, wish, most, best, middle)
      if (best.size === most && away * away >= (best.squares[most - 1] as number)) return
    }
    if (isLow && lowWanted) look(tree, wish, most, best, low, middle, !byX)
    if (!isLow && highWanted) look(tree, wish, most, best, middle + 1, high, !byX)
  }
}

function offer(tree: Tree, wish: Wish, most: number, best: Best, i: number): void {
  const owner = tree.owners[i] as number
  if (owner === wish.v) return
  const dx = (tree.x[i] as number) - wish.x
  const dy = (tree.y[i] as number) - wish.y
  if (wish.quarter >= 0 && quarterOf(dx, dy) !== wish.quarter) return
  const square = dx * dx + dy * dy
  const { owners, squares } = best
  if (best.size === most && square >= (squares[most - 1] as number)) return
  // Was the stop found by another of its places?
  let at = owners.indexOf(owner)
  if (at >= 0 && (squares[at] as number) <= square) return
  if (at < 0) {
    if (best.size < most) best.size++
    at = best.size - 1
  }
  while (at > 0 && (squares[at - 1] as number) > square) {
    owners[at] = owners[at - 1] as number
    squares[at] = squares[at - 1] as number
    at--
  }
  owners[at] = owner
  squares[at] = square
}

/** 0 from +x to below +y, 1 from +y to below -x, and so on; no way at all is in the first. */
function quarterOf(dx: number, dy: number): number {
  if (dy >= 0) return dx > 0 || (dx === 0 && dy === 0) ? 0 : dy > 0 ? 1 : 2
  return dx < 0 ? 2 : 3
}
