import type { Plot } from './field.ts'
import type { FirstLayout } from './first-layout.ts'
import type { Search } from './search.ts'
import type { Shape } from './shape.ts'

/** Orders of pieces and of beds to begin with. */
export function startsOf({ problem, field, pieceAt, boundTo }: Search): FirstLayout[] {
  const { pieces, beds } = problem
  const groupOf = (k: number) => pieces[pieceAt[k] as number]?.group
  const sizes = new Map<string, number>()
  const measures: ((shape: Shape) => number)[] = [
    (shape) => shape.area,
    (shape) => shape.weight,
    (shape) => shape.reach,
    (shape) => Math.min(...shape.laid.map((laid) => laid.highY - laid.lowY)) * 1e3 + shape.area ** 0.5,
  ]
  const area = (b: number) => {
    const plot = field.plots[b] as Plot
    return (plot.highX - plot.lowX) * (plot.highY - plot.lowY)
  }
  const free = beds.flatMap((bed, b) => (bed.paid === 'free' ? [b] : [])).sort((a, b) => area(a) - area(b))
  const paid = beds.flatMap((bed, b) => (bed.paid === 'free' ? [] : [b]))
  paid.sort((a, b) => Number(beds[a]?.paid === 'whole') - Number(beds[b]?.paid === 'whole') || area(a) - area(b))
  const turns = field.free > 300 ? 1 : Math.min(4, Math.max(1, paid.length))
  const covers: FirstLayout['covers'] = new Map()
  const starts = measures.slice(0, field.free > 300 ? 1 : 4).flatMap((measure) => {
    sizes.clear()
    const size = field.shapes.map(measure)
    const bulk = new Map<string, number>()
    for (let k = 0; k < field.free; k++) {
      const group = groupOf(k)
      if (group !== undefined) bulk.set(group, (bulk.get(group) ?? 0) + (size[k] as number))
    }
    const rank = (k: number) => bulk.get(groupOf(k) ?? '') ?? (size[k] as number)
    const order = Array.from({ length: field.free }, (_, k) => k).sort(
      (a, b) =>
        rank(b) - rank(a) ||
        compareTexts(groupOf(a) ?? '', groupOf(b) ?? '') ||
        (size[b] as number) - (size[a] as number) ||
        a - b,
    )
    return Array.from({ length: turns }, (_, k) => ({
      order,
      plots: [...free, ...paid.slice(k), ...paid.slice(0, k)],
      groupOf,
      boundTo,
      covers,
    }))
  })
  // orders by other measures may be the same
  const texts = starts.map(({ order: own, plots }) => `${own.join()};${plots.join()}`)
  return starts.filter((_, k) => texts.indexOf(texts[k] ?? '') === k)
}

const compareTexts = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
