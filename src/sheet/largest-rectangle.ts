import type { Box } from '../geometry/bounds.ts'
import type { Point } from '../geometry/point.ts'
import type { Rings } from '../geometry/polygon.ts'

/** An edge of the area from left to right. */
interface Edge {
  readonly x0: number
  readonly y0: number
  readonly x1: number
  readonly y1: number
}

/** Left and right ends are looked for in these stretches along x, counted in gaps between neighbouring corners. */
interface Cell {
  readonly a0: number
  readonly a1: number
  readonly b0: number
  readonly b1: number
  readonly bound: number
}

type Gap = readonly [low: number, high: number]

/** A better rectangle counts if it is better by this share. */
const share = 1e-9

/**
 * The largest upright rectangle in an area of straight edges, outer rings counter-clockwise and holes clockwise;
 * undefined where there is no area. Exact: left and right end are searched between neighbouring corners, best bound
 * first; where no corner lies between, height is the least of straight lines, its product with the width has one
 * maximum, and that is found to the last digits.
 */
export function largestRectangle(rings: Rings): Box | undefined {
  const all = rings.flatMap((ring) => ring.map((p, i): readonly [Point, Point] => [ring.at(i - 1) as Point, p]))
  const edges = all.map(([p, q]): Edge => (p.x < q.x ? edge(p, q) : edge(q, p))).sort((p, q) => p.x0 - q.x0)
  const xs = [...new Set(rings.flat().map(({ x }) => x))].sort((a, b) => a - b)
  if (xs.length < 2) return undefined
  let best: Box | undefined
  let most = 0
  const take = (low: Point, high: Point) => {
    const area = (high.x - low.x) * (high.y - low.y)
    if (!isWorth(area)) return
    most = area
    best = { low, high }
  }
  const isWorth = (area: number) => area > most * (1 + share)
  const x = (i: number) => xs[i] as number
  /** No rectangle with its ends in two stretches is larger, mm^2. */
  const widest = (a0: number, a1: number, b0: number, b1: number): number => {
    const height =
      a1 < b0
        ? freeGaps(edges, x(a1), x(b0)).reduce((high, [low, top]) => Math.max(high, top - low), 0)
        : reachedBetween(edges, x(a0), x(b1))
    return height * (x(b1) - x(a0))
  }
  const queue = new Queue()
  const add = (a0: number, a1: number, b0: number, b1: number) => {
    if (b1 <= a0) return
    const bound = widest(a0, a1, b0, b1)
    if (isWorth(bound)) queue.push({ a0, a1, b0, b1, bound })
    for (const [low, high] of a0 < b1 ? freeGaps(edges, x(a0), x(b1)) : []) {
      take({ x: x(a0), y: low }, { x: x(b1), y: high })
    }
  }
  const last = xs.length - 1
  add(0, last, 0, last)
  for (let cell = queue.pop(); cell && isWorth(cell.bound); cell = queue.pop()) {
    const { a0, a1, b0, b1 } = cell
    if (a1 - a0 <= 1 && b1 - b0 <= 1) inCell(edges, x(a0), x(a1), x(b0), x(b1), isWorth, take)
    else if (a1 - a0 >= b1 - b0) {
      const middle = (a0 + a1) >> 1
      add(a0, middle, b0, b1)
      add(middle, a1, Math.max(b0, middle), b1)
    } else {
      const middle = (b0 + b1) >> 1
      add(a0, Math.min(a1, middle), b0, middle)
      add(a0, a1, middle, b1)
    }
  }
  return best
}

const edge = (p: Point, q: Point): Edge => ({ x0: p.x, y0: p.y, x1: q.x, y1: q.y })

const at = ({ x0, y0, x1, y1 }: Edge, x: number): number =>
  x <= x0 ? y0 : x >= x1 ? y1 : y0 + ((x - x0) / (x1 - x0)) * (y1 - y0)

/** How far up and down the edges between two places reach together, mm: nothing between them is higher. */
function reachedBetween(edges: readonly Edge[], a: number, b: number): number {
  let [low, high] = [Infinity, -Infinity]
  for (const one of edges) {
    if (one.x0 >= b) break
    if (one.x1 <= a) continue
    const upright = one.x0 === one.x1
    const p = upright ? one.y0 : at(one, Math.max(a, one.x0))
    const q = upright ? one.y1 : at(one, Math.min(b, one.x1))
    low = Math.min(low, p, q)
    high = Math.max(high, p, q)
  }
  return Math.max(0, high - low)
}

/** Heights that are free all the way between two places: inside, and met by no edge. */
function freeGaps(edges: readonly Edge[], a: number, b: number): Gap[] {
  const met: [number, number][] = []
  const middle = (a + b) / 2
  const crossed: number[] = []
  for (const one of edges) {
    if (one.x0 >= b) break
    if (one.x1 <= a) continue
    const upright = one.x0 === one.x1
    const p = upright ? one.y0 : at(one, Math.max(a, one.x0))
    const q = upright ? one.y1 : at(one, Math.min(b, one.x1))
    met.push(p < q ? [p, q] : [q, p])
    if (one.x0 <= middle && middle < one.x1) crossed.push(at(one, middle))
  }
  met.sort((p, q) => p[0] - q[0])
  const gaps: Gap[] = []
  let top: number | undefined
  for (const [low, high] of met) {
    if (top !== undefined && low > top) {
      const y = (low + top) / 2
      let below = 0
      for (const c of crossed) if (c < y) below++
      if (below % 2 === 1) gaps.push([top, low])
    }
    top = top === undefined ? high : Math.max(top, high)
  }
  return gaps
}

/** Rectangles whose ends lie in two stretches without a corner between their ends. */
function inCell(
  edges: readonly Edge[],
  a0: number,
  a1: number,
  b0: number,
  b1: number,
  isWorth: (area: number) => boolean,
  take: (low: Point, high: Point) => void,
): void {
  const spanning = (low: number, high: number) => edges.filter((one) => one.x0 <= low && one.x1 >= high)
  const [left, right] = [spanning(a0, a1), spanning(b0, b1)]
  const same = a0 === b0
  // just right of the left end's stretch and left of the right end's; of one stretch for both, its middle
  const [near, far] = same ? [(a0 + a1) / 2, (a0 + a1) / 2] : [a1, b0]
  const gaps = same ? betweenLines(left, near) : near < far ? freeGaps(edges, near, far) : betweenLines(right, far)
  const cuts = same ? [] : [...left.map((one) => at(one, near)), ...right.map((one) => at(one, far))]
  for (const [low, high] of gaps.flatMap((gap) => parted(gap, cuts))) {
    // Between the two stretches it is no higher than here.
    if (!same && !isWorth((b1 - a0) * (high - low))) continue
    const middle = (low + high) / 2
    const over = (lines: readonly Edge[], x: number) => lines.filter((one) => at(one, x) > middle)
    const under = (lines: readonly Edge[], x: number) => lines.filter((one) => at(one, x) <= middle)
    const [leftOver, leftUnder] = [over(left, near), under(left, near)]
    const [rightOver, rightUnder] = [over(right, far), under(right, far)]
    // Is it inside the area on both sides, and not in a hole that ends at the near or the far corner?
    if (leftUnder.length % 2 === 0 || rightUnder.length % 2 === 0) continue
    const [floor, roof] = same ? [-Infinity, Infinity] : [low, high]
    const topFrom = (lines: readonly Edge[], x: number, top: number): number => {
      let least = top
      for (const one of lines) least = Math.min(least, at(one, x))
      return least
    }
    const bottomFrom = (lines: readonly Edge[], x: number, bottom: number): number => {
      let most = bottom
      for (const one of lines) most = Math.max(most, at(one, x))
      return most
    }
    /** The area by its right end, what bounds it on the left being settled once. */
    const areaFrom = (a: number): ((b: number) => number) => {
      const [leftTop, leftBottom] = [topFrom(leftOver, a, roof), bottomFrom(leftUnder, a, floor)]
      return (b) => {
        const height = topFrom(rightOver, b, leftTop) - bottomFrom(rightUnder, b, leftBottom)
        // below nothing it goes on falling, so that the search finds its way
        return height > 0 ? Math.max(0, b - a) * height : height
      }
    }
    const bestB = (a: number): number => peak(areaFrom(a), Math.max(a, b0), b1)
    const a = peak((left) => areaFrom(left)(bestB(left)), a0, Math.min(a1, b1))
    const b = bestB(a)
    const top = topFrom(rightOver, b, topFrom(leftOver, a, roof))
    const bottom = bottomFrom(rightUnder, b, bottomFrom(leftUnder, a, floor))
    if (top > bottom && b > a) take({ x: a, y: bottom }, { x: b, y: top })
  }
}

/** The stretches of the area at one place that no corner is at. */
function betweenLines(lines: readonly Edge[], x: number): Gap[] {
  const heights = lines.map((one) => at(one, x)).sort((p, q) => p - q)
  return heights.flatMap((low, i): Gap[] =>
    i % 2 === 0 && i + 1 < heights.length ? [[low, heights[i + 1] as number]] : [],
  )
}

function parted([low, high]: Gap, cuts: readonly number[]): Gap[] {
  const inside = cuts.filter((y) => y > low && y < high).sort((p, q) => p - q)
  const ends = [low, ...inside, high]
  return ends.slice(1).map((top, i): Gap => [ends[i] as number, top])
}

/** Where a function with one maximum has it, by golden section. */
function peak(of: (t: number) => number, low: number, high: number): number {
  const golden = (Math.sqrt(5) - 1) / 2
  let [a, b] = [low, high]
  let [c, d] = [b - golden * (b - a), a + golden * (b - a)]
  let [fc, fd] = [of(c), of(d)]
  for (let i = 0; i < 60 && b - a > 1e-9; i++) {
    if (fc >= fd) {
      ;[b, d, fd] = [d, c, fc]
      c = b - golden * (b - a)
      fc = of(c)
    } else {
      ;[a, c, fc] = [c, d, fd]
      d = a + golden * (b - a)
      fd = of(d)
    }
  }
  const found = (a + b) / 2
  return [low, high].reduce((best, end) => (of(end) > of(best) ? end : best), found)
}

/** Cells by their bound, the greatest first. */
class Queue {
  readonly #cells: Cell[] = []

  push(cell: Cell): void {
    const cells = this.#cells
    let i = cells.push(cell) - 1
    while (i > 0) {
      const up = (i - 1) >> 1
      if ((cells[up] as Cell).bound >= cell.bound) break
      cells[i] = cells[up] as Cell
      i = up
    }
    cells[i] = cell
  }

  pop(): Cell | undefined {
    const cells = this.#cells
    const top = cells[0]
    const last = cells.pop()
    if (!top || !last || cells.length === 0) return top
    let i = 0
    for (;;) {
      let down = 2 * i + 1
      if (down >= cells.length) break
      if (down + 1 < cells.length && (cells[down + 1] as Cell).bound > (cells[down] as Cell).bound) down++
      if ((cells[down] as Cell).bound <= last.bound) break
      cells[i] = cells[down] as Cell
      i = down
    }
    cells[i] = last
    return top
  }
}
