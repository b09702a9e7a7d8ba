import * as z from 'zod'
import { machineSchema } from '../machine/schema.ts'
import { angleSchema, lengthSchema, type Reading } from '../measure/fields.ts'
import { units } from '../measure/length.ts'
import { edgeNames } from '../panel/panel.ts'
import type { Spec, Specs, Template } from '../panel/template.ts'
import { standardFilm } from './film-name.ts'
import { mostPages, usualPages } from './paper-pages.ts'
import { oneStockSchema, stockSchema, turnSchema } from './stock-schema.ts'

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
  const place = length(0.1, 20000, 'along the bottom edge, from its left end, as the tape on the object reads')
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

/** How pieces are laid on the film. */
function layoutSchema(reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  return z.strictObject({
    seed: z.number().int().min(0).max(1e9).default(1).describe('another one gives another layout'),
    effort: z.number().int().min(0).max(1e6).default(3).describe('rounds of search; more takes longer'),
    places: z.string().trim().min(1).max(1000).optional().describe('file with places found by midtick layout'),
    gap: length(2, 200, 'between pieces').optional().describe('between pieces; 12 mm if left out'),
    weed: z.enum(['none', 'piece', 'group']).default('none').describe('what a weed border goes round'),
    weedAt: length(0.5, 50, 'from the film to its weed border').default(3),
    cutOff: z.enum(['none', 'pen', 'through']).default('none').describe('lines across the film between groups'),
    tile: z.boolean().default(false).describe('may panels too big for the film be cut in parts that overlap?'),
    tileOverlap: length(0, 100, 'of two parts of a tiled panel').default(10),
    keep: z
      .strictObject({
        short: length(10, 5000, 'short side').default(80),
        long: length(10, 5000, 'long side').default(150),
      })
      .prefault({})
      .describe('the least rectangle in an offcut that is worth keeping'),
  })
}

/** How the pieces of an object are laid. */
function layingFields(reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  return {
    turn: turnSchema.optional(),
    group: z.string().trim().min(1).max(60).optional().describe('pieces of one group come from one sheet'),
    pinned: z
      .array(
        z.strictObject({
          copy: whole.max(100000).default(1),
          panel: z.string().trim().min(1).max(200).optional().describe('of an object of several panels'),
          stock: z.string().trim().min(1).max(60).optional().describe('name of the film; the first if left out'),
          sheet: whole.max(10000).default(1).describe('which of the sheets cut from it'),
          x: length(0, 100000, 'from the left edge of the film to the piece'),
          y: length(0, 100000, 'from the bottom edge of the film to the piece'),
          angle: angleSchema(-360, 360, 'turned counter-clockwise').default(0),
        }),
      )
      .max(2000)
      .optional()
      .describe('pieces that stay where a person wants them'),
  }
}

export const objectName = z.string().trim().min(1).max(60).describe('what it is called on labels and files')
const copies = whole.max(2000).default(1)

/** The objects of a job as far as every shape has the same fields. */
export function anyShapeSchema(reading: Reading) {
  const fields = { ...layingFields(reading), ...handlingFields(reading, edgeNames) }
  return z.object({ objects: z.array(z.object({ name: objectName, copies, ...fields })) })
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
      ...layingFields(reading),
      ...handlingFields(reading, edgesOf(template)),
      ...shapeOf(template.specs, reading),
    })
  const [first, ...rest] = templates.map(object)
  if (!first) throw new RangeError('a job schema without shapes')
  return z.strictObject({
    version: z.literal(1),
    title: z.string().trim().min(1).max(100).describe('what the job is called, at the head of its sheets'),
    unit: z.enum(units).default('mm').describe('unit of numbers written without one'),
    tape: z
      .strictObject({
        class: z.enum(['I', 'II', 'III']).default('II').describe('accuracy class printed on the tape'),
        thickness: length(0, 3, 'of the tape, when laid round').default(0),
      })
      .prefault({}),
    film: z
      .strictObject({
        name: z.string().default(standardFilm),
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
      .union([oneStockSchema(reading), z.array(stockSchema(reading)).min(1).max(200)])
      .optional()
      .describe(
        'the roll, sheet or offcut to cut from, or a list of them; if there is no shelf either, a roll 630 mm wide, or sheets as big as the machine takes',
      ),
    shelf: z
      .string()
      .trim()
      .min(1)
      .max(1000)
      .optional()
      .describe('shelf file with the film there is; see midtick shelf'),
    layout: layoutSchema(reading).prefault({}),
    machine: z
      .union([z.string().trim().min(1), z.lazy(() => machineSchema(reading))])
      .optional()
      .describe(
        'the name of a machine, see midtick machines, or its own table; plain-roll if left out, by-hand where there is no cutter',
      ),
    paperPages: z
      .number()
      .int()
      .min(0)
      .max(mostPages)
      .default(usualPages)
      .describe('most pages of the paper template; one that takes more is left out'),
    paper: z
      .enum(['A4', 'A3', 'Letter', 'Legal', 'Tabloid'])
      .optional()
      .describe('what template and job sheet are printed on; if left out A4, or Letter where the unit is in or ft'),
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
