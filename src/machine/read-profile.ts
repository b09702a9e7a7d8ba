import type { Reading } from '../measure/fields.ts'
import { units } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import { schemaProblems } from '../measure/schema-problems.ts'
import { readYamlTable } from '../measure/yaml-table.ts'
import type { Machine } from './profile.ts'
import { profileSchema } from './schema.ts'

const kind = {
  what: 'machine profile',
  most: 100_000,
  tooLong: 'Keep one machine to a file.',
  begin: 'name: bench cutter',
}

/** A profile's text checked as a whole: the machine, or every problem with its place. */
export function readProfile(text: string): { readonly machine?: Machine; readonly problems: readonly Problem[] } {
  const table = readYamlTable(text, kind)
  if ('problems' in table) return table
  const { raw, place } = table
  const schema = profileSchema(readingOf(raw))
  const parsed = schema.safeParse(raw)
  if (parsed.success) return { machine: parsed.data, problems: [] }
  const problems = schemaProblems(parsed.error.issues, { raw, schema, place, whole: 'machine profile' })
  return { problems: problems.sort((a, b) => lineOf(a) - lineOf(b)) }
}

/** Bare numbers are read in the unit that the profile names. */
function readingOf(raw: unknown): Reading {
  const named = typeof raw === 'object' && raw !== null && 'unit' in raw ? raw.unit : undefined
  return { unit: units.find((u) => u === named) ?? 'mm', tape: 'I' }
}

const lineOf = ({ place }: Problem): number => place?.line ?? 0
