import { parse } from 'yaml'
import * as z from 'zod'
import { shipped } from '../machine/shipped.ts'
import type { Parts, Reading } from '../measure/fields.ts'
import { type Unit, units } from '../measure/length.ts'
import { fieldAt, type Place, type Problem } from '../measure/problem.ts'
import { readingDoubts } from '../measure/reading-doubts.ts'
import type { TapeClass } from '../measure/readings.ts'
import { schemaProblems, withPlace } from '../measure/schema-problems.ts'
import { type Warning, withoutRepeats } from '../measure/warning.ts'
import { readYamlTable, type YamlTable } from '../measure/yaml-table.ts'
import type { AnyValues, Template } from '../panel/template.ts'
import { meantShapes } from './other-shapes.ts'
import { repeats } from './repeats.ts'
import { anyShapeSchema, type Job, type JobObject, jobSchema, objectName } from './schema.ts'
import { type Bare, bareOf, thinJobDoubts } from './unit-doubts.ts'

const kind = { what: 'job file', most: 2_000_000, tooLong: 'Split the job.', begin: 'version: 1' }

export interface ReadJob {
  readonly job?: Job
  readonly problems: readonly Problem[]
  readonly warnings: readonly Warning[]
  /** what was written without a unit, of a job that is not refused */
  readonly bare?: Bare
}

/**
 * A job file's text checked as a whole: the job, or every problem with its line.
 * @param shapeIds names of all shapes there are, where `all` holds only those that the job may need
 */
export function readJob(
  text: string,
  all: readonly Template[],
  shapeIds: readonly string[] = all.map(({ id }) => id),
): ReadJob {
  const table = readYamlTable(text, kind)
  if ('problems' in table) return { problems: table.problems, warnings: [] }
  return readJobTable(table, all, shapeIds)
}

/** A job as plain data checked as a whole; a problem has its place in the text where `place` knows it. */
export function readJobTable(
  { raw: given, place }: Pick<YamlTable, 'raw' | 'place'>,
  all: readonly Template[],
  shapeIds: readonly string[],
): ReadJob {
  const raw = withMachineFilledIn(given)
  const reading: Reading = { unit: unitOf(raw), tape: tapeOf(raw) }
  const templates = templatesNamed(raw, all)
  const schema = jobSchema(templates, reading)
  const parsed = schema.safeParse(raw)
  // What single objects and their names show is told beside what the schema found, not one run later.
  const each = z.object({ objects: z.array(z.unknown()) }).safeParse(raw).data?.objects ?? []
  const objects = each.map((object) => schema.shape.objects.element.safeParse(object).data)
  const own = (issue: z.core.$ZodIssue, value: string) => shapeWords(issue, value, shapeIds)
  const context = { raw, place, whole: 'job', own }
  /** What else is wrong with objects of shapes that there are not. */
  const unknownShapes = (): Problem[] => {
    const anyShape = anyShapeSchema(reading)
    const found = (anyShape.safeParse(raw).error?.issues ?? []).filter(
      ({ path: [, i] }) => typeof i === 'number' && hasUnknownShape(each[i], templates),
    )
    return schemaProblems(found, { ...context, schema: anyShape })
  }
  const problems = [
    ...schemaProblems(parsed.error?.issues ?? [], { ...context, schema }),
    ...(each.some((object) => hasUnknownShape(object, templates)) ? unknownShapes() : []),
    ...objects.flatMap((object, i) => {
      const template = templates.find((t) => t.id === object?.shape)
      const found = object && template ? template.check(valuesOf(object)) : []
      return found.map((p) =>
        withPlace({ ...p, field: `objects[${i}] ${object?.name}: ${p.field}` }, place(['objects', i])),
      )
    }),
    ...sameNames(
      each.map((object) => objectName.safeParse(fieldOf(object, 'name')).data),
      place,
    ),
  ]
  const job = parsed.data
  const warnings = job
    ? withoutRepeats([...readingDoubts(schema, raw, (path) => calledIn(job, path)), ...thinJobDoubts(given, job)])
    : []
  if (!job || problems.length > 0) return { problems, warnings }
  return { job, problems, warnings, bare: bareOf(raw, templates) }
}

/** What a machine's table leaves out is as in the machine it is `like`, of those that come along; plain-roll unless said. */
function withMachineFilledIn(raw: unknown): unknown {
  const { machine } = tableOf(raw)
  if (!isTable(machine)) return raw
  const { like = 'plain-roll', ...own } = machine
  const base = shipped.find(({ name }) => name === like)
  if (!base) return raw
  const { unit: _, ...usual } = tableOf(parse(base.text))
  return { ...tableOf(raw), machine: merged(usual, own) }
}

/** Tables within tables are filled in too, but for `tools`, where each that is left out is one that is not there. */
function merged(usual: Table, own: Table): Table {
  const both = Object.entries(own).map(([name, value]) => {
    const filled = name !== 'tools' && isTable(value) && isTable(usual[name])
    return [name, filled ? merged(usual[name] as Table, value) : value]
  })
  return { ...usual, ...Object.fromEntries(both) }
}

type Table = Readonly<Record<string, unknown>>
const isTable = (value: unknown): value is Table => typeof value === 'object' && value !== null && !Array.isArray(value)

const tableOf = (value: unknown): Table => (typeof value === 'object' && value !== null ? (value as Table) : {})

/** Of a shape that is none of those there are, all of them are named. */
function shapeWords(issue: z.core.$ZodIssue, value: string, shapeIds: readonly string[]): Parts | undefined {
  if (issue.code !== 'invalid_union' || issue.path.at(-1) !== 'shape') return undefined
  const meant = meantShapes(value.replace(/^"|"$/g, ''), shapeIds)
  const cure = meant.length > 0 ? `Did you mean ${meant.join(' or ')}?` : 'See midtick shapes.'
  return { code: 'unknown_shape', value, limit: `the shapes are ${shapeIds.join(', ')}`, cure }
}

/** What a field is called in a sentence: an object's by its name, as in `paint tin, girth`. */
function calledIn({ objects }: Job, path: readonly PropertyKey[]): string {
  const [top, index, ...own] = path
  const object = top === 'objects' ? objects[Number(index)] : undefined
  return object ? `${object.name}, ${fieldAt(own)}` : fieldAt(path)
}

/** The template's own fields of an object; the rest it does not look at. */
export const valuesOf = (object: JobObject): AnyValues => object as unknown as AnyValues

const fieldOf = (table: unknown, name: string): unknown => tableOf(table)[name]

/** The shapes that the objects name: a schema of all of them takes longer to build than the job to check. */
function templatesNamed(raw: unknown, all: readonly Template[]): readonly Template[] {
  const objects = fieldOf(raw, 'objects')
  const names = new Set((Array.isArray(objects) ? objects : []).map((object) => fieldOf(object, 'shape')))
  const named = all.filter(({ id }) => names.has(id))
  return named.length > 0 ? named : all.slice(0, 1)
}

function unitOf(raw: unknown): Unit {
  const unit = fieldOf(raw, 'unit')
  return units.find((u) => u === unit) ?? 'mm'
}

function tapeOf(raw: unknown): TapeClass {
  const own = fieldOf(fieldOf(raw, 'tape'), 'class')
  return own === 'I' || own === 'III' ? own : 'II'
}

/** Is it a table whose shape is missing or none of the known? */
function hasUnknownShape(object: unknown, templates: readonly Template[]): boolean {
  if (typeof object !== 'object' || object === null || Array.isArray(object)) return false
  return !templates.some((template) => template.id === fieldOf(object, 'shape'))
}

function sameNames(
  names: readonly (string | undefined)[],
  place: (path: readonly PropertyKey[]) => Place | undefined,
): Problem[] {
  return repeats(names.map((name) => name && fileName(name))).map(({ at, first }) => {
    const problem = {
      code: 'same_name',
      field: `objects[${at}].name`,
      value: `"${names[at]}"`,
      limit: `objects[${first}] has that name, and each panel gets files of its own`,
      cure: 'Use another name, or copies for several of one size.',
    }
    return withPlace(problem, place(['objects', at, 'name']))
  })
}

/** A name as part of a file name: letters, digits and dashes. */
export function fileName(name: string): string {
  const plain = name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '')
  return plain || 'panel'
}
