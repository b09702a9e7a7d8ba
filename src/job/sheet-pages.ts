import type { JobObject as SheetPage } from '../file/pdf/job-sheet.ts'
import { boxHeight, boxWidth } from '../geometry/bounds.ts'
import { distance } from '../geometry/point.ts'
import { mapPoint } from '../geometry/transform.ts'
import type { Say } from '../panel/template.ts'
import { baseOf, placingPicture } from '../picture/placing-picture.ts'
import type { Offcut } from '../sheet/left-over.ts'
import { pieceName } from '../sheet/piece-names.ts'
import { cornerOf } from '../sheet/placing.ts'
import type { Sheet } from '../sheet/sheet.ts'
import type { Stock } from '../sheet/stock.ts'
import type { Material } from './material.ts'

/** Room for a sheet on the job sheet, mm. */
const room = { width: 172, height: 70 }

/** Places of more pieces than this in a job take a book of their own: a page holds about 16 of them. */
const mostListed = 300

/** What the job sheet says of each length of film: where it comes from, where its pieces lie on it, what is kept. */
export function sheetPages({ sheets }: Material, say: Say): SheetPage[] {
  const all = sheets.reduce((sum, { sheet }) => sum + sheet.pieces.length, 0)
  const isListed = all <= mostListed
  return sheets.map(({ sheet, keep }) => {
    const { stock, length, width } = sheet
    const scale = Math.min(1, room.width / length, room.height / width)
    return {
      name: `Sheet ${sheet.number}, ${whence(stock)}: ${say(length)} x ${say(width)}`,
      pictures: [{ caption: captionOf(sheet), picture: placingPicture(sheet, keep, scale) }],
      sections: [isListed ? placing(sheet, say) : unlisted(all), ...(keep.length > 0 ? [kept(keep, say)] : [])],
    }
  })
}

/** What film it is; one that has no name of its own is named by its kind already. */
function whence({ kind, name }: Stock): string {
  const where = { roll: 'off the roll', sheet: 'on a sheet', offcut: 'on the offcut' }[kind]
  return name === kind ? where : `${where} ${name}`
}

const captionOf = ({ stock }: Sheet) =>
  stock.outline
    ? 'Film side up, as the scrap lies: A and B are two of its corners'
    : 'Film side up: left edge and bottom edge as seen here'

const whereHeading = 'Where the pieces lie'

const unlisted = (all: number) => ({
  heading: whereHeading,
  lines: [
    `Left out, because the places of all ${all} pieces of the job take about ${Math.ceil(all / 16)} pages. The picture of the sheet shows them, and report.json lists them.`,
  ],
})

/** Where each piece lies: on straight film from two edges, on a scrap from two of its corners. */
function placing(sheet: Sheet, say: Say) {
  const base = baseOf(sheet)
  const rows = sheet.pieces.flatMap((piece, i) => {
    const { from, to } = piece.panel.hinge
    const ends = [mapPoint(piece.place, from), mapPoint(piece.place, to)]
    const names = [`${i + 1}. ${pieceName(piece)}`, turnWords(piece.angle)]
    const places = ends.map((at, end): [string, ...string[]] => [
      `hinge, ${end === 0 ? 'lower' : 'upper'} end`,
      ...(base ? base.map((corner) => say(distance(corner, at))) : [say(at.x), say(at.y)]),
    ])
    const { x, y } = cornerOf(piece)
    const all = base ? places : [['film, leftmost and lowest', say(x), say(y)], ...places]
    return all.map((place, k) => [names[k] ?? '', ...place])
  })
  const how = base
    ? 'Each place lies where arcs about the corners A and B meet; lower and upper end are those of the panel as it stands.'
    : 'Lower and upper end are those of the panel as it stands, whichever way it lies here.'
  return {
    heading: whereHeading,
    lines: [how],
    table: {
      columns: base ? ['Piece', 'Place', 'From A', 'From B'] : ['Piece', 'Place', 'From the left', 'From the bottom'],
      rows,
    },
  }
}

function turnWords(angle: number): string {
  const degrees = Math.round((angle * 1800) / Math.PI) / 10
  return degrees === 0 ? 'as it stands' : `turned left by ${degrees}°`
}

/** What to cut off and put back. */
function kept(keep: readonly Offcut[], say: Say) {
  return {
    heading: 'Worth keeping',
    lines: keep.map(({ outline, box }) => {
      const size = `${say(boxWidth(box))} x ${say(boxHeight(box))}`
      const at = `from ${say(box.low.x)} to ${say(box.high.x)} along, ${say(box.low.y)} to ${say(box.high.y)} across`
      return outline.length === 4 ? `${size}, ${at}.` : `An offcut that holds ${size}, ${at}.`
    }),
  }
}
