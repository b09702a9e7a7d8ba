import * as z from 'zod'
import { type Rule, withRules } from '../measure/field-rules.ts'
import { lengthSchema, type Reading } from '../measure/fields.ts'
import { units } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import { apartParts } from '../measure/reading-words.ts'
import { schemaProblems } from '../measure/schema-problems.ts'
import { readYamlTable } from '../measure/yaml-table.ts'

/** The lengths of a test piece: its sides, and its diagonals between the corners A, B, C, D from the lower left. */
export const lengthNames = ['bottom', 'right', 'top', 'left', 'diagonalAC', 'diagonalBD'] as const
export type LengthName = (typeof lengthNames)[number]

/** What was read off a test piece, mm. */
export interface TestReadings {
  /** what each side was to be */
  readonly side: number
  /** each length that was read, with its readings */
  readonly lengths: readonly { readonly name: LengthName; readonly read: readonly number[] }[]
  /** best rungs of the ladder of offsets, as they are lettered */
  readonly rung: readonly number[]
  /** how far the cut stays from the corners of the square at 0 */
  readonly corner: readonly number[]
  /** how the letters came out; undefined where nobody looked */
  readonly letters: 'normal' | undefined
  /** standard uncertainty of a single reading */
  readonly reading: number
  /** how far off the rule may be over the longest length */
  readonly rule: number
}

/** How far a side or a diagonal may be off what was asked before it cannot be the same thing, as a share. */
const mostOff = 0.1

const kind = {
  what: 'file of readings',
  most: 100_000,
  tooLong: 'Keep one test piece to a file.',
  begin: 'side: 200',
}

function readingsSchema(reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  const many = (one: ReturnType<typeof length>, help: string) =>
    z
      .union([z.array(one).min(1).max(50), one.transform((mm) => [mm])])
      .nullish()
      .describe(help)
  const side = (help: string) =>
    many(length(1, 5000, help), `${help}; one reading or a list`).superRefine((read, context) => {
      const readings = (read ?? []).map((mm) => ({ text: `${Number(mm.toFixed(3))} mm`, mm }))
      const parts = readings.length > 0 ? apartParts(readings, reading.tape, reading.unit) : undefined
      if (parts) context.addIssue({ code: 'custom', message: parts.limit, params: { parts } })
    })
  return z.strictObject({
    unit: z.enum(units).default('mm').describe('unit of numbers written without one'),
    side: length(50, 2000, 'that each side was to have; midtick machines test says it'),
    bottom: side('from A to B'),
    right: side('from B to C'),
    top: side('from D to C'),
    left: side('from A to D'),
    diagonalAC: side('from A to C'),
    diagonalBD: side('from B to D'),
    letters: z.enum(['normal', 'mirrored']).nullish().describe('how the letters of the test piece read'),
    rung: many(length(0, 1, 'of the ladder'), 'number on the best square of the ladder of offsets'),
    corner: many(length(0, 3, 'at a corner'), 'how far the cut stays from a corner of the square at 0'),
    reading: length(0.005, 2, 'standard uncertainty of a single reading').prefault('0.2 mm'),
    rule: length(0, 5, 'how far off the rule may be over the longest length').prefault('0.1 mm'),
  })
}

type Typed = z.output<ReturnType<typeof readingsSchema>>

const pairs = [
  ['bottom', 'top'],
  ['left', 'right'],
  ['diagonalAC', 'diagonalBD'],
] as const

const rules: readonly Rule<Typed>[] = [
  {
    fields: ['letters'],
    find: ({ letters }) => {
      if (letters !== 'mirrored') return []
      const limit = 'every panel would come out mirrored as well, and the lengths belong to other axes'
      const cure =
        'Enter the other swap, or the corner it really counts from, in axes of the profile, and cut the test piece anew.'
      return [{ path: ['letters'], parts: { code: 'mirrored', value: 'mirrored', limit, cure } }]
    },
  },
  ...pairs.map(
    ([one, other]): Rule<Typed> => ({
      fields: [one, other],
      find: (typed) => {
        if (typed[one] ?? typed[other]) return []
        const limit = `${one} or ${other} is needed, and better both`
        const cure = `Read ${one} and ${other}.`
        return [{ path: [one], parts: { code: 'missing', value: 'not given', limit, cure } }]
      },
    }),
  ),
  ...lengthNames.map(
    (name): Rule<Typed> => ({
      fields: ['unit', 'side', name],
      find: ({ unit, side, ...typed }) => {
        const asked = side * (name.startsWith('diagonal') ? Math.SQRT2 : 1)
        const limit = `it was to be ${Number(asked.toFixed(1))} mm, and no machine is off by a tenth`
        const cure = `Read it again, or correct side; bare numbers are read as ${unit}.`
        return (typed[name] ?? []).flatMap((mm) => {
          if (Math.abs(mm / asked - 1) <= mostOff) return []
          return [{ path: [name], parts: { code: 'far_off', value: `${Number(mm.toFixed(2))} mm`, limit, cure } }]
        })
      },
    }),
  ),
]

/** A text of readings checked as a whole: the readings, or every problem with its place. */
export function readTestReadings(text: string): {
  readonly readings?: TestReadings
  readonly problems: readonly Problem[]
} {
  const table = readYamlTable(text, kind)
  if ('problems' in table) return table
  const { raw, place } = table
  const named = typeof raw === 'object' && raw !== null && 'unit' in raw ? raw.unit : undefined
  const unit = units.find((u) => u === named) ?? 'mm'
  const schema = withRules(readingsSchema({ unit, tape: 'I' }), rules)
  const parsed = schema.safeParse(raw)
  if (!parsed.success) {
    return { problems: schemaProblems(parsed.error.issues, { raw, schema, place, whole: 'file of readings' }) }
  }
  const { side, rung, corner, letters, reading, rule } = parsed.data
  const lengths = lengthNames.flatMap((name) => {
    const read = parsed.data[name]
    return read ? [{ name, read }] : []
  })
  const seen = letters === 'normal' ? letters : undefined
  const readings = { side, lengths, rung: rung ?? [], corner: corner ?? [], letters: seen, reading, rule }
  return { readings, problems: [] }
}

/** A file to write readings into, with the side already in it. */
export function blankReadings(side: number): string {
  return `# What the test piece measures. One reading each, or better a list of several: [199.8, 199.9]
unit: mm
side: ${side}            # what each side was to be
bottom:             # A to B
right:              # B to C
top:                # D to C
left:               # A to D
diagonalAC:         # A to C
diagonalBD:         # B to D
letters:            # normal, or mirrored as in a looking-glass: look at those of OFFSET
rung:               # number on the best square of the ladder of offsets: sharp corners, no tails; or leave it out
# corner: 0.17      # or how far the cut stays from the corners of the square at 0, in mm
reading: 0.2        # how well a single reading is known (standard uncertainty)
rule: 0.1           # how far off the rule itself may be over the diagonal
`
}
