import type { Key, Value } from './job-text.ts'
import { typedValue } from './job-text.ts'

/** What stands at a path of plain data. */
export function valueAt(data: unknown, path: readonly Key[]): unknown {
  return path.reduce<unknown>(
    (v, k) => (typeof v === 'object' && v !== null ? (v as Record<Key, unknown>)[k] : undefined),
    data,
  )
}

/** A field's name in words: `bottomGirth` is bottom girth. */
export const inWords = (name: string): string => name.replace(/(?<=[a-z])[A-Z]/g, (c) => ` ${c.toLowerCase()}`)

/** Readings as a field shows them. */
export function readingsOf(value: unknown): string[] {
  if (Array.isArray(value)) return value.map(String)
  return [value === undefined || value === null || typeof value === 'object' ? '' : String(value)]
}

/** Readings as they stand in the file: one, several, or none. */
export function valueOfReadings(typed: readonly string[]): Value | undefined {
  const given = typed.filter((t) => t.trim() !== '').map(typedValue)
  return given.length > 1 ? given : given[0]
}

/** Do two values stand for the same in a file? */
export const saysSame = (a: unknown, b: unknown): boolean => JSON.stringify(a ?? null) === JSON.stringify(b ?? null)

/** Words in which fields are named as their labels are: `or give topRise` is or give top rise. */
export const plainNames = (words: string): string => words.replace(/\b[a-z]+[A-Z][A-Za-z]*\b/g, inWords)
