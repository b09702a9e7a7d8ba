import { LineCounter, parseDocument } from 'yaml'
import type { z } from 'zod'
import { type Unit, units } from '../measure/length.ts'
import { nearestWord } from '../measure/nearest.ts'
import type { Place, Problem } from '../measure/problem.ts'
import type { TapeClass } from '../measure/readings.ts'
import type { Specs, Template, Values } from '../panel/template.ts'
import { type Job, type JobObject, jobSchema, type Parts } from './schema.ts'

const mostBytes = 2_000_000

/** A job file's text checked as a whole: the job, or every problem with its line. */
export function readJob(
  text: string,
  templates: readonly Template[],
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
  const raw: unknown = document.toJS({ maxAliasCount: 100 })
  const warnings: string[] = []
  const schema = jobSchema(templates, {
    unit: unitOf(raw),
    tape: tapeOf(raw),
    onDoubt: (doubt) => warnings.push(doubt),
  })
  const parsed = schema.safeParse(raw)
  const place = (path: readonly PropertyKey[]): Place | undefined => {
    for (let n = path.length; n >= 0; n--) {
      const node = document.getIn(path.slice(0, n), true) as { range?: [number, number, number] | null } | undefined
      if (node?.range) return placeAt(node.range[0])
    }
    return undefined
  }
  if (!parsed.success) {
    return { problems: parsed.error.issues.flatMap((issue) => fromIssue(issue, raw, place, templates)), warnings }
  }
  const job = parsed.data
  const problems = job.objects.flatMap((object, i) => {
    const template = templates.find((t) => t.id === object.shape)
    const found = template?.check(valuesOf(object)) ?? []
    return found.map((p) =>
      withPlace({ ...p, field: `objects[${i}] ${object.name}: ${p.field}` }, place(['objects', i])),
    )
  })
  problems.push(...sameNames(job, place))
  return { ...(problems.length === 0 ? { job } : {}), problems, warnings }
}

/** The template's own fields of an object; the rest it does not look at. */
export const valuesOf = (object: JobObject): Values<Specs> => object as unknown as Values<Specs>

const withPlace = (p: Problem, place: Place | undefined): Problem => (place ? { ...p, place } : p)

function unitOf(raw: unknown): Unit {
  const unit = typeof raw === 'object' && raw !== null && 'unit' in raw ? raw.unit : 'mm'
  return units.find((u) => u === unit) ?? 'mm'
}

function tapeOf(raw: unknown): TapeClass {
  const tape = typeof raw === 'object' && raw !== null && 'tape' in raw ? raw.tape : undefined
  const own = typeof tape === 'object' && tape !== null && 'class' in tape ? tape.class : 'II'
  return own === 'I' || own === 'III' ? own : 'II'
}

function sameNames(job: Job, place: (path: readonly PropertyKey[]) => Place | undefined): Problem[] {
  const key = (name: string) => fileName(name)
  return job.objects.flatMap((object, i) => {
    const first = job.objects.findIndex((other) => key(other.name) === key(object.name))
    if (first === i) return []
    const problem = {
      code: 'same_name',
      field: `objects[${i}].name`,
      value: `"${object.name}"`,
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
  templates: readonly Template[],
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
  const problem = (p: Parts): Problem[] => [withPlace({ field, ...p }, where)]
  if (issue.code === 'custom') return problem((issue.params as { parts: Parts }).parts)
  if (issue.code === 'unrecognized_keys') {
    const known = knownKeys(issue.path, at(issue.path), templates)
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
  if (issue.code === 'invalid_union') {
    if (issue.path.at(-1) === 'shape') {
      const ids = templates.map((t) => t.id)
      const near = typeof at(issue.path) === 'string' ? nearestWord(String(at(issue.path)), ids) : undefined
      const cure = near ? `Did you mean ${near}?` : 'See midtick shapes.'
      return problem({ code: 'unknown_shape', value, limit: `the shapes are ${ids.join(', ')}`, cure })
    }
    const branches = issue.errors.map((errors) =>
      errors.flatMap((e) =>
        fromIssue({ ...e, path: [...issue.path, ...e.path] } as z.core.$ZodIssue, raw, place, templates),
      ),
    )
    const best = branches.find((b) => b.some((p) => p.code !== 'wrong_kind' && p.code !== 'missing'))
    if (best && best.length > 0) return best
  }
  if (at(issue.path) === undefined) {
    return problem({
      code: 'missing',
      value: 'not given',
      limit: 'it is needed',
      cure: `Add ${String(issue.path.at(-1))}.`,
    })
  }
  const limit = issue.message.replace(/^Invalid input: /, '').replace(/\.$/, '')
  return problem({ code: 'wrong_kind', value, limit, cure: 'Correct it; midtick schema shows every field.' })
}

function knownKeys(path: readonly PropertyKey[], value: unknown, templates: readonly Template[]): string[] {
  const shape = path.length === 2 && path[0] === 'objects' ? (value as { shape?: string }).shape : undefined
  const own = templates.find((t) => t.id === shape)
  if (own) return ['name', 'shape', 'copies', 'allowance', 'ticks', 'slit', 'strip', ...Object.keys(own.specs)]
  if (path.length === 0) {
    return ['version', 'title', 'unit', 'tape', 'film', 'stock', 'machine', 'paper', 'cut', 'defaults', 'objects']
  }
  return []
}

const shown = (value: unknown) => (typeof value === 'string' ? `"${value}"` : (JSON.stringify(value) ?? 'nothing'))
