import { writePathData } from '../file/svg/pathdata.ts'
import { transform } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import { sheetPicture } from '../picture/sheet-picture.ts'
import { stockPicture } from '../picture/stock-picture.ts'
import { pieceTitle } from '../sheet/piece-names.ts'
import { cornerOf } from '../sheet/placing.ts'
import type { Placed, Sheet } from '../sheet/sheet.ts'
import type { Stock } from '../sheet/stock.ts'
import type { Stroke } from '../stroke/stroke.ts'
import { machineLine } from './machine-words.ts'
import { materialLines } from './material.ts'
import type { Cut, Plan } from './plan-job.ts'
import type { JobPreview, PiecePreview, ScreenStroke, SheetPreview, StockPreview } from './preview-data.ts'
import { onScreen, places } from './screen-picture.ts'

/** The film of a job with everything on it, and all the film there is. */
export function filmPreview(plan: Plan): Pick<JobPreview, 'sheets' | 'stocks' | 'material' | 'laid'> {
  return {
    sheets: plan.cuts.map((cut, i) => sheetPreview(cut, plan, i)),
    stocks: plan.request.stocks.map((stock) => stockPreview(stock, plan)),
    laid: { paid: plan.material.paid, sheets: plan.cuts.length },
    material: [machineLine(plan.found), ...materialLines(plan.job.film.name, plan.material, plan.say, plan.job.unit)],
  }
}

function sheetPreview({ sheet, film, liner }: Cut, { material, objects, say }: Plan, index: number): SheetPreview {
  const strokeOn = ({ operation, name, path }: Stroke): ScreenStroke => ({
    operation,
    name,
    d: writePathData(path, sheet.width, places),
  })
  const owner = new Map(objects.flatMap(({ panels }, object) => panels.map(({ panel }) => [panel, object] as const)))
  return {
    number: sheet.number,
    length: say(sheet.length),
    width: say(sheet.width),
    stock: sheet.stock.name,
    ofStock: sheet.ofStock,
    picture: onScreen(sheetPicture(sheet, film.strokes, liner.strokes, { keep: material.sheets[index]?.keep ?? [] })),
    pieces: sheet.pieces.map((piece) => piecePreview(piece, sheet, owner.get(piece.panel) ?? 0)),
    film: film.strokes.map(strokeOn),
    liner: liner.strokes.map(strokeOn),
  }
}

function piecePreview(piece: Placed, { width }: Sheet, object: number): PiecePreview {
  const { panel, place, copy, angle, pin } = piece
  const { x, y } = cornerOf(piece)
  return {
    name: pieceTitle(piece),
    object,
    panel: panel.name,
    copy,
    d: writePathData(transform(cutLine(panel), place), width, places),
    x,
    y,
    angle: (angle * 180) / Math.PI,
    isPinned: pin !== undefined,
  }
}

function stockPreview(stock: Stock, { cuts, say }: Plan): StockPreview {
  const { name, kind, count, width, length, shelved } = stock
  return {
    name,
    kind,
    count,
    size: kind === 'roll' ? `${say(width)} wide, ${say(length)} left` : `${say(length)} × ${say(width)}`,
    isShelved: shelved,
    sheets: cuts.filter(({ sheet }) => sheet.stock === stock).map(({ sheet }) => sheet.number),
    picture: onScreen(stockPicture(stock)),
  }
}
