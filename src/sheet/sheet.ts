import { type Box, boundsOf } from '../geometry/bounds.ts'
import { following, type Matrix, quarterTurn, translation } from '../geometry/transform.ts'
import type { Problem } from '../measure/problem.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Panel } from '../panel/panel.ts'

/** Film as it lies on the machine, mm: x along the roll or sheet, y across it. */
export interface Stock {
  readonly kind: 'roll' | 'sheet'
  readonly width: number
  /** length of a sheet, or what is left on a roll */
  readonly length: number
  /** kept free along every edge */
  readonly margin: number
  /** kept free between pieces */
  readonly gap: number
  /** may pieces be turned a quarter? Not on printed or brushed film. */
  readonly turn: boolean
}

export interface Piece {
  readonly panel: Panel
  /** counts from 1 */
  readonly copy: number
  readonly copies: number
}

export interface Placed extends Piece {
  readonly place: Matrix
  readonly turned: boolean
}

/** One length of film to cut in one go. */
export interface Sheet {
  readonly number: number
  /** mm along the film */
  readonly length: number
  /** mm across the film */
  readonly width: number
  /** how much of the width the machine reaches, mm */
  readonly reach: number
  readonly pieces: readonly Placed[]
}

/** Everything of a panel that must lie on the film: the cut and its waste ticks. The slit's ends may hang over. */
function extent(panel: Panel): Box {
  return boundsOf([cutLine(panel), ...panel.ticks.map((tick) => tick.path)])
}

/**
 * Lays pieces side by side along the film, on as many sheets as the machine's reach and the stock ask for.
 * @param reach largest x and y the machine takes, mm
 * @param spare length kept free at both ends of a sheet for marks, mm
 */
export function laySideBySide(
  pieces: readonly Piece[],
  stock: Stock,
  reach: { readonly x: number; readonly y: number },
  spare: number,
): { readonly sheets: readonly Sheet[]; readonly problems: readonly Problem[] } {
  const across = Math.min(stock.width, reach.y) - 2 * stock.margin
  const longest = Math.min(stock.length, reach.x)
  const end = stock.margin + spare
  const problems: Problem[] = []
  const rows: { length: number; pieces: Placed[] }[] = []
  const refused = new Set<string>()
  for (const piece of pieces) {
    const box = extent(piece.panel)
    const upright = { x: box.high.x - box.low.x, y: box.high.y - box.low.y }
    const fits = (size: { x: number; y: number }) => size.y <= across && size.x <= longest - 2 * end
    const lying = { x: upright.y, y: upright.x }
    const turned = !fits(upright) && stock.turn && fits(lying)
    if (!fits(upright) && !turned) {
      if (!refused.has(piece.panel.name))
        problems.push(tooBig(piece.panel.name, upright, across, longest - 2 * end, stock))
      refused.add(piece.panel.name)
      continue
    }
    const size = turned ? lying : upright
    let row = rows.at(-1)
    if (!row || row.length + stock.gap + size.x + end > longest) {
      row = { length: end - stock.gap, pieces: [] }
      rows.push(row)
    }
    const x = row.length + stock.gap
    const low = turned ? { x: -box.high.y, y: box.low.x } : box.low
    const shift = translation(x - low.x, stock.margin - low.y)
    row.pieces.push({ ...piece, turned, place: turned ? following(quarterTurn, shift) : shift })
    row.length = x + size.x
  }
  const sheets = rows.map((row, i) => ({
    number: i + 1,
    length: stock.kind === 'sheet' ? stock.length : row.length + end,
    width: stock.width,
    reach: Math.min(stock.width, reach.y),
    pieces: row.pieces,
  }))
  const used = sheets.reduce((sum, sheet) => sum + sheet.length, 0)
  if (stock.kind === 'roll' && used > stock.length) {
    problems.push({
      code: 'roll_too_short',
      field: 'stock.length',
      value: `${stock.length} mm`,
      limit: `the pieces take ${used.toFixed(0)} mm of roll, ${(used - stock.length).toFixed(0)} mm more`,
      cure: 'Take a longer roll, or fewer copies.',
    })
  }
  return { sheets, problems }
}

function tooBig(name: string, size: { x: number; y: number }, across: number, along: number, stock: Stock): Problem {
  const over = (have: number, room: number) => Math.max(0, have - room)
  const upright = `${over(size.x, along).toFixed(1)} mm along and ${over(size.y, across).toFixed(1)} mm across`
  const turnedHelps = !stock.turn && size.x <= across && size.y <= along
  return {
    code: 'panel_too_big',
    field: name,
    value: `${size.x.toFixed(1)} x ${size.y.toFixed(1)} mm with its ticks`,
    limit: `film and machine leave ${along.toFixed(1)} mm along and ${across.toFixed(1)} mm across; too big by ${upright}`,
    cure: turnedHelps
      ? 'It fits when turned a quarter: set stock.turn to true if the film has no direction.'
      : 'Take wider film or a bigger machine, split it into two part wraps, or cut it by hand from the paper template.',
  }
}
