import { crossMark } from '../../geometry/cross-mark.ts'
import { lineTo, openPath, type Path, rectangle } from '../../geometry/path.ts'
import { type Point, point } from '../../geometry/point.ts'
import type { Picture } from '../../picture/picture.ts'
import { addPage, type Document, drawPath, drawPicture, finish, openDocument, pt, writeWords } from './document.ts'
import { type Block, edge, layOut, type Paper, paragraph, rule, shortened, type TextStyle, writeLine } from './flow.ts'
import { joiningCrosses, margin, paperSizes, strip, type Tile, type TilePlan, tilePlan } from './tiles.ts'

export { paperSizes, tilePlan }

/** A flat panel to print at true size. */
export interface PaperPanel {
  readonly name: string
  readonly picture: Picture
}

export interface PaperInput {
  readonly title: string
  readonly paper: Paper
  readonly panels: readonly PaperPanel[]
}

const thin = { width: 0.15, dashes: [], colour: '#111111' }
const faint = { width: 0.1, dashes: [], colour: '#aaaaaa' }
const text = { size: 10.5 }
const heading = { size: 12.5, bold: true }
const small = { size: 7.5, colour: '#555555' }

const line = (from: Point, to: Point): Path => openPath(from, lineTo(to))

/** A bar of 100 mm with end marks, each mark's middle at an end of the bar. */
function bar(doc: Document, from: Point, upright: boolean): void {
  const to = upright ? point(from.x, from.y + 100) : point(from.x + 100, from.y)
  const mark = upright ? point(3, 0) : point(0, 3)
  drawPath(doc, line(from, to), thin)
  for (const end of [from, to]) {
    drawPath(doc, line(point(end.x - mark.x, end.y - mark.y), point(end.x + mark.x, end.y + mark.y)), thin)
  }
  const at = upright ? point(from.x - 2, from.y + 50) : point(from.x + 50, from.y + 2)
  const turn = upright ? Math.PI / 2 : 0
  writeWords(doc, { at, text: '100 mm', size: text.size * pt, anchor: 'middle', turn, bold: true })
}

/** The bars and the outline of an ID-1 card, 85.60 x 53.98 mm with corners of 3.18 mm (ISO/IEC 7810). */
function rulers(doc: Document): Block {
  const draw = (top: number) => {
    const foot = top - 104
    bar(doc, point(edge + 8, foot), true)
    const x = edge + 30
    bar(doc, point(x, top - 12), false)
    const low = point(x, foot)
    const card = rectangle(low, point(x + 85.6, foot + 53.98), [3.18, 3.18, 3.18, 3.18])
    drawPath(doc, card, thin)
    const notes = ['A bank card', '85.60 x 53.98 mm', 'must just cover this outline.']
    for (const [i, note] of notes.entries()) writeLine(doc, note, text, x + 8, foot + 36 - i * 5.5)
  }
  return { above: 3, height: 106, keep: false, draw }
}

interface Planned extends PaperPanel {
  readonly plan: TilePlan
}

/** Columns of the table: where each starts, as a share of the width. */
const tabs = [0, 0.46, 0.68, 0.8]

function tableRow(doc: Document, cells: readonly string[], width: number, bold: boolean): Block {
  const draw = (top: number) => {
    for (const [i, cell] of cells.entries()) {
      const start = tabs[i] ?? 0
      const room = ((tabs[i + 1] ?? 1) - start) * width - 3
      const style = { ...text, bold }
      writeLine(doc, shortened(doc, cell, style, room), style, edge + start * width, top)
    }
  }
  return { above: 0, height: 5.6, keep: bold, draw }
}

const mm = (length: number): string => length.toFixed(1)

function firstPages(doc: Document, input: PaperInput, panels: readonly Planned[]): void {
  const width = input.paper.width - 2 * edge
  const lines = (words: string, above: number, style: TextStyle, keep = false) =>
    paragraph(doc, words, { style, left: edge, width, above, keep })
  const pages = panels.reduce((sum, { plan }) => sum + plan.tiles.length, 0)
  const blocks: Block[] = [
    ...lines(input.title, 0, { size: 18, bold: true }, true),
    rule(doc, edge, width, 1.5),
    ...lines(
      `Paper template at true size on ${input.paper.name}: ${pages} ${pages === 1 ? 'page' : 'pages'} of panels after this.`,
      0,
      text,
    ),
    ...lines('Print at 100 %', 4, heading, true),
    ...lines(
      'Choose "Actual size" or 100 % in the print window, never "Fit" or "Shrink". Print this page first and measure both bars from mark to mark: each must be 100 mm, to half a millimetre or better.',
      1,
      text,
    ),
    rulers(doc),
    ...lines('If a bar is not 100 mm', 4, heading, true),
    ...lines('95.97 mm: the print was fitted to A4 with margins of 1/6 in. Set the scale to 100 %.', 1, text),
    ...lines(
      '94.07 mm: an A4 page was squeezed onto Letter. Make the template for the paper in the printer.',
      0.5,
      text,
    ),
    ...lines('The bars differ from each other: the printer stretches one way. Use another printer.', 0.5, text),
    ...lines('Panels', 4, heading, true),
    tableRow(doc, ['Panel', 'Size in mm', 'Pages', 'Rows x columns'], width, true),
    ...panels.map(({ name, picture, plan }) => {
      const size = `${mm(picture.width)} x ${mm(picture.height)}`
      return tableRow(doc, [name, size, `${plan.tiles.length}`, `${plan.rows} x ${plan.columns}`], width, false)
    }),
    ...lines(
      'Cut pages along the thin frame on one side of each seam, lay the crosses of neighbouring pages on each other and tape. Never line pages up by their paper edges.',
      3,
      text,
    ),
  ]
  layOut(doc, input.paper, blocks)
}

/** The map of all tiles, this one filled; its lower right corner at `corner`. Gives its width, mm. */
function tileMap(doc: Document, plan: TilePlan, tile: Tile, corner: Point): number {
  const window = point(tile.high.x - tile.low.x, tile.high.y - tile.low.y)
  const scale = Math.min((strip - 4) / (plan.rows * window.y), 45 / (plan.columns * window.x))
  const cell = point(window.x * scale, window.y * scale)
  for (const { column, row } of plan.tiles) {
    const x = corner.x - (plan.columns - column + 1) * cell.x
    const y = corner.y + (plan.rows - row) * cell.y
    if (column === tile.column && row === tile.row) {
      doc.save()
      doc.rect(x, y, cell.x, cell.y).fill('#444444')
      doc.restore()
    }
    drawPath(doc, rectangle(point(x, y), point(x + cell.x, y + cell.y)), thin)
  }
  return plan.columns * cell.x
}

function tilePage(doc: Document, paper: Paper, { name, picture, plan }: Planned, tile: Tile): void {
  const short = Math.min(paper.width, paper.height)
  const long = Math.max(paper.width, paper.height)
  const width = plan.landscape ? long : short
  const foot = margin + strip
  const shift = point(margin - tile.low.x, foot - tile.low.y)
  const high = point(tile.high.x + shift.x, tile.high.y + shift.y)
  addPage(doc, width, plan.landscape ? short : long)

  doc.save()
  doc.rect(margin, foot, high.x - margin, high.y - foot).clip()
  drawPicture(doc, picture, shift, 1)
  for (const cross of joiningCrosses(plan)) {
    const inside = cross.x > tile.low.x && cross.x < tile.high.x && cross.y > tile.low.y && cross.y < tile.high.y
    if (!inside) continue
    const at = point(cross.x + shift.x, cross.y + shift.y)
    for (const path of crossMark(at, 3)) drawPath(doc, path, thin)
  }
  doc.restore()
  drawPath(doc, rectangle(point(margin, foot), high), faint)

  const mapWidth = tileMap(doc, plan, tile, point(width - margin, margin + 1))
  const place = ` · row ${tile.row} of ${plan.rows}, column ${tile.column} of ${plan.columns}`
  const style = { ...text, bold: true }
  // the place is never cut off, the name may be
  const room = width - 2 * margin - mapWidth - 6
  const label = `${shortened(doc, name, style, room - 75)}${place}`
  writeLine(doc, label, style, margin, margin + strip - 3)
  const check = 'True size: both bars on the first page must measure 100 mm.'
  writeLine(doc, check, small, margin, margin + strip - 8.5)
}

/** The paper template: a page to check the print's scale by, then each panel at true size over as many pages as needed. */
export function writePaper(input: PaperInput): Promise<Uint8Array> {
  const panels = input.panels.map((panel): Planned => {
    return { ...panel, plan: tilePlan(panel.picture.width, panel.picture.height, input.paper) }
  })
  const doc = openDocument(input.title)
  firstPages(doc, input, panels)
  for (const panel of panels) {
    for (const tile of panel.plan.tiles) tilePage(doc, input.paper, panel, tile)
  }
  return finish(doc)
}
