import type * as z from 'zod'
import type { Parts } from './fields.ts'

type Words = Omit<Parts, 'value'>

/** What a field must be, by the schema's name for it, and how it is written. */
const kinds: Readonly<Record<string, { readonly is: string; readonly cure: string }>> = {
  int: { is: 'a whole number', cure: 'Write digits alone, such as 2.' },
  number: { is: 'a number', cure: 'Write it without quotes or a unit, such as 40.' },
  string: { is: 'text', cure: 'Write words; put quotes round what looks like a number.' },
  boolean: { is: 'true or false', cure: 'Write true or false, without quotes.' },
  array: { is: 'a list', cure: 'Write each entry on a line of its own, after a dash.' },
  object: { is: 'a table of fields', cure: 'Write its fields on lines of their own, set in below it.' },
  record: { is: 'a table of fields', cure: 'Write its fields on lines of their own, set in below it.' },
}

const anyOther: Words = {
  code: 'wrong_kind',
  limit: 'that does not fit this field',
  cure: 'Correct it; midtick schema shows every field.',
}

/** What the schema found wrong with `value`, in words for a person; unions, unknown keys and words are not its business. */
export function issueWords(issue: z.core.$ZodIssue, value: unknown): Words {
  switch (issue.code) {
    case 'invalid_union':
      return unionWords(issue)
    case 'invalid_type': {
      const kind = kinds[issue.expected]
      return kind ? { code: 'wrong_kind', limit: `it must be ${kind.is}`, cure: kind.cure } : anyOther
    }
    case 'too_small':
      return tooSmall(issue.origin, Number(issue.minimum))
    case 'too_big':
      return tooBig(issue.origin, Number(issue.maximum), value)
    default:
      return anyOther
  }
}

/** The kinds that the branches of a union ask for; what takes text or a number is a length. */
function unionWords(issue: z.core.$ZodIssueInvalidUnion): Words {
  const asked = issue.errors.flat().flatMap((e) => {
    if (e.path.length > 0) return []
    return e.code === 'invalid_union' ? ['string'] : e.code === 'invalid_type' ? [e.expected] : []
  })
  const known = [...new Set(asked)].flatMap((kind) => kinds[kind] ?? [])
  if (asked.includes('string') || known.length === 0) {
    return { ...anyOther, limit: 'a length is a number, or text such as 95 mm, or a list of readings' }
  }
  return { ...anyOther, limit: `it must be ${known.map(({ is }) => is).join(' or ')}`, cure: known[0]?.cure ?? '' }
}

function tooSmall(origin: string, least: number): Words {
  const code = 'too_small'
  if (origin === 'array') {
    return { code, limit: `it needs ${least} or more`, cure: least === 1 ? 'Add one.' : 'Add to the list.' }
  }
  if (origin === 'string') return { code, limit: 'it cannot be empty', cure: 'Write a word or more.' }
  return { code, limit: `the least is ${least}`, cure: `Enter ${least} or more.` }
}

function tooBig(origin: string, most: number, value: unknown): Words {
  const code = 'too_big'
  if (origin === 'array') return { code, limit: `the most is ${most}`, cure: 'Make the list shorter.' }
  if (origin === 'string') {
    const over = String(value).trim().length - most
    return { code, limit: `the most is ${most} characters`, cure: `Shorten it by ${over}.` }
  }
  return { code, limit: `the most is ${most}`, cure: `Enter ${most} or less.` }
}
