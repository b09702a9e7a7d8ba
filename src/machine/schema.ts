import * as z from 'zod'
import { type Rule, withRules } from '../measure/field-rules.ts'
import { angleSchema, lengthSchema, type Parts, type Reading } from '../measure/fields.ts'
import { units } from '../measure/length.ts'
import { type Operation, operations } from '../stroke/stroke.ts'
import { isLeftHanded } from './axes.ts'
import { commandProblem } from './commands.ts'
import { addressForms, readLinkAddress } from './link-address.ts'
import { farthest, type Machine, origins, ownAxis, type Tool } from './profile.ts'
import { plainRange, widestRange } from './ranges.ts'

/** Steps from 0.25 mm down to 0.002 mm. */
const fewestUnits = 4
const mostUnits = 500

/** The least that margins may leave of the area, mm. */
const leastUsable = 10

const whole = z.number().int()

/** Units in a mm. Where the number looks like that of an inch, the refusal says so. */
const step = z.number().superRefine((n, context) => {
  if (n >= fewestUnits && n <= mostUnits) return
  const ofAnInch = n / 25.4
  const cure =
    n > mostUnits && ofAnInch >= fewestUnits && ofAnInch <= mostUnits
      ? `Enter ${Number(ofAnInch.toFixed(4))} if it counts ${n} to an inch.`
      : 'Look it up in its manual; plain HP-GL has 40.'
  const limit = `a machine counts from ${fewestUnits} to ${mostUnits} units in a mm`
  const parts: Parts = { code: n < fewestUnits ? 'too_small' : 'too_big', value: `${n} units in a mm`, limit, cure }
  context.addIssue({ code: 'custom', message: limit, params: { parts } })
})
const pen = whole.min(1).max(99)

function toolSchema(help: string) {
  return z
    .union([
      pen,
      z.strictObject({
        number: pen.describe('pen number'),
        force: whole.min(1).max(10000).optional().describe('as the machine counts it'),
        speed: z.number().min(0.1).max(127).optional().describe('cm/s'),
        passes: whole.min(1).max(20).optional().describe('how often each stroke is gone over'),
      }),
    ])
    .transform((typed): Tool => {
      if (typeof typed === 'number') return { number: typed }
      const { number, force, speed, passes } = typed
      return {
        number,
        ...(force === undefined ? {} : { force }),
        ...(speed === undefined ? {} : { speed }),
        ...(passes === undefined ? {} : { passes }),
      }
    })
    .optional()
    .describe(help)
}

/** Commands as text; out comes the text without blanks or line ends at its ends. */
function commandSchema(help: string) {
  return z
    .string()
    .max(400)
    .transform((typed, context) => {
      const text = typed.trim()
      const parts = commandProblem(text)
      if (parts) context.addIssue({ code: 'custom', message: parts.limit, params: { parts } })
      return text
    })
    .default('')
    .describe(help)
}

const linkSchema = z
  .string()
  .max(400)
  .superRefine((typed, context) => {
    const read = readLinkAddress(typed)
    if (!('code' in read)) return
    const { code, value, limit, cure } = read
    context.addIssue({ code: 'custom', message: limit, params: { parts: { code, value, limit, cure } } })
  })

/** The fields of a machine as a person writes them; every one but `name`, `area` and `tools` has a usual value. */
function machineFields(reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  const margin = length(0, 2000, 'that no tool reaches').prefault(0)
  const each = z.strictObject({ left: margin, right: margin, bottom: margin, top: margin })
  return {
    name: z.string().trim().min(1).max(60).describe('what it is called on the job sheet'),
    byHand: z
      .boolean()
      .default(false)
      .describe('is there no cutter, but a person with a blade? Then only paper is written'),
    film: z.enum(['roll', 'sheet']).default('roll'),
    area: z
      .strictObject({
        along: length(20, 100000, 'largest travel along the film'),
        across: length(20, 5000, 'largest travel across the film'),
      })
      .describe('the film that the machine holds at once'),
    margins: z
      .union([each, length(0, 2000, 'at every side').transform((m) => ({ left: m, right: m, bottom: m, top: m }))])
      .prefault(0)
      .describe('what of the area no tool reaches, as seen film side up with the film running to the right'),
    axes: z
      .strictObject({
        origin: z.enum(origins).default('low left').describe('the corner of the area that the machine counts from'),
        swap: z.boolean().default(false).describe("does the machine's own X run across the film?"),
        handed: z
          .enum(['right', 'left'])
          .default('right')
          .describe('left where its Y lies to the right of its X, and letters come out readable all the same'),
      })
      .transform(({ handed, ...counted }) => (handed === 'left' ? { ...counted, handed } : counted))
      .prefault({}),
    unitsPerMm: z
      .union([z.strictObject({ x: step, y: step }), step.transform((n) => ({ x: n, y: n }))])
      .default({ x: 40, y: 40 })
      .describe("plotter units in a mm, one number or one for each of the machine's own X and Y"),
    skew: angleSchema(-2, 2, "by how much the machine's own Y leans from square towards its X").prefault(0),
    range: whole
      .min(1000)
      .max(widestRange)
      .default(plainRange)
      .describe(`largest coordinate it counts, units; ${widestRange} where it reads HP-GL/2`),
    tools: z
      .strictObject({
        pen: toolSchema('draws labels and ticks; leave it out where the machine has no pen'),
        kiss: toolSchema('through the film, not the liner'),
        through: toolSchema('film and liner'),
        slit: toolSchema('through the liner from its back'),
      })
      .describe('pen number of each operation, or a table with its force, speed and passes'),
    changedByHand: z
      .boolean()
      .default(false)
      .describe(
        'does a person change the tool wherever a file selects another number? Then all that one tool does comes before the next, however far the roll runs back for it; else a roll is done section by section',
      ),
    blade: z
      .strictObject({
        offset: length(0, 5, 'from the swivel axis back to the tip; 0 for a blade that does not swivel').prefault(
          '0.25 mm',
        ),
        compensate: z
          .enum(['file', 'machine'])
          .default('machine')
          .describe("who makes up for the offset: the cut files, or the machine's own setting"),
        overcut: length(0, 10, 'that a closed cut goes on past its start').prefault('0.3 mm'),
        leastTurn: angleSchema(0, 45, 'corners that turn by less get no swivel').prefault('8 deg'),
      })
      .prefault({}),
    bridges: z
      .strictObject({
        spacing: length(5, 5000, 'from one to the next'),
        width: length(0.1, 20, 'of what is left standing'),
      })
      .optional()
      .describe('what a through cut leaves standing, so that pieces stay in the sheet'),
    start: commandSchema('commands sent before the first stroke'),
    end: commandSchema('commands sent after the last stroke'),
    dialect: z.enum(['strict', 'compact', 'relative', 'encoded']).default('strict').describe('form of the commands'),
    encodedBits: z.literal([7, 8]).default(7).describe('bits that the link carries, for the encoded dialect'),
    arcs: z.boolean().default(false).describe('does it draw arcs itself?'),
    lineBytes: whole.min(40).max(10000).default(80).describe('longest line of a file, bytes'),
    link: linkSchema.optional().describe(`where its jobs are sent, such as ${addressForms.join(' or ')}`),
    pace: z
      .strictObject({
        down: z.number().min(1).max(5000).default(200).describe('mm/s with the tool down'),
        up: z.number().min(1).max(5000).default(400).describe('mm/s with the tool up'),
        acceleration: z.number().min(10).max(100000).default(5000).describe('mm/s^2'),
        lift: z.number().min(0).max(5).default(0.05).describe('s to lift or lower the tool'),
      })
      .prefault({})
      .describe('for the estimate of time only'),
  }
}

type Written = z.output<z.ZodObject<ReturnType<typeof machineFields>>>

const mm = (length: number) => `${Number(length.toFixed(3))} mm`

const sides = {
  x: { low: 'left', high: 'right', area: 'along' },
  y: { low: 'bottom', high: 'top', area: 'across' },
} as const
/** The operations of a file for the film side, in the order in which they are done. */
const oneSide = ['pen', 'kiss', 'through'] as const

const bothWays = ['x', 'y'] as const

const rules: readonly Rule<Written>[] = [
  {
    fields: ['area', 'margins'],
    find: ({ area, margins }) =>
      bothWays.flatMap((axis) => {
        const { low, high, area: way } = sides[axis]
        const taken = margins[low] + margins[high]
        if (area[way] - taken >= leastUsable) return []
        const parts = {
          code: 'nothing_left',
          value: `${mm(margins[low])} ${low} and ${mm(margins[high])} ${high}`,
          limit: `of ${mm(area[way])} ${way} the film, ${mm(leastUsable)} must be left for the tools`,
          cure: `Make them ${mm(Math.max(0, area[way] - leastUsable))} or less together, or correct area.${way}.`,
        }
        return [{ path: ['margins'], parts }]
      }),
  },
  {
    fields: ['area', 'margins', 'blade'],
    find: ({ area, margins, blade }) => {
      const usable = Math.min(
        ...bothWays.map((axis) => area[sides[axis].area] - margins[sides[axis].low] - margins[sides[axis].high]),
      )
      if (usable < leastUsable || blade.offset <= usable / 10) return []
      const parts = {
        code: 'too_big',
        value: mm(blade.offset),
        limit: `the tools reach ${mm(usable)}, and the blade needs ten times its offset to come round`,
        cure: `Enter ${mm(usable / 10)} or less; most blades have 0.2 to 1 mm.`,
      }
      return [{ path: ['blade', 'offset'], parts }]
    },
  },
  {
    fields: ['axes'],
    find: ({ axes }) => {
      const { origin, swap } = axes
      const isTold = 'handed' in axes
      if (isLeftHanded(axes) === isTold) return []
      const value = `origin ${origin} ${swap ? 'with' : 'without'} swap`
      const path = ['axes', isTold ? 'handed' : 'swap']
      if (isTold) {
        const limit = 'these two count right-handed'
        return [
          { path, parts: { code: 'not_left', value, limit, cure: 'Take handed out, or correct origin and swap.' } },
        ]
      }
      const limit =
        "a plotter's Y lies a quarter turn to the left of its X, and by these two it would cut every panel mirrored"
      const cure = `Enter swap: ${!swap}, or the corner that it really counts from. Where the letters of a test piece read normally with these two, add handed: left.`
      return [{ path, parts: { code: 'mirrored', value, limit, cure } }]
    },
  },
  {
    fields: ['area', 'margins', 'axes', 'unitsPerMm', 'range'],
    find: (written) => {
      const machine = placed(written)
      const far = farthest(machine)
      return bothWays.flatMap((axis) => {
        const way = sides[axis].area
        const own = ownAxis(axis, machine.axes)
        const needed = Math.ceil(far[axis] * machine.unitsPerMm[own] - 1e-6)
        if (needed <= written.range) return []
        const reach = (mmAway: number) => Math.floor((mmAway * 10 * written.range) / needed) / 10
        const parts = {
          code: 'range_too_small',
          value: `${written.range} units`,
          limit: `${mm(far[axis])} ${way} the film are ${needed} units`,
          cure: `Make area.${way} ${mm(reach(written.area[way]))} or less, or enter the range the machine really counts, such as ${widestRange} for HP-GL/2.`,
        }
        return [{ path: ['range'], parts }]
      })
    },
  },
  {
    fields: ['tools'],
    find: ({ tools }) => {
      if (tools.kiss ?? tools.through) return []
      const given = operations.filter((operation) => tools[operation])
      const value = given.length > 0 ? `a table of ${given.join(', ')}` : 'an empty table'
      const limit = 'a cutter cuts: kiss or through is needed'
      return [
        { path: ['tools'], parts: { code: 'no_cut', value, limit, cure: 'Add kiss: 1, with its own pen number.' } },
      ]
    },
  },
  {
    fields: ['tools'],
    find: ({ tools }) =>
      (['force', 'speed'] as const).flatMap((setting) => {
        const stated = oneSide.find((operation) => tools[operation]?.[setting] !== undefined)
        const later = stated === undefined ? [] : oneSide.slice(oneSide.indexOf(stated) + 1)
        const left = later.find((operation) => tools[operation] && tools[operation][setting] === undefined)
        if (left === undefined) return []
        const parts = {
          code: 'tool_setting',
          value: `without ${setting}`,
          limit: `${stated} comes before it and states one, with which the machine would go on`,
          cure: `State a ${setting} for ${left} too, or for neither.`,
        }
        return [{ path: ['tools', left], parts }]
      }),
  },
  {
    fields: ['bridges'],
    find: ({ bridges }) => {
      if (!bridges || bridges.spacing >= 2 * bridges.width) return []
      const parts = {
        code: 'too_big',
        value: mm(bridges.width),
        limit: `bridges every ${mm(bridges.spacing)} are at most half of that wide`,
        cure: `Enter ${mm(bridges.spacing / 2)} or less.`,
      }
      return [{ path: ['bridges', 'width'], parts }]
    },
  },
]

const placed = ({ area, margins, axes, unitsPerMm }: Pick<Written, 'area' | 'margins' | 'axes' | 'unitsPerMm'>) => ({
  area: { x: area.along, y: area.across },
  margins: { low: { x: margins.left, y: margins.bottom }, high: { x: margins.right, y: margins.top } },
  axes,
  unitsPerMm,
})

function machineOf(written: Written): Machine {
  const tools: Partial<Record<Operation, Tool>> = {}
  for (const operation of operations) {
    const tool = written.tools[operation]
    if (tool) tools[operation] = tool
  }
  const { link, byHand, changedByHand, ...rest } = written
  return {
    ...rest,
    ...(byHand ? { byHand } : {}),
    ...(changedByHand ? { changedByHand } : {}),
    ...placed(written),
    tools,
    bridges: written.bridges,
    ...(link === undefined ? {} : { link }),
  }
}

/**
 * A machine as people write it in a job; out comes a `Machine`.
 * @param reading unit of bare numbers, and the tape of repeated readings
 */
export function machineSchema(reading: Reading) {
  return withRules(z.strictObject(machineFields(reading)), rules).transform(machineOf)
}

/** A machine in a file of its own, which says the unit of its bare numbers itself. */
export function profileSchema(reading: Reading) {
  const unit = z.enum(units).default('mm').describe('unit of numbers written without one')
  return withRules(z.strictObject({ unit, ...machineFields(reading) }), rules).transform(({ unit: _, ...written }) =>
    machineOf(written),
  )
}

/** The JSON Schema of a profile file as a person writes it. */
export function profileJsonSchema(): unknown {
  return z.toJSONSchema(profileSchema({ unit: 'mm', tape: 'I' }), { io: 'input' })
}
