import { type Box, boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { polyline } from '../geometry/path.ts'
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
  /** kept free between pieces; more where slits ask for it, which end 1 mm or more before the film of the next piece */
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

/** The least room between the end of a slit and the film of another piece, mm. */
const slitRoom = 1

/** mm that adding up lengths may cost a piece that just fits */
const rounding = 1e-7

/** What a piece takes up: the film with its waste ticks, and how far slits reach, which is as far as the film or farther. */
interface Extent {
  readonly film: Box
  readonly slits: Box
}

function extentOf(panel: Panel): Extent {
  const paths = [cutLine(panel), ...panel.ticks.map((tick) => tick.path)]
  const slits = panel.slits.map(({ from, to }) => polyline([from, to]))
  return { film: boundsOf(paths), slits: boundsOf([...paths, ...slits]) }
}

/** A quarter turn to the left about the origin. */
const turnedBox = ({ low, high }: Box): Box => ({ low: { x: -high.y, y: low.x }, high: { x: -low.y, y: high.x } })
const turnedExtent = ({ film, slits }: Extent): Extent => ({ film: turnedBox(film), slits: turnedBox(slits) })

const movedBox = ({ low, high }: Box, x: number, y: number): Box => ({
  low: { x: low.x + x, y: low.y + y },
  high: { x: high.x + x, y: high.y + y },
})

/** mm to keep between the film of two pieces, `after` further along the axis. */
function between(before: Extent, after: Extent, axis: 'x' | 'y', gap: number): number {
  const past = [before.slits.high[axis] - before.film.high[axis], after.film.low[axis] - after.slits.low[axis]]
  return Math.max(gap, ...past.map((length) => (length > 0 ? length + slitRoom : 0)))
}

/** A piece on its sheet and what it takes up there. */
interface Laid {
  readonly placed: Placed
  readonly extent: Extent
}

/**
 * Lays pieces side by side, in their order: across the film from the margin up while they fit, then in the next column
 * along it, then on the next sheet. Along the film a piece counts with the ends of its slits, which so keep clear of
 * the marks at both ends; across, they may hang over the film's edge.
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
  const end = stock.margin + spare
  const longest = Math.min(stock.length, reach.x)
  const along = longest - 2 * end
  const fits = ({ film, slits }: Extent) => boxHeight(film) <= across + rounding && boxWidth(slits) <= along + rounding
  const problems: Problem[] = []
  const refused = new Set<string>()
  const sheets: Laid[][][] = []
  for (const piece of pieces) {
    const upright = extentOf(piece.panel)
    const lying = turnedExtent(upright)
    const turned = !fits(upright) && stock.turn && fits(lying)
    if (!fits(upright) && !turned) {
      if (!refused.has(piece.panel.name))
        problems.push(tooBig(piece.panel.name, upright, across, along, !stock.turn && fits(lying)))
      refused.add(piece.panel.name)
      continue
    }
    const own = turned ? lying : upright
    /** The piece on top of a column, as far left as the column before allows. */
    const laidOn = (column: readonly Laid[], before: readonly Laid[]): Laid => {
      const last = column.at(-1)?.extent
      const y = last ? last.film.high.y + between(last, own, 'y', stock.gap) : stock.margin
      const left = before.map(({ extent }) => extent.film.high.x + between(extent, own, 'x', stock.gap))
      const x = Math.max(end + own.film.low.x - own.slits.low.x, ...left)
      const [right, up] = [x - own.film.low.x, y - own.film.low.y]
      const shift = translation(right, up)
      const place = turned ? following(quarterTurn, shift) : shift
      const extent = { film: movedBox(own.film, right, up), slits: movedBox(own.slits, right, up) }
      return { placed: { ...piece, turned, place }, extent }
    }
    const isOn = ({ extent }: Laid) =>
      extent.film.high.y <= stock.margin + across + rounding && extent.slits.high.x <= longest - end + rounding
    const sheet = sheets.at(-1) ?? []
    const column = sheet.at(-1) ?? []
    const onTop = laidOn(column, sheet.at(-2) ?? [])
    const beside = laidOn([], column)
    if (column.length > 0 && isOn(onTop)) column.push(onTop)
    else if (column.length > 0 && isOn(beside)) sheet.push([beside])
    else sheets.push([[laidOn([], [])]])
  }
  const made = sheets.map((columns, i): Sheet => {
    const laid = columns.flat()
    const used = Math.max(...laid.map(({ extent }) => extent.slits.high.x)) + end
    return {
      number: i + 1,
      length: stock.kind === 'sheet' ? stock.length : used,
      width: stock.width,
      reach: Math.min(stock.width, reach.y),
      pieces: laid.map(({ placed }) => placed),
    }
  })
  const used = made.reduce((sum, sheet) => sum + sheet.length, 0)
  if (stock.kind === 'roll' && used > stock.length) {
    problems.push({
      code: 'roll_too_short',
      field: 'stock.length',
      value: `${stock.length} mm`,
      limit: `the pieces take ${used.toFixed(0)} mm of roll, ${(used - stock.length).toFixed(0)} mm more`,
      cure: 'Take a longer roll, or fewer copies.',
    })
  }
  return { sheets: made, problems }
}

function tooBig(name: string, { film, slits }: Extent, across: number, along: number, fitsTurned: boolean): Problem {
  const over = (have: number, room: number) => Math.max(0, have - room)
  const length = boxWidth(slits)
  const counted = length > boxWidth(film) ? 'its ticks and slit ends' : 'its ticks'
  const upright = `${over(length, along).toFixed(1)} mm along and ${over(boxHeight(film), across).toFixed(1)} mm across`
  return {
    code: 'panel_too_big',
    field: name,
    value: `${length.toFixed(1)} x ${boxHeight(film).toFixed(1)} mm with ${counted}`,
    limit: `film and machine leave ${along.toFixed(1)} mm along and ${across.toFixed(1)} mm across; too big by ${upright}`,
    cure: fitsTurned
      ? 'It fits when turned a quarter: set stock.turn to true if the film has no direction.'
      : 'Take wider film or a bigger machine, split it into two part wraps, or cut it by hand from the paper template.',
  }
}
