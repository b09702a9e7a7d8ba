import { type Field, lift, type Plot, put } from './field.ts'
import { apart, type Cover, coverOf, leastX, type Rows, rowsOf, take } from './rows.ts'
import type { Laid, Shape } from './shape.ts'

/** Rows per shorter side of a middling piece, and how many in all. */
const rowsEach = 14
const [fewestRows, mostRows] = [64, 1500]

export interface FirstLayout {
  /** the pieces, the first to be placed first; those of a group one after another */
  readonly order: readonly number[]
  /** the plots, the first to be filled first */
  readonly plots: readonly number[]
  /** of pieces that have to share a plot a common word */
  readonly groupOf: (piece: number) => string | undefined
  /** plots that groups are bound to */
  readonly boundTo: ReadonlyMap<string, number>
  /** outlines in rows, by the rows' height; filled as they are asked for */
  readonly covers: Map<Laid, Map<number, Cover>>
}

interface Bed {
  readonly rows: Rows
  readonly plot: number
  /** for each outline and row, below which x there is no room for it */
  readonly known: Map<Laid, Float64Array>
}

/**
 * Puts one piece after the other as far left as it goes, in rows: what is taken in a row is known from where to where.
 * Pauses after every piece. Pieces for which no plot has room stay off.
 */
export function* layFirst(
  field: Field,
  { order, plots, groupOf, boundTo, covers }: FirstLayout,
): Generator<undefined, void> {
  for (let i = 0; i < field.free; i++) lift(field, i)
  const sides = field.shapes
    .slice(0, field.free)
    .map(({ searched: s }) => Math.min(s.highX - s.lowX, s.highY - s.lowY))
    .sort((a, b) => a - b)
  const side = sides[sides.length >> 1] ?? 1
  const leastGap = (sides[0] ?? 0) * 0.5
  const bedOf = (b: number): Bed => {
    const plot = field.plots[b] as Plot
    const count = Math.round(Math.min(mostRows, Math.max(fewestRows, ((plot.highY - plot.lowY) * rowsEach) / side)))
    const rows = rowsOf(plot.lowX, plot.highX, plot.lowY, plot.highY, count)
    for (let i = field.free; i < field.count; i++) {
      if (field.plot[i] !== b) continue
      const cover = coverOf(field.at[i] as Laid, plot.lowY - (field.y[i] as number), rows.height, count)
      take(rows, cover, 0, field.x[i] as number, leastGap)
    }
    return { rows, plot: b, known: new Map() }
  }
  const beds = plots.map(bedOf)
  const coverFor = (laid: Laid, { height, taken }: Rows): Cover => {
    const own = covers.get(laid) ?? new Map<number, Cover>()
    covers.set(laid, own)
    const known = own.get(height)
    if (known) return known
    const cover = coverOf(laid, laid.lowY - apart, height, taken.length)
    field.work += 10 * cover.rows * laid.x.length
    own.set(height, cover)
    return cover
  }
  for (let p = 0; p < order.length; ) {
    const group = groupOf(order[p] as number)
    const members = [order[p] as number]
    if (group !== undefined)
      while (p + members.length < order.length && groupOf(order[p + members.length] as number) === group)
        members.push(order[p + members.length] as number)
    p += members.length
    const bound = group === undefined ? undefined : boundTo.get(group)
    const open = bound === undefined ? beds : beds.filter((bed) => bed.plot === bound)
    let isLaid = false
    for (const bed of open) {
      const before = members.length > 1 ? bed.rows.taken.map((stretches) => stretches.slice()) : undefined
      let placed = 0
      for (const i of members) {
        if (!layOne(field, i, bed, coverFor, leastGap)) break
        placed++
        yield
      }
      isLaid = placed === members.length
      if (isLaid) break
      for (const i of members) lift(field, i)
      if (!before) continue
      for (const [r, stretches] of before.entries()) bed.rows.taken[r] = stretches
      bed.known.clear()
    }
    // does at least a part of a group that fits nowhere find room?
    for (const bed of isLaid || members.length === 1 ? [] : open) {
      for (const i of members) if (layOne(field, i, bed, coverFor, leastGap)) isLaid = true
      if (isLaid) break
    }
    yield
  }
}

function layOne(
  field: Field,
  i: number,
  { rows, plot, known }: Bed,
  coverFor: (laid: Laid, rows: Rows) => Cover,
  leastGap: number,
): boolean {
  const bounds = field.plots[plot] as Plot
  let best: { readonly laid: Laid; readonly cover: Cover; readonly base: number; readonly x: number } | undefined
  let bestRight = Infinity
  const stride = field.free > 3000 ? 3 : 1
  for (const laid of (field.shapes[i] as Shape).laid) {
    const height = laid.highY - laid.lowY
    const width = laid.highX - laid.lowX
    if (height > bounds.highY - bounds.lowY || width > bounds.highX - bounds.lowX) continue
    const cover = coverFor(laid, rows)
    const start = bounds.lowX - laid.lowX
    let low = known.get(laid)
    if (!low) {
      low = new Float64Array(rows.taken.length).fill(start)
      known.set(laid, low)
    }
    const last = Math.max(0, rows.taken.length - cover.rows)
    for (let base = 0; base <= last; base += base < last && base + stride > last ? last - base : stride) {
      const bar = Math.min(bestRight, bounds.highX + 1e-9) - laid.highX
      const from = low[base] as number
      field.work += 20
      if (from >= bar) continue
      const x = leastX(rows, cover, base, from, bar)
      field.work += 8 * cover.row.length
      low[base] = Math.max(from, Math.min(x, bar))
      if (!(x < bar)) continue
      best = { laid, cover, base, x }
      bestRight = x + laid.highX
    }
  }
  if (!best) return false
  const { laid, cover, base, x } = best
  take(rows, cover, base, x, leastGap)
  const y = Math.min(rows.lowY + base * rows.height + apart - laid.lowY, bounds.highY - laid.highY)
  put(field, i, laid, Math.min(x, bounds.highX - laid.highX), y, plot)
  return true
}
