import type { Laid } from './shape.ts'

/** A bed in rows of equal height; for each the taken stretches along x, rising, as starts and ends in turn. */
export interface Rows {
  readonly lowY: number
  readonly height: number
  readonly taken: number[][]
}

/** An outline in rows: no part of it is left out. */
export interface Cover {
  readonly rows: number
  readonly row: Int32Array
  readonly from: Float64Array
  readonly to: Float64Array
}

/** What is kept between outlines, mm: two that touch in a point count as overlapping. */
export const apart = 1e-6

export const rowsOf = (lowX: number, highX: number, lowY: number, highY: number, count: number): Rows => ({
  lowY,
  height: (highY - lowY) / count,
  taken: Array.from({ length: count }, () => [-Infinity, lowX, highX, Infinity]),
})

/** The rows that an outline reaches into, counted from `baseY`, and from where to where in each. */
export function coverOf({ x, y, next, lowY, highY }: Laid, baseY: number, height: number, mostRows: number): Cover {
  // what reaches into the next row by less than rounding does not reach into it
  const slack = 1e-9 * height
  const first = Math.max(0, Math.floor((lowY - apart - baseY + slack) / height))
  const last = Math.min(mostRows - 1, Math.max(first, Math.ceil((highY + apart - baseY - slack) / height) - 1))
  const row: number[] = []
  const from: number[] = []
  const to: number[] = []
  // for each row the stretches along x that edges take in it, as starts and ends in turn, and where edges cross its middle
  const taken: number[][] = []
  const crossed: number[][] = []
  for (let r = first; r <= last; r++) {
    taken.push([])
    crossed.push([])
  }
  for (let i = 0; i < x.length; i++) {
    const k = next[i] as number
    const ax = x[i] as number
    const ay = y[i] as number
    const bx = x[k] as number
    const by = y[k] as number
    const low = Math.min(ay, by)
    const high = Math.max(ay, by)
    const end = Math.min(last, Math.floor((high - baseY) / height) + 1)
    for (let r = Math.max(first, Math.floor((low - baseY) / height) - 1); r <= end; r++) {
      const bottom = baseY + r * height
      const top = bottom + height
      if (high < bottom || low > top) continue
      const middle = (bottom + top) / 2
      if (ay > middle !== by > middle) crossed[r - first]?.push(ax + ((bx - ax) * (middle - ay)) / (by - ay))
      const p = ay === by ? ax : ax + ((bx - ax) * (within(bottom, low, high) - ay)) / (by - ay)
      const q = ay === by ? bx : ax + ((bx - ax) * (within(top, low, high) - ay)) / (by - ay)
      taken[r - first]?.push(Math.min(p, q), Math.max(p, q))
    }
  }
  for (const [k, stretches] of taken.entries()) {
    const crossings = (crossed[k] as number[]).sort((a, b) => a - b)
    for (let c = 0; c + 1 < crossings.length; c += 2) stretches.push(crossings[c] as number, crossings[c + 1] as number)
    sortPairs(stretches)
    for (let c = 0; c < stretches.length; ) {
      const start = stretches[c] as number
      let end = stretches[c + 1] as number
      for (c += 2; c < stretches.length && (stretches[c] as number) <= end; c += 2)
        end = Math.max(end, stretches[c + 1] as number)
      row.push(first + k)
      from.push(start - apart)
      to.push(end + apart)
    }
  }
  return { rows: last + 1, row: Int32Array.from(row), from: Float64Array.from(from), to: Float64Array.from(to) }
}

/** Sorts starts and ends that stand in turn by the starts; there are few of them. */
function sortPairs(pairs: number[]): void {
  for (let c = 2; c < pairs.length; c += 2) {
    const start = pairs[c] as number
    const end = pairs[c + 1] as number
    let k = c
    for (; k > 0 && (pairs[k - 2] as number) > start; k -= 2) {
      pairs[k] = pairs[k - 2] as number
      pairs[k + 1] = pairs[k - 1] as number
    }
    pairs[k] = start
    pairs[k + 1] = end
  }
}

const within = (value: number, low: number, high: number): number => Math.min(Math.max(value, low), high)

/** The least x of at least `from` where the cover, its first row at `base`, finds nothing taken; at or above `bar` when there is none below. */
export function leastX({ taken }: Rows, cover: Cover, base: number, from: number, bar: number): number {
  const { row, from: start, to: end } = cover
  const count = row.length
  let x = from
  let agreed = 0
  let k = 0
  while (agreed < count) {
    const stretches = taken[base + (row[k] as number)] as number[]
    const left = x + (start[k] as number)
    // the first taken stretch that ends beyond the left end
    let low = 0
    let high = stretches.length >> 1
    while (low < high) {
      const middle = (low + high) >> 1
      if ((stretches[2 * middle + 1] as number) > left + 1e-9) high = middle
      else low = middle + 1
    }
    let own = low
    let at = left
    const length = (end[k] as number) - (start[k] as number)
    while ((stretches[2 * own] as number) < at + length - 1e-9) {
      at = stretches[2 * own + 1] as number
      own++
    }
    if (at > left) {
      x = at - (start[k] as number)
      if (!(x < bar)) return Infinity
      agreed = 1
    } else agreed++
    k = k + 1 === count ? 0 : k + 1
  }
  return x
}

/** Takes what the cover covers, moved by `x`, its first row at `base`; gaps less than `leastGap` wide are taken too. */
export function take({ taken }: Rows, cover: Cover, base: number, x: number, leastGap: number): void {
  for (let k = 0; k < cover.row.length; k++) {
    const r = base + (cover.row[k] as number)
    const stretches = taken[r]
    if (!stretches) continue
    const from = x + (cover.from[k] as number)
    const to = x + (cover.to[k] as number)
    let first = 0
    while (first < stretches.length && (stretches[first + 1] as number) < from - leastGap) first += 2
    let last = first
    while (last < stretches.length && (stretches[last] as number) <= to + leastGap) last += 2
    const joined = [from, to]
    if (last > first) {
      joined[0] = Math.min(from, stretches[first] as number)
      joined[1] = Math.max(to, stretches[last - 1] as number)
    }
    stretches.splice(first, last - first, joined[0] as number, joined[1] as number)
  }
}
