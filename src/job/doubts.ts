import type { Reading } from '../measure/fields.ts'
import { readLength } from '../measure/length.ts'
import { combineReadings } from '../measure/readings.ts'
import type { Specs, Template } from '../panel/template.ts'

/** Readings of one length as they were typed, and what they are called. */
interface Readings {
  readonly name: string
  readonly typed: readonly unknown[]
}

/** Tables of a job beside its objects; in each of them a list of numbers stands for readings of one length. */
const tables = ['tape', 'film', 'stock', 'layout', 'machine', 'defaults'] as const
/** Lengths of an object whatever its shape, and tables of such. */
const handling = ['allowance', 'strip', 'pinned'] as const

/**
 * A sentence for each set of readings that differ more than the tape explains, naming the object, the field and the
 * reading to look at first. `raw` is a job as written, found to be without fault.
 */
export function readingDoubts(raw: unknown, templates: readonly Template[], reading: Reading): string[] {
  const job = tableOf(raw)
  const sets = [
    ...tables.flatMap((name) => listsIn(job[name], name)),
    ...entriesOf(job.objects).flatMap((entry) => objectReadings(tableOf(entry), templates)),
  ]
  return [...new Set(sets.flatMap((set) => doubtOf(set, reading)))]
}

function objectReadings(object: Table, templates: readonly Template[]): Readings[] {
  const specs = templates.find((template) => template.id === object.shape)?.specs ?? {}
  const found = [...handling.flatMap((name) => listsIn(object[name], name)), ...specReadings(object, specs)]
  return found.map((set) => ({ ...set, name: `${String(object.name).trim()}, ${set.name}` }))
}

function specReadings(values: Table, specs: Specs): Readings[] {
  return Object.entries(specs).flatMap(([name, spec]) => {
    if (spec.kind === 'length' || spec.kind === 'corners') return listsIn(values[name], name)
    if (spec.kind !== 'list') return []
    return entriesOf(values[name]).flatMap((item, i) =>
      specReadings(tableOf(item), spec.item).map((set) => ({ ...set, name: `${name}[${i}].${set.name}` })),
    )
  })
}

/** The lists of a length, of a table of lengths such as the corners', or of each table in a list; several ticks are no readings of one. */
function listsIn(value: unknown, name: string): Readings[] {
  if (name.endsWith('ticksAt')) return []
  if (Array.isArray(value)) {
    if (!value.some(isTable)) return [{ name, typed: value }]
    return value.flatMap((entry, i) => (isTable(entry) ? listsIn(entry, `${name}[${i}]`) : []))
  }
  return Object.entries(tableOf(value)).flatMap(([key, inner]) => listsIn(inner, `${name}.${key}`))
}

type Table = Readonly<Record<string, unknown>>
const tableOf = (value: unknown): Table => (typeof value === 'object' && value !== null ? (value as Table) : {})
const isTable = (value: unknown): boolean => typeof value === 'object' && value !== null && !Array.isArray(value)
const entriesOf = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : [])

function doubtOf({ name, typed }: Readings, { unit, tape }: Reading): string[] {
  const read = typed.flatMap((entry) => {
    if (typeof entry !== 'number' && typeof entry !== 'string') return []
    const length = readLength(entry, unit, name)
    return 'mm' in length ? [{ text: String(entry).trim(), mm: length.mm }] : []
  })
  if (read.length < 2) return []
  const { spread, limit, doubtful } = combineReadings(
    read.map(({ mm }) => mm),
    tape,
  )
  if (!doubtful) return []
  const explained = 2 * limit
  // Would the two read the same with one decimal?
  const places = [1, 2, 3].find((n) => spread.toFixed(n) !== explained.toFixed(n)) ?? 3
  const first = suspects(read)
  const list = read.map(({ text }) => text).join(', ')
  const cure = first.length > 0 ? `Measure once more, and look first at ${first.join(' and ')}.` : 'Measure once more.'
  return [
    `${name}: readings ${list} differ by ${spread.toFixed(places)} mm; a class ${tape} tape explains ${explained.toFixed(places)} mm. ${cure}`,
  ]
}

/** Distances that differ by less, mm, are equal but for binary fractions. */
const slack = 1e-9

/** The readings farthest from the median of the others; none of fewer than three, nor where all are equally far. */
function suspects(read: readonly { readonly text: string; readonly mm: number }[]): string[] {
  if (read.length < 3) return []
  const away = read.map(({ mm }, i) => Math.abs(mm - median(read.flatMap((other, k) => (k === i ? [] : [other.mm])))))
  const most = away.reduce((a, b) => Math.max(a, b))
  const found = read.filter((_, i) => (away[i] as number) > most - slack)
  return found.length === read.length ? [] : [...new Set(found.map(({ text }) => text))]
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length / 2
  return ((sorted[Math.ceil(middle) - 1] as number) + (sorted[Math.floor(middle)] as number)) / 2
}
