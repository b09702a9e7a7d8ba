import type { Reading } from '../measure/fields.ts'
import { units } from '../measure/length.ts'
import { fieldAt, type Problem } from '../measure/problem.ts'
import { readingDoubts } from '../measure/reading-doubts.ts'
import { schemaProblems } from '../measure/schema-problems.ts'
import { type ThinThing, thinDoubts } from '../measure/thin-doubts.ts'
import type { Warning } from '../measure/warning.ts'
import { readYamlTable } from '../measure/yaml-table.ts'
import type { Machine } from './profile.ts'
import { profileSchema } from './schema.ts'

const kind = {
  what: 'machine profile',
  most: 100_000,
  tooLong: 'Keep one machine to a file.',
  begin: 'name: bench cutter',
}

/** Lengths of a profile that people think of in mm whatever its unit (common practice, no source). */
export const thinOfMachine: readonly ThinThing[] = [
  { path: ['blade', 'offset'], least: 1.6 },
  { path: ['blade', 'overcut'], least: 2 },
]

export interface ReadProfile {
  readonly machine?: Machine
  readonly problems: readonly Problem[]
  readonly warnings: readonly Warning[]
}

/** A profile's text checked as a whole: the machine, or every problem with its place; and what to look at again. */
export function readProfile(text: string): ReadProfile {
  const table = readYamlTable(text, kind)
  if ('problems' in table) return { ...table, warnings: [] }
  const { raw, place } = table
  const reading = readingOf(raw)
  const schema = profileSchema(reading)
  const parsed = schema.safeParse(raw)
  if (parsed.success) {
    const warnings = [...readingDoubts(schema, raw, fieldAt), ...thinDoubts(raw, reading.unit, thinOfMachine)]
    return { machine: parsed.data, problems: [], warnings }
  }
  const problems = schemaProblems(parsed.error.issues, { raw, schema, place, whole: 'machine profile' })
  return { problems: problems.sort((a, b) => lineOf(a) - lineOf(b)), warnings: [] }
}

/** Bare numbers are read in the unit that the profile names. */
function readingOf(raw: unknown): Reading {
  const named = typeof raw === 'object' && raw !== null && 'unit' in raw ? raw.unit : undefined
  return { unit: units.find((u) => u === named) ?? 'mm', tape: 'I' }
}

const lineOf = ({ place }: Problem): number => place?.line ?? 0
