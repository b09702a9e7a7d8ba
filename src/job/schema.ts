import * as z from 'zod'
import { machineSchema } from '../machine/schema.ts'
import { angleSchema, lengthSchema, type Reading } from '../measure/fields.ts'
import { units } from '../measure/length.ts'
import { edgeNames } from '../panel/panel.ts'
import type { Spec, Specs, Template } from '../panel/template.ts'

function specSchema(spec: Spec, reading: Reading): z.ZodType {
  switch (spec.kind) {
    case 'length': {
      const one = lengthSchema(reading, spec.min, spec.max, spec.help)
      if (spec.optional) return one.optional()
      return spec.standard === undefined ? one : one.default(spec.standard)
    }
    case 'number': {
      const any = spec.whole ? z.number().int() : z.number()
      const one = any.min(spec.min).max(spec.max).describe(spec.help)
      if (spec.optional) return one.optional()
      return spec.standard === undefined ? one : one.default(spec.standard)
    }
    case 'angle': {
      const one = angleSchema(spec.min, spec.max, spec.help)
      if (spec.optional) return one.optional()
      return spec.standard === undefined ? one : one.default((spec.standard * Math.PI) / 180)
    }
    case 'text':
      return z.string().min(1).max(spec.most).describe(spec.help)
    case 'file':
      return z.string().min(1).max(1000).describe(spec.help)
    case 'choice':
      return z
        .enum(spec.options as [string, ...string[]])
        .default(spec.standard)
        .describe(spec.help)
    case 'corners': {
      const one = lengthSchema(reading, 0, spec.max, spec.help)
      const each = one.default(0)
      const named = z.strictObject({ bottomLeft: each, bottomRight: each, topRight: each, topLeft: each })
      const all = (r: number) => ({ bottomLeft: r, bottomRight: r, topRight: r, topLeft: r })
      return z
        .union([named, one.transform(all)])
        .default(all(0))
        .describe(spec.help)
    }
    case 'list': {
      const list = z.array(z.strictObject(shapeOf(spec.item, reading))).max(500)
      return spec.fewest === undefined
        ? list.default([]).describe(spec.help)
        : list.min(spec.fewest).describe(spec.help)
    }
  }
}

const shapeOf = (specs: Specs, reading: Reading) =>
  Object.fromEntries(Object.entries(specs).map(([name, spec]) => [name, specSchema(spec, reading)]))

/** The machine of a job that names none. */
const standardMachine = 'plain-roll'

const whole = z.number().int().min(1)

/** How panels are handled, as a job says it for all and an object for itself. */
function handlingFields(reading: Reading, edges: readonly string[]) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  const named = [...new Set([...edges, 'other'])].map((name) => [
    name,
    length(-200, 200, name === 'other' ? 'past every edge not named' : `past the ${name} edge`).optional(),
  ])
  const allowance = z
    .union([
      z.strictObject(Object.fromEntries(named)),
      length(-200, 200, 'past every measured edge; negative is an inset'),
    ])
    .describe(`how far the film is cut past the measured edge: one length, or a table of ${edges.join(', ')}, other`)
  const place = length(0.1, 20000, 'along the bottom edge, from its left end')
  return {
    allowance: allowance.optional(),
    ticks: z.enum(['auto', 'pen', 'notch', 'waste']).optional().describe('how ticks are made'),
    ticksAt: z
      .array(z.union([z.enum(['quarters']), place]))
      .max(50)
      .optional()
      .describe('ticks beside those at the hinge: quarters, or lengths along the bottom edge from its left end'),
    hinge: z
      .union([z.enum(['upright', 'level']), place])
      .optional()
      .describe('where the panel hangs from: upright or level in the middle, or a length along the bottom edge'),
    slit: z.enum(['one', 'strip', 'none']).optional().describe('liner lines at the hinge'),
    strip: length(5, 200, 'width of the liner strip between two slits').optional(),
  }
}

export const objectName = z.string().trim().min(1).max(60).describe('what it is called on labels and files')
const copies = whole.max(2000).default(1)

/** The objects of a job as far as every shape has the same fields. */
export function anyShapeSchema(reading: Reading) {
  return z.object({ objects: z.array(z.object({ name: objectName, copies, ...handlingFields(reading, edgeNames) })) })
}

function builtJobSchema(templates: readonly Template[], reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  const edgesOf = (template: Template) => template.edges ?? edgeNames
  const everyEdge = [...new Set(templates.flatMap(edgesOf))]
  const object = (template: Template) =>
    z.strictObject({
      name: objectName,
      shape: z.literal(template.id).describe(template.when),
      copies,
      ...handlingFields(reading, edgesOf(template)),
      ...shapeOf(template.specs, reading),
    })
  const [first, ...rest] = templates.map(object)
  if (!first) throw new RangeError('a job schema without shapes')
  return z.strictObject({
    version: z.literal(1),
    title: z.string().trim().min(1).max(100),
    unit: z.enum(units).default('mm').describe('unit of numbers written without one'),
    tape: z
      .strictObject({
        class: z.enum(['I', 'II', 'III']).default('II').describe('accuracy class printed on the tape'),
        thickness: length(0, 3, 'of the tape, when laid round').default(0),
      })
      .prefault({}),
    film: z
      .strictObject({
        name: z.string().default('self-adhesive film'),
        thickness: length(0, 2, 'of the film without its liner').default(0.08),
        stretch: z
          .number()
          .min(0)
          .max(100)
          .optional()
          .describe("how much it may stretch or shrink and still lie, percent; see the maker's data sheet"),
        liner: z
          .strictObject({
            material: z
              .enum(['paper', 'plastic'])
              .default('paper')
              .describe('what the liner is made of; paper parts along a scratch, plastic does not'),
            thickness: length(0.01, 1, 'of the liner alone; the slitter goes no deeper').default(0.1),
          })
          .prefault({})
          .describe('the backing that is peeled off the film'),
      })
      .prefault({}),
    stock: z
      .strictObject({
        kind: z.enum(['roll', 'sheet']).default('roll'),
        width: length(20, 5000, 'across the film').default(630),
        length: length(20, 100000, 'of the sheet, or left on the roll').default(10000),
        margin: length(0, 200, 'kept free along every edge').default(10),
        gap: length(2, 200, 'between pieces').default(12),
        turn: z.boolean().default(true).describe('may pieces be turned a quarter?'),
      })
      .prefault({}),
    machine: z
      .union([z.string().trim().min(1), z.lazy(() => machineSchema(reading))])
      .default(standardMachine)
      .describe('the name of a machine, see midtick machines, or its own table'),
    paper: z.enum(['A4', 'A3', 'Letter', 'Legal', 'Tabloid']).default('A4'),
    cut: z.enum(['kiss', 'through']).default('kiss'),
    defaults: z.strictObject(handlingFields(reading, everyEdge)).prefault({}),
    objects: z
      .array(z.discriminatedUnion('shape', [first, ...rest]))
      .min(1)
      .max(500),
  })
}

interface KnownSchema {
  readonly templates: readonly Template[]
  readonly reading: Reading
  readonly schema: ReturnType<typeof builtJobSchema>
}

/** The last few schemas: to build one takes longer than to check a job with it. */
const known: KnownSchema[] = []
const mostKnown = 4

/** The whole job file's schema for one choice of units; defaults are filled in by it. */
export function jobSchema(templates: readonly Template[], reading: Reading): KnownSchema['schema'] {
  const isSame = (own: KnownSchema) =>
    own.reading.unit === reading.unit &&
    own.reading.tape === reading.tape &&
    own.templates.length === templates.length &&
    own.templates.every((template, i) => template === templates[i])
  const found = known.find(isSame)
  if (found) return found.schema
  const schema = builtJobSchema(templates, reading)
  known.unshift({ templates, reading, schema })
  known.length = Math.min(known.length, mostKnown)
  return schema
}

export type Job = z.output<ReturnType<typeof jobSchema>>
export type JobObject = Job['objects'][number]

/** The JSON Schema of the job file as a person writes it. */
export function jobJsonSchema(templates: readonly Template[]): unknown {
  const reading: Reading = { unit: 'mm', tape: 'II' }
  return z.toJSONSchema(jobSchema(templates, reading), { io: 'input' })
}
