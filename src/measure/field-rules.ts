import type * as z from 'zod'
import type { Parts } from './fields.ts'

/** A rule over several fields of a table: what is wrong, and at which of them. */
export interface Rule<Written> {
  /** it is asked once these are all right by themselves */
  readonly fields: readonly (keyof Written & string)[]
  readonly find: (written: Written) => readonly { readonly path: readonly string[]; readonly parts: Parts }[]
}

/** A table's schema with rules over its fields, each of which speaks although another field is wrong. */
export function withRules<Written, S extends z.ZodType<Written>>(schema: S, rules: readonly Rule<Written>[]): S {
  return rules.reduce(
    (ruled, { fields, find }) =>
      ruled.superRefine(
        (written, context) => {
          for (const { path, parts } of find(written)) {
            context.addIssue({ code: 'custom', path: [...path], message: parts.limit, params: { parts } })
          }
        },
        {
          when: ({ value, issues }) =>
            isTable(value) && fields.every((field) => !issues.some(({ path }) => path?.[0] === field)),
        },
      ),
    schema,
  )
}

const isTable = (value: unknown): boolean => typeof value === 'object' && value !== null && !Array.isArray(value)
