import * as z from 'zod'
import { lengthSchema, type Reading } from '../measure/fields.ts'

const turn = z
  .union([z.boolean(), z.enum(['any', 'quarter', 'none'])])
  .transform((written) => (typeof written === 'string' ? written : written ? 'quarter' : 'none'))

/** How pieces may be turned; true stands for quarter turns, false for none. */
export const turnSchema = turn.describe('may pieces be turned: any angle, quarter turns or none; never mirrored')

const name = z.string().trim().min(1).max(60)
const count = z.number().int().min(1).max(10000)
const price = z.number().min(0).max(1e6).optional()

/** Film narrower or shorter than this is none to lay on, mm (common practice, no source). */
export const leastSide = 20

/** Fields that every stock has, wherever it is written. */
function anyStock(reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  const point = z.array(length(0, 100000, 'from the left edge, or from the bottom edge')).length(2)
  const corners = z.array(point).min(3).max(200)
  const side = (help: string) => length(5, 20000, help)
  const diagonal = (help: string) => length(5, 30000, help).optional()
  const at = { x: length(0, 100000, 'from the left edge'), y: length(0, 100000, 'from the bottom edge') }
  return {
    corners: corners.optional().describe('the corners of an offcut in turn, each from its left and its bottom edge'),
    sides: z
      .strictObject({
        bottom: side('along the bottom edge'),
        right: side('along the right edge'),
        top: side('along the top edge'),
        left: side('along the left edge'),
        bottomLeftToTopRight: diagonal('from the bottom left corner to the top right corner'),
        bottomRightToTopLeft: diagonal('from the bottom right corner to the top left corner'),
      })
      .optional()
      .describe('an offcut of four sides, and one diagonal or both'),
    badSpots: z
      .array(
        z.union([
          z.strictObject({ ...at, radius: length(0.5, 5000, 'round its middle') }),
          z.strictObject({ ...at, width: length(1, 10000, 'along'), height: length(1, 10000, 'across') }),
          z.strictObject({ corners }),
        ]),
      )
      .max(200)
      .default([])
      .describe(
        'what to keep clear of, from the left and the bottom edge: round, with its lower left corner, or by corners',
      ),
    film: name.optional().describe("which film it is; the job's own where left out"),
    face: z
      .enum(['plain', 'printed', 'brushed'])
      .default('plain')
      .describe('printed and brushed film has a direction: pieces are not turned on it unless turn says so'),
    turn: turnSchema.optional(),
    price: price.describe('of a metre of roll, or of one sheet or offcut, in your own money'),
    count: count.default(1).describe('how many there are, alike'),
  }
}

/** The one roll or sheet of a job, with what is kept free between pieces. */
export function oneStockSchema(reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  return z.strictObject({
    name: name.optional(),
    kind: z
      .enum(['roll', 'sheet', 'offcut'])
      .optional()
      .describe(
        'if left out, sheet where the machine takes sheets and none of the sizes is bigger than they are, else roll',
      ),
    width: length(leastSide, 5000, 'across the film')
      .optional()
      .describe('across the film; if left out, of a roll 630 mm, of a sheet as much as the machine takes'),
    length: length(leastSide, 100000, 'of the sheet, or left on the roll')
      .optional()
      .describe(
        'of the sheet, or left on the roll; if left out, of a roll 10 m, of a sheet as much as the machine takes',
      ),
    margin: length(0, 200, 'kept free along every edge').default(10),
    gap: length(2, 200, 'between pieces').optional(),
    ...anyStock(reading),
    count: count
      .optional()
      .describe('how many sheets there are, alike; 1 if left out, or as many as are needed where kind is left out too'),
  })
}

/** One roll, sheet or offcut among several, which is told from them by its name. */
export function stockSchema(reading: Reading) {
  const length = (min: number, max: number, help: string) => lengthSchema(reading, min, max, help)
  return z.strictObject({
    name: name.describe('what it is called; no two alike'),
    kind: z.enum(['roll', 'sheet', 'offcut']),
    width: length(leastSide, 5000, 'across the film').optional(),
    length: length(leastSide, 100000, 'of the sheet, or left on the roll').optional(),
    margin: length(0, 200, 'kept free along every edge').default(10),
    ...anyStock(reading),
  })
}

/** A stock as it is written, lengths in mm. */
export type WrittenStock = z.output<ReturnType<typeof stockSchema>>
export type OneStock = z.output<ReturnType<typeof oneStockSchema>>
