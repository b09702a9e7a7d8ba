import * as z from 'zod'
import type { Template } from '../panel/template.ts'
import { shapeKit } from './shape-kit.ts'

const call = z.custom<(...values: never[]) => unknown>((value) => typeof value === 'function', 'it must be a function')
const bound = z.number()
const help = z.string().min(1)
const letter = z.string().optional()
const under = z.string().optional()
const standard = z.number().optional()
const optional = z.literal(true).optional()
const choice = z
  .strictObject({ kind: z.literal('choice'), options: z.array(z.string()).min(1), standard: z.string(), help })
  .refine((spec) => spec.options.includes(spec.standard), 'standard must be one of its options')
const single = [
  z.strictObject({ kind: z.literal('length'), min: bound, max: bound, help, letter, standard, optional, under }),
  z.strictObject({ kind: z.literal('angle'), min: bound, max: bound, help, letter, standard, optional, under }),
  z.strictObject({ kind: z.literal('number'), min: bound, max: bound, help, whole: optional, standard, optional }),
  choice,
] as const
const spec = z.union([
  ...single,
  z.strictObject({ kind: z.literal('text'), most: bound, help }),
  z.strictObject({ kind: z.literal('file'), help }),
  z.strictObject({ kind: z.literal('corners'), max: bound, help, letter }),
  z.strictObject({
    kind: z.literal('list'),
    item: z.record(z.string(), z.union(single)),
    help,
    fewest: z.number().int().min(0).optional(),
  }),
])

/** The template contract, as far as it can be seen before a shape is used. */
const contract = z.strictObject({
  id: z.string().regex(/^[a-z][a-z0-9-]{1,40}$/, 'lower case letters, digits and dashes'),
  title: help,
  when: help,
  specs: z.record(z.string(), spec),
  edges: z.array(z.string().min(1)).min(1).optional(),
  example: z.strictObject({ measures: z.record(z.string(), z.unknown()), shows: z.string() }),
  check: call,
  doubts: call.optional(),
  develop: call,
  sketch: call,
})

/**
 * The shape that a module of a shop's own gives: its default export is a function that is handed the kit and returns a
 * template, or the template itself. Throws an Error that names the field at fault.
 * @param taken names that are in use already
 */
export function ownShape(exported: unknown, taken: readonly string[]): Template {
  const made: unknown = typeof exported === 'function' ? exported(shapeKit) : exported
  if (made === undefined) throw new Error('it has no default export that gives a shape')
  const read = contract.safeParse(made)
  if (!read.success) {
    const [issue] = read.error.issues
    throw new Error(`${issue?.path.join('.') || 'the shape'}: ${issue?.message ?? 'not a shape'}`)
  }
  if (taken.includes(read.data.id)) throw new Error(`id: there is a shape ${read.data.id} already`)
  const template = made as Template
  trySketch(template)
  return template
}

/** A shape whose drawing cannot be made is of no use to anybody: told when it is loaded, not at the bench. */
function trySketch(template: Template): void {
  const picture = template.sketch(undefined, (mm) => `${mm} mm`)
  if (!(picture?.width > 0 && picture.height > 0 && Array.isArray(picture.items))) {
    throw new Error('sketch: it must return a picture with width, height and items')
  }
}
