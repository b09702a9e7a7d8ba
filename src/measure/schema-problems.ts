import * as z from 'zod'
import type { Parts } from './fields.ts'
import { issueWords } from './issue-words.ts'
import { nearestWord } from './nearest.ts'
import { meantFields } from './other-words.ts'
import { fieldAt, type Place, type Problem } from './problem.ts'

/** What was read, and how it is spoken of. */
interface Context {
  readonly raw: unknown
  readonly schema: z.ZodType
  readonly place: (path: readonly PropertyKey[]) => Place | undefined
  /** what the whole is called: `job` */
  readonly whole: string
  /** words of the reader's own for an issue that it knows more about; `value` as a person sees it */
  readonly own?: (issue: z.core.$ZodIssue, value: string) => Parts | undefined
}

/** Everything a schema found wrong, each as a problem in words for a person, with its place. */
export function schemaProblems(issues: readonly z.core.$ZodIssue[], context: Context): Problem[] {
  return issues.flatMap((issue) => fromIssue(issue, context))
}

export const withPlace = (p: Problem, place: Place | undefined): Problem => (place ? { ...p, place } : p)

/** Zod's issues in our words. Unions are opened: the branch that came furthest speaks. */
function fromIssue(issue: z.core.$ZodIssue, context: Context): Problem[] {
  const { raw, schema, place, whole } = context
  const found = issue.path.reduce<unknown>((v, k) => (v as Record<PropertyKey, unknown>)?.[k], raw)
  const field = fieldAt(issue.path) || whole
  const value = shown(found)
  const where = place(issue.path)
  const problem = (p: Parts): Problem[] => [withPlace({ ...p, field }, where)]
  if (issue.code === 'custom') return problem((issue.params as { parts: Parts }).parts)
  if (issue.code === 'unrecognized_keys') {
    const known = knownKeys(schema, issue.path, raw)
    return issue.keys.map((key) => {
      const meant = meantFields(key, known)
      const p = {
        code: 'unknown_key',
        field: issue.path.length === 0 ? key : `${field}.${key}`,
        value: 'not a field known here',
        limit: known.length > 0 ? `known are ${known.join(', ')}` : 'see midtick schema',
        cure: isTail(key, found) ? tailCure : meant.length > 0 ? `Did you mean ${meant.join(' or ')}?` : 'Remove it.',
      }
      return withPlace(p, place([...issue.path, key]))
    })
  }
  if (found === undefined) {
    const [known] = fieldsAt(schema, issue.path, raw)
    const only = known instanceof z.ZodLiteral ? `: ${String(known.value)}` : ''
    const help = only === '' && known?.description ? ` (${known.description})` : ''
    const cure = `Add ${String(issue.path.at(-1) ?? 'its fields')}${only}${help}.`
    return problem({ code: 'missing', value: 'not given', limit: 'it is needed', cure })
  }
  const own = context.own?.(issue, value)
  if (own) return problem(own)
  if (issue.code === 'invalid_union') {
    const branches = issue.errors.map((errors) => ({
      // Is the value of the kind that this branch takes, and wrong only inside?
      kindFits: errors.every((e) => e.path.length > 0 || e.code === 'unrecognized_keys'),
      problems: errors.flatMap((e) => fromIssue({ ...e, path: [...issue.path, ...e.path] } as typeof issue, context)),
    }))
    const told = branches.find((b) => b.problems.some((p) => p.code !== 'wrong_kind' && p.code !== 'missing'))
    const best = told ?? branches.find((b) => b.kindFits)
    if (best && best.problems.length > 0) return best.problems
  }
  if (issue.code === 'invalid_value') {
    const words = issue.values.map(String)
    const near = nearestWord(String(found), words)
    const cure = near ? `Did you mean ${near}?` : `Write ${words.length > 1 ? 'one of them' : words[0]}.`
    return problem({ code: 'unknown_word', value, limit: `it can be ${words.join(', ')}`, cure })
  }
  return problem({ value, ...issueWords(issue, found) })
}

/** Is it what stands behind a decimal comma, such as the 4 of `{ girth: 53,4 }`, where a comma parts the fields? */
const isTail = (key: string, table: unknown): boolean =>
  /^\d+$/.test(key) && (table as Readonly<Record<string, unknown>> | null)?.[key] === null
const tailCure =
  'A comma parts the fields in braces: where it is a decimal comma, write a point, as in 53.4, or quotes, as in "53,4".'

/** The fields that the schema knows at a path. */
const knownKeys = (schema: unknown, path: readonly PropertyKey[], raw: unknown): string[] => [
  ...new Set(tablesAt(schema, path, raw).flatMap(({ shape }) => Object.keys(shape))),
]

/** The field at a path, as each table that the schema takes there has it; those with a help first. */
function fieldsAt(schema: unknown, path: readonly PropertyKey[], raw: unknown): z.ZodType[] {
  const key = String(path.at(-1))
  const fields = tablesAt(schema, path.slice(0, -1), raw).flatMap(({ shape }) => (shape[key] as z.ZodType) ?? [])
  return [...fields.filter(({ description }) => description), ...fields.filter(({ description }) => !description)]
}

/** The tables that the schema takes at a path; of those that say by a word what they are, the ones of the value's own kind. */
function tablesAt(schema: unknown, path: readonly PropertyKey[], value: unknown, oneOfMany = false): z.ZodObject[] {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodDefault || schema instanceof z.ZodPrefault) {
    return tablesAt(schema.unwrap(), path, value, oneOfMany)
  }
  if (schema instanceof z.ZodLazy) return tablesAt(schema.unwrap(), path, value, oneOfMany)
  if (schema instanceof z.ZodPipe) return tablesAt(schema.in, path, value, oneOfMany)
  if (schema instanceof z.ZodUnion) return schema.options.flatMap((option) => tablesAt(option, path, value, true))
  const [key, ...rest] = path
  const inner = key === undefined ? undefined : (value as Record<PropertyKey, unknown>)[key]
  if (schema instanceof z.ZodArray) return tablesAt(schema.element, rest, inner)
  if (!(schema instanceof z.ZodObject)) return []
  const otherKind = Object.entries(schema.shape).some(
    ([name, field]) => field instanceof z.ZodLiteral && field.value !== (value as Record<string, unknown>)[name],
  )
  if (oneOfMany && otherKind) return []
  return key === undefined ? [schema] : tablesAt(schema.shape[String(key)], rest, inner)
}

/** What was read, on one line: short values as they are, others by their kind. */
function shown(value: unknown): string {
  if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : 'a list'
  if (typeof value === 'object' && value !== null) return 'a table'
  if (Number.isNaN(value)) return '.nan'
  if (typeof value !== 'string') return String(value)
  const line = value.replace(/\s+/g, ' ')
  return `"${line.length > 60 ? `${line.slice(0, 60)}...` : line}"`
}
