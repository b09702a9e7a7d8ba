import * as z from 'zod'
import type { Reading } from '../measure/fields.ts'
import { type Unit, units } from '../measure/length.ts'
import { fieldAt, type Problem } from '../measure/problem.ts'
import { readingDoubts } from '../measure/reading-doubts.ts'
import { schemaProblems, withPlace } from '../measure/schema-problems.ts'
import type { Warning } from '../measure/warning.ts'
import { readYamlTable, type YamlTable } from '../measure/yaml-table.ts'
import type { Stock } from '../sheet/stock.ts'
import { stockSchema, type WrittenStock } from './stock-schema.ts'
import { sameStockNames, stockOf } from './stocks.ts'

const kind = { what: 'shelf file', most: 2_000_000, tooLong: 'Split the shelf.', begin: 'version: 1' }

/** The whole shelf file's schema for one choice of unit. */
function shelfSchema(reading: Reading) {
  return z.strictObject({
    version: z.literal(1),
    unit: z.enum(units).default('mm').describe('unit of numbers written without one'),
    stocks: z.array(stockSchema(reading)).max(2000).default([]).describe('the rolls, sheets and offcuts there are'),
  })
}

/** Film that lies on the shelf. */
export interface Shelved {
  readonly written: WrittenStock
  readonly stock: Stock
}

export interface Shelf {
  readonly unit: Unit
  readonly stocks: readonly Shelved[]
  readonly warnings: readonly Warning[]
  /** the text as it was read, with its comments */
  readonly table: YamlTable
}

/** A shelf file's text checked as a whole: what is on the shelf, or every problem with its line. */
export function readShelf(text: string): { readonly shelf: Shelf } | { readonly problems: readonly Problem[] } {
  const table = readYamlTable(text, kind)
  if ('problems' in table) return table
  const { raw, place } = table
  const written = typeof raw === 'object' && raw !== null && 'unit' in raw ? raw.unit : undefined
  const unit = units.find((u) => u === written) ?? 'mm'
  const schema = shelfSchema({ unit, tape: 'II' })
  const parsed = schema.safeParse(raw)
  if (!parsed.success) return { problems: schemaProblems(parsed.error.issues, { raw, schema, place, whole: 'shelf' }) }
  const made = parsed.data.stocks.map((stock, i) => ({ stock, made: stockOf(stock, `stocks[${i}]`, true) }))
  const problems = [
    ...made.flatMap(({ made: own }, i) =>
      'problems' in own ? own.problems.map((p) => withPlace(p, place(['stocks', i]))) : [],
    ),
    ...sameStockNames(parsed.data.stocks, 'stocks').map((p) => {
      const at = Number(/\[(\d+)\]/.exec(p.field)?.[1] ?? 0)
      return withPlace(p, place(['stocks', at, 'name']))
    }),
  ]
  if (problems.length > 0) return { problems }
  const stocks = made.flatMap(({ stock, made: own }) => ('stock' in own ? [{ written: stock, stock: own.stock }] : []))
  const warnings = readingDoubts(schema, raw, (path) => {
    const [, index, ...field] = path
    return `${parsed.data.stocks[Number(index)]?.name}, ${fieldAt(field)}`
  })
  return { shelf: { unit, stocks, warnings, table } }
}

/** The JSON Schema of the shelf file as a person writes it. */
export const shelfJsonSchema = (): unknown => z.toJSONSchema(shelfSchema({ unit: 'mm', tape: 'II' }), { io: 'input' })
