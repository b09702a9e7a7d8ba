import * as z from 'zod'
import { lengthFields } from './fields.ts'
import { readLength, type Unit } from './length.ts'
import { fieldAt } from './problem.ts'
import { doubtWords } from './reading-words.ts'
import type { Gauge } from './readings.ts'
import type { Warning } from './warning.ts'

type Path = readonly PropertyKey[]

/**
 * A warning for each list of readings in `value`, wherever the schema takes a length, that differ by more than their
 * gauge explains.
 * @param value as it was written, and fits the schema
 * @param called what a field is called at the head of the sentence
 */
export function readingDoubts(schema: z.ZodType, value: unknown, called: (path: Path) => string): Warning[] {
  return listsAt(schema, value, []).flatMap(({ path, typed, unit, gauge }) => {
    const readings = typed.flatMap((entry) => {
      if (typeof entry !== 'number' && typeof entry !== 'string') return []
      const read = readLength(entry, unit, '')
      return 'mm' in read ? [{ text: String(entry).trim(), mm: read.mm }] : []
    })
    const words = readings.length > 1 ? doubtWords(readings, gauge, unit) : undefined
    return words === undefined ? [] : [{ text: `${called(path)}: ${words}`, field: fieldAt(path) }]
  })
}

interface List {
  readonly path: Path
  readonly typed: readonly unknown[]
  readonly unit: Unit
  readonly gauge: Gauge
}

/** The lists of a value that a schema takes for readings of one length. */
function listsAt(schema: unknown, value: unknown, path: Path): List[] {
  if (value === undefined || value === null) return []
  if (schema instanceof z.ZodPipe) {
    const length = lengthFields.get(schema)
    if (!length) return listsAt(schema.in, value, path)
    return Array.isArray(value) ? [{ path, typed: value, ...length }] : []
  }
  if (
    schema instanceof z.ZodOptional ||
    schema instanceof z.ZodNullable ||
    schema instanceof z.ZodDefault ||
    schema instanceof z.ZodPrefault ||
    schema instanceof z.ZodLazy
  ) {
    return listsAt(schema.unwrap(), value, path)
  }
  if (schema instanceof z.ZodUnion) return listsAt(branchOf(schema, value), value, path)
  if (schema instanceof z.ZodArray) {
    return Array.isArray(value) ? value.flatMap((entry, i) => listsAt(schema.element, entry, [...path, i])) : []
  }
  if (!(schema instanceof z.ZodObject) || typeof value !== 'object') return []
  return Object.entries(value).flatMap(([key, inner]) => listsAt(schema.shape[key], inner, [...path, key]))
}

/** The branch of a union that takes a value; of tables that say by a word what they are, the one of that word. */
function branchOf({ options }: z.ZodUnion, value: unknown): unknown {
  const fits = (option: unknown): option is z.ZodType => option instanceof z.ZodType && option.safeParse(value).success
  const named = options.filter((option) => option instanceof z.ZodObject && wordFits(option, value))
  return named.length === 1 ? named[0] : options.find(fits)
}

const wordFits = ({ shape }: z.ZodObject, value: unknown): boolean =>
  typeof value === 'object' &&
  value !== null &&
  Object.entries(shape).some(
    ([name, field]) => field instanceof z.ZodLiteral && field.value === (value as Record<string, unknown>)[name],
  )
