import { boxHeight, boxWidth } from '../geometry/bounds.ts'
import type { Unit } from '../measure/length.ts'
import type { Say } from '../panel/template.ts'
import type { Laid } from '../sheet/lay-out.ts'
import { type Least, type LeftOver, leftOver } from '../sheet/left-over.ts'
import { cornerOf } from '../sheet/placing.ts'
import type { Sheet } from '../sheet/sheet.ts'
import type { Stock } from '../sheet/stock.ts'
import { areaWords } from './area-words.ts'
import { isLeastFilm } from './better-layout.ts'

/** What a sheet takes of its stock and what is left of it. */
export interface SheetMaterial extends LeftOver {
  readonly sheet: Sheet
}

/** What one stock gives to a job. */
interface StockUse {
  readonly stock: Stock
  readonly sheets: number
  /** mm taken off a roll, else of the sheets' own length */
  readonly length: number
  readonly cost?: number
}

/** What film a job takes, what it costs and what is left. */
export interface Material {
  readonly sheets: readonly SheetMaterial[]
  readonly stocks: readonly StockUse[]
  /** of the film taken, the share that is no piece, 0 to 1 */
  readonly waste: number
  /** where the price of all of it is known, in the person's own money */
  readonly cost?: number
  /** new film that is paid for, and what no layout can do with less than, mm^2 */
  readonly paid: number
  readonly atLeast: number
}

export function materialOf({ sheets, paid, atLeast }: Laid, least: Least): Material {
  const each = sheets.map((sheet): SheetMaterial => ({ sheet, ...leftOver(sheet, least) }))
  const stocks = [...new Set(sheets.map(({ stock }) => stock))].map((stock): StockUse => {
    const own = sheets.filter((sheet) => sheet.stock === stock)
    const length = own.reduce((sum, sheet) => sum + sheet.length, 0)
    const { price } = stock
    const use = { stock, sheets: own.length, length }
    if (price === undefined) return use
    return { ...use, cost: price * (stock.kind === 'roll' ? length / 1000 : own.length) }
  })
  const priced = stocks.filter(({ stock, cost }) => cost !== undefined || stock.kind === 'offcut')
  const known = priced.length === stocks.length && stocks.some(({ cost }) => cost !== undefined)
  const cost = known ? { cost: stocks.reduce((sum, one) => sum + (one.cost ?? 0), 0) } : {}
  return { sheets: each, stocks, waste: wasteOf(each), ...cost, paid, atLeast }
}

/** Of the film that sheets take, the share that is no piece, 0 to 1; 0 where none is taken. */
export function wasteOf(sheets: readonly Pick<LeftOver, 'taken' | 'film'>[]): number {
  const taken = sheets.reduce((sum, one) => sum + one.taken, 0)
  const film = sheets.reduce((sum, one) => sum + one.film, 0)
  return taken > 0 ? 1 - film / taken : 0
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`

/** What a job takes and leaves, in sentences. */
export function materialLines(
  film: string,
  { sheets, stocks, waste, cost, paid, atLeast }: Material,
  say: Say,
  unit: Unit,
): string[] {
  if (sheets.length === 0) return ['No roll, sheet or offcut is named, so nothing is laid out.']
  const used = stocks.map(({ stock, sheets: count, length }) => {
    if (stock.kind !== 'roll') return count > 1 ? `${count} of ${stock.name}` : stock.name
    return `${say(length)} of ${stock.name}, ${say(stock.width)} wide`
  })
  const count = `${sheets.length} ${sheets.length === 1 ? 'sheet' : 'sheets'}`
  const bound = paid > 0 && atLeast > 0 ? ` ${boundWords(paid, atLeast, unit)}` : ''
  const kept = sheets.flatMap(({ sheet, keep }) =>
    keep.map(({ box }) => `${say(boxWidth(box))} x ${say(boxHeight(box))} on sheet ${sheet.number}`),
  )
  return [
    `Material: ${film}, ${used.join('; ')}; to cut as ${count}.`,
    `Waste: ${percent(waste)} of the film taken.${bound}`,
    ...(kept.length > 0 ? [`Left over and worth keeping: ${kept.join('; ')}.`] : []),
    ...(cost === undefined ? [] : [`Cost of the film: ${cost.toFixed(2)}.`]),
  ]
}

/** How far from perfect the layout can be. */
function boundWords(paid: number, atLeast: number, unit: Unit): string {
  const over = paid / atLeast - 1
  if (isLeastFilm(paid, atLeast)) return 'No layout of these pieces takes less new film.'
  return `New film: ${areaWords(paid, unit)}; no layout of these pieces takes less than ${areaWords(atLeast, unit)}, so this is at most ${percent(over)} over the best.`
}

const round = (mm: number) => Number(mm.toFixed(3))
const corner = ({ x, y }: { readonly x: number; readonly y: number }) => [round(x), round(y)]

/** The same as plain data for the report. */
export function materialReport({ sheets, stocks, waste, cost, paid, atLeast }: Material): unknown {
  return {
    waste: Number(waste.toFixed(4)),
    ...(cost === undefined ? {} : { cost: Number(cost.toFixed(2)) }),
    newFilm: Math.round(paid),
    newFilmAtLeast: Math.round(atLeast),
    stocks: stocks.map(({ stock, ...use }) => ({
      name: stock.name,
      kind: stock.kind,
      ...use,
      length: round(use.length),
    })),
    sheets: sheets.map(({ sheet, taken, film, rectangle, keep }) => ({
      sheet: sheet.number,
      stock: sheet.stock.name,
      length: round(sheet.length),
      width: round(sheet.width),
      taken: Math.round(taken),
      film: Math.round(film),
      ...(rectangle ? { largestRectangle: { from: corner(rectangle.low), to: corner(rectangle.high) } } : {}),
      keep: keep.map(({ outline }) => outline.map(corner)),
      pieces: sheet.pieces.map((piece) => ({
        panel: piece.panel.name,
        copy: piece.copy,
        ...(piece.group === undefined ? {} : { group: piece.group }),
        from: corner(cornerOf(piece)),
        angle: round((piece.angle * 180) / Math.PI),
      })),
    })),
  }
}
