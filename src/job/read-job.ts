import { type Document, LineCounter, parseDocument } from 'yaml'
import * as z from 'zod'
import { type Unit, units } from '../measure/length.ts'
import { nearestWord } from '../measure/nearest.ts'
import type { Place, Problem } from '../measure/problem.ts'
import type { TapeClass } from '../measure/readings.ts'
import type { AnyValues, Template } from '../panel/template.ts'
import { readingDoubts } from './doubts.ts'
import { issueWords } from './issue-words.ts'
import { anyShapeSchema, type Job, type JobObject, jobSchema, type Parts, type Reading } from './schema.ts'

const mostBytes = 2_000_000

/**
 * A job file's text checked as a whole: the job, or every problem with its line.
 * @param shapeIds names of all shapes there are, where `all` holds only those that the job may need
 */
export function readJob(
  text: string,
  all: readonly Template[],
  shapeIds: readonly string[] = all.map(({ id }) => id),
): { readonly job?: Job; readonly problems: readonly Problem[]; readonly warnings: readonly string[] } {
  if (text.length > mostBytes) {
    const size = {
      code: 'too_big',
      field: 'job file',
      value: `${text.length} bytes`,
      limit: `the most is ${mostBytes}`,
    }
    return { problems: [{ ...size, cure: 'Split the job.' }], warnings: [] }
  }
  const lines = new LineCounter()
  const document = parseDocument(text, { lineCounter: lines, uniqueKeys: true })
  const placeAt = (offset: number): Place => {
    const { line, col } = lines.linePos(offset)
    return { line, column: col }
  }
  if (document.errors.length > 0) {
    return {
      problems: document.errors.map((e) => ({
        code: 'yaml',
        field: 'job file',
        value: `not readable here (${e.message.split('\n')[0]?.replace(/:$/, '') ?? e.code})`,
        limit: 'a job file is YAML',
        cure: 'Check indentation, colons and quotes on this line.',
        place: placeAt(e.pos[0]),
      })),
      warnings: [],
    }
  }
  const unfolded = unfold(document)
  if ('problem' in unfolded) return { problems: [unfolded.problem], warnings: [] }
  const { raw } = unfolded
  const reading: Reading = { unit: unitOf(raw), tape: tapeOf(raw) }
  const templates = templatesNamed(raw, all)
  const schema = jobSchema(templates, reading)
  const parsed = schema.safeParse(raw)
  const place = (path: readonly PropertyKey[]): Place | undefined => {
    for (let n = path.length; n >= 0; n--) {
      const node = document.getIn(path.slice(0, n), true) as { range?: [number, number, number] | null } | undefined
      if (node?.range) return placeAt(node.range[0])
    }
    return undefined
  }
  // What single objects and their names show is told beside what the schema found, not one run later.
  const each = z.object({ objects: z.array(z.unknown()) }).safeParse(raw).data?.objects ?? []
  const objects = each.map((object) => schema.shape.objects.element.safeParse(object).data)
  const anyShape = anyShapeSchema(reading)
  const problems = [
    ...(parsed.error?.issues ?? []).flatMap((issue) => fromIssue(issue, raw, place, shapeIds, schema)),
    ...(anyShape.safeParse(raw).error?.issues ?? [])
      .filter(({ path: [, i] }) => typeof i === 'number' && hasUnknownShape(each[i], templates))
      .flatMap((issue) => fromIssue(issue, raw, place, shapeIds, anyShape)),
    ...objects.flatMap((object, i) => {
      const template = templates.find((t) => t.id === object?.shape)
      const found = object && template ? template.check(valuesOf(object)) : []
      return found.map((p) =>
        withPlace({ ...p, field: `objects[${i}] ${object?.name}: ${p.field}` }, place(['objects', i])),
      )
    }),
    ...sameNames(
      each.map((object) => anyShape.shape.objects.element.shape.name.safeParse(fieldOf(object, 'name')).data),
      place,
    ),
  ]
  const warnings = parsed.success ? readingDoubts(raw, templates, reading) : []
  return parsed.success && problems.length === 0 ? { job: parsed.data, problems, warnings } : { problems, warnings }
}

/** The document as plain data. References that lead nowhere, or swell the document, only show here. */
function unfold(document: Document): { readonly raw: unknown } | { readonly problem: Problem } {
  try {
    return { raw: document.toJS({ maxAliasCount: 100 }) }
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/\.$/, '') : 'a reference that cannot be followed'
    const value = `not readable (${why})`
    const limit = 'every * needs its & above it, and 100 uses are the most'
    return { problem: { code: 'yaml', field: 'job file', value, limit, cure: 'Write the values out.' } }
  }
}

/** The template's own fields of an object; the rest it does not look at. */
export const valuesOf = (object: JobObject): AnyValues => object as unknown as AnyValues

const withPlace = (p: Problem, place: Place | undefined): Problem => (place ? { ...p, place } : p)

const fieldOf = (table: unknown, name: string): unknown =>
  typeof table === 'object' && table !== null ? (table as Record<string, unknown>)[name] : undefined

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
  return names.flatMap((name, i) => {
    if (name === undefined) return []
    const first = names.findIndex((other) => other !== undefined && fileName(other) === fileName(name))
    if (first === i) return []
    const problem = {
      code: 'same_name',
      field: `objects[${i}].name`,
      value: `"${name}"`,
      limit: `objects[${first}] has that name, and each panel gets files of its own`,
      cure: 'Use another name, or copies for several of one size.',
    }
    return [withPlace(problem, place(['objects', i, 'name']))]
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

/** Zod's issues in our words. Unions are opened: the branch that came furthest speaks. */
function fromIssue(
  issue: z.core.$ZodIssue,
  raw: unknown,
  place: (path: readonly PropertyKey[]) => Place | undefined,
  shapeIds: readonly string[],
  schema: z.ZodType,
): Problem[] {
  const at = (path: readonly PropertyKey[]) =>
    path.reduce<unknown>((v, k) => (v as Record<PropertyKey, unknown>)?.[k], raw)
  const field =
    issue.path
      .map((k) => (typeof k === 'number' ? `[${k}]` : `.${String(k)}`))
      .join('')
      .replace(/^\./, '') || 'job'
  const value = shown(at(issue.path))
  const where = place(issue.path)
  const problem = (p: Parts): Problem[] => [withPlace({ ...p, field }, where)]
  if (issue.code === 'custom') return problem((issue.params as { parts: Parts }).parts)
  if (issue.code === 'unrecognized_keys') {
    const known = knownKeys(schema, issue.path, raw)
    return issue.keys.map((key) => {
      const near = nearestWord(key, known)
      const p = {
        code: 'unknown_key',
        field: field === 'job' ? key : `${field}.${key}`,
        value: 'not a field known here',
        limit: known.length > 0 ? `known are ${known.join(', ')}` : 'see midtick schema',
        cure: near ? `Did you mean ${near}?` : 'Remove it.',
      }
      return withPlace(p, place([...issue.path, key]))
    })
  }
  if (at(issue.path) === undefined) {
    const cure = `Add ${String(issue.path.at(-1))}.`
    return problem({ code: 'missing', value: 'not given', limit: 'it is needed', cure })
  }
  if (issue.code === 'invalid_union') {
    if (issue.path.at(-1) === 'shape') {
      const near = typeof at(issue.path) === 'string' ? nearestWord(String(at(issue.path)), shapeIds) : undefined
      const cure = near ? `Did you mean ${near}?` : 'See midtick shapes.'
      return problem({ code: 'unknown_shape', value, limit: `the shapes are ${shapeIds.join(', ')}`, cure })
    }
    const branches = issue.errors.map((errors) =>
      errors.flatMap((e) =>
        fromIssue({ ...e, path: [...issue.path, ...e.path] } as z.core.$ZodIssue, raw, place, shapeIds, schema),
      ),
    )
    const best = branches.find((b) => b.some((p) => p.code !== 'wrong_kind' && p.code !== 'missing'))
    if (best && best.length > 0) return best
  }
  if (issue.code === 'invalid_value') {
    const words = issue.values.map(String)
    const near = nearestWord(String(at(issue.path)), words)
    const cure = near ? `Did you mean ${near}?` : `Write ${words.length > 1 ? 'one of them' : words[0]}.`
    return problem({ code: 'unknown_word', value, limit: `it can be ${words.join(', ')}`, cure })
  }
  return problem({ value, ...issueWords(issue, at(issue.path)) })
}

/** The fields that the schema knows at a path; of an object, those of its own shape. */
function knownKeys(schema: unknown, path: readonly PropertyKey[], value: unknown): string[] {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodDefault || schema instanceof z.ZodPrefault) {
    return knownKeys(schema.unwrap(), path, value)
  }
  if (schema instanceof z.ZodPipe) return knownKeys(schema.in, path, value)
  if (schema instanceof z.ZodUnion) return schema.options.flatMap((option) => knownKeys(option, path, value))
  const [key, ...rest] = path
  const inner = key === undefined ? undefined : (value as Record<PropertyKey, unknown>)[key]
  if (schema instanceof z.ZodArray) return knownKeys(schema.element, rest, inner)
  if (!(schema instanceof z.ZodObject)) return []
  const { shape } = schema.shape
  if (shape instanceof z.ZodLiteral && shape.value !== (value as { shape?: unknown }).shape) return []
  return key === undefined ? Object.keys(schema.shape) : knownKeys(schema.shape[String(key)], rest, inner)
}

/** What was read, on one line: short values as they are, others by their kind. */
function shown(value: unknown): string {
  if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : 'a list'
  if (typeof value === 'object' && value !== null) return 'a table'
  if (typeof value !== 'string') return String(value)
  const line = value.replace(/\s+/g, ' ')
  return `"${line.length > 60 ? `${line.slice(0, 60)}...` : line}"`
}
