import { point } from '../../geometry/point.ts'
import type { Picture } from '../../picture/picture.ts'
import { type Document, drawPicture, finish, openDocument, pt, widthOf, writeWords } from './document.ts'
import {
  type Block,
  edge,
  layOut,
  type Paper,
  paragraph,
  rule,
  shortened,
  type Table,
  table,
  wrapped,
  writeLine,
} from './flow.ts'

export interface Captioned {
  readonly caption: string
  readonly picture: Picture
}

export interface Section {
  readonly heading: string
  readonly lines: readonly string[]
  /** stands below the lines */
  readonly table?: Table
}

export interface JobObject {
  readonly name: string
  readonly pictures: readonly Captioned[]
  readonly sections: readonly Section[]
}

export interface JobSheetInput {
  readonly title: string
  /** what to look at again before film is cut, above all else; a sentence or two each */
  readonly warnings: readonly string[]
  readonly summary: readonly string[]
  readonly paper: Paper
  readonly objects: readonly JobObject[]
  readonly steps: readonly Section[]
}

const titleStyle = { size: 20, bold: true }
const objectStyle = { size: 15, bold: true }
const sectionStyle = { size: 11.5, bold: true }
const textStyle = { size: 10.5 }
const tableStyle = { size: 9.5 }
const captionStyle = { size: 9, colour: '#333333' }
const footStyle = { size: 8.5, colour: '#555555' }

const lookAgain = 'Look again before you cut film'

/** Limits of a picture on the sheet: mm high, and times enlarged. */
const highest = 75
const mostEnlarged = 3
/** mm between two pictures side by side */
const gutter = 10

/** The scale at which a picture fits into `width` mm. */
function scaleFor(picture: Picture, width: number): number {
  return Math.min(mostEnlarged, width / picture.width, highest / picture.height)
}

/** A picture that keeps this share of its size in half the width stands beside another such one. */
const narrowShare = 0.7

/** Pictures in rows of one or two; two where both are narrow. */
function pictureRows(pictures: readonly Captioned[], width: number): Captioned[][] {
  const half = (width - gutter) / 2
  const narrow = ({ picture }: Captioned) => scaleFor(picture, half) >= narrowShare * scaleFor(picture, width)
  const rows: Captioned[][] = []
  for (const picture of pictures) {
    const last = rows.at(-1)
    if (last?.length === 1 && last.every(narrow) && narrow(picture)) last.push(picture)
    else rows.push([picture])
  }
  return rows
}

/** One row of pictures with their captions. */
function pictureRow(doc: Document, row: readonly Captioned[], width: number): Block {
  const cell = row.length === 1 ? width : (width - gutter) / 2
  const set = row.map(({ picture, caption }, i) => {
    const scale = scaleFor(picture, cell)
    return { picture, scale, left: edge + i * (cell + gutter), lines: wrapped(doc, caption, captionStyle, cell) }
  })
  const tallest = Math.max(...set.map(({ picture, scale }) => picture.height * scale))
  const size = captionStyle.size * pt
  const lead = size * 1.3
  const draw = (top: number) => {
    for (const { picture, scale, left, lines } of set) {
      const middle = left + cell / 2
      drawPicture(doc, picture, point(middle - (picture.width * scale) / 2, top - tallest), scale)
      for (const [i, text] of lines.entries()) {
        const at = point(middle, top - tallest - 3 - size - i * lead)
        writeWords(doc, { at, text, size, anchor: 'middle', turn: 0 }, captionStyle.colour)
      }
    }
  }
  const height = tallest + 3 + Math.max(...set.map(({ lines }) => lines.length)) * lead + 1
  return { above: 4, height, keep: false, draw }
}

/**
 * The rows of an object's pictures: its name, the first two pictures and so on by twos stay on one page. Two rows and
 * the name take about 190 mm, and the least page has 240.
 */
function pictureBlocks(doc: Document, pictures: readonly Captioned[], width: number): Block[] {
  const rows = pictureRows(pictures, width)
  return rows.map((row, i) => ({ ...pictureRow(doc, row, width), keep: i % 2 === 0 && i < rows.length - 1 }))
}

/** A heading with its lines, numbered where there are several, and its table. */
function section(doc: Document, { heading, lines, table: rows }: Section, width: number): Block[] {
  const head = { style: sectionStyle, left: edge, width, above: 5, keep: lines.length > 0 || rows !== undefined }
  const numbered = lines.flatMap((line, i) => {
    // neither the first nor the last line stands alone on a page
    const keep = i === lines.length - 2 || (i === 0 && lines.length > 1)
    const mark = lines.length > 1 ? { mark: `${i + 1}.`, indent: 8 } : {}
    return paragraph(doc, line, { style: textStyle, left: edge, width, above: 1.2, ...mark, keep })
  })
  const below = rows
    ? table(doc, rows, { style: tableStyle, left: edge, width, above: lines.length > 0 ? 2.5 : 1.2 })
    : []
  return [...paragraph(doc, heading, head), ...numbered, ...below]
}

function objectBlocks(doc: Document, object: JobObject, width: number): Block[] {
  const keep = object.pictures.length + object.sections.length > 0
  return [
    { ...rule(doc, edge, width, 8), height: 3 },
    ...paragraph(doc, object.name, { style: objectStyle, left: edge, width, above: 0, keep }),
    ...pictureBlocks(doc, object.pictures, width),
    ...object.sections.flatMap((s) => section(doc, s, width)),
  ]
}

/** Writes the title and `n of N` at the foot of every page. */
function numberPages(doc: Document, title: string, paper: Paper): void {
  const { start, count } = doc.bufferedPageRange()
  for (let i = 0; i < count; i++) {
    doc.switchToPage(start + i)
    const text = `${i + 1} of ${count}`
    const size = footStyle.size * pt
    const right = paper.width - edge
    const at = point(right, edge / 2)
    writeWords(doc, { at, text, size, anchor: 'end', turn: 0 }, footStyle.colour)
    const room = paper.width - 2 * edge - widthOf(doc, text, size) - 10
    writeLine(doc, shortened(doc, title, footStyle, room), footStyle, edge, edge / 2 + size)
  }
}

/** The sheet to work by: what to look at again, what the job is, each object with its pictures and readings, and the steps, on upright pages. */
export function writeJobSheet(input: JobSheetInput): Promise<Uint8Array> {
  const { title, paper } = input
  const width = paper.width - 2 * edge
  const doc = openDocument(title)
  const summary = input.summary.flatMap((line, i) =>
    paragraph(doc, line, { style: textStyle, left: edge, width, above: i === 0 ? 2 : 0.8 }),
  )
  const steps = input.steps.flatMap((step) => section(doc, step, width))
  const { warnings } = input
  const doubts = warnings.length > 0 ? section(doc, { heading: lookAgain, lines: warnings }, width) : []
  const keep = doubts.length + summary.length > 0
  const blocks = [
    ...paragraph(doc, title, { style: titleStyle, left: edge, width, above: 0, keep }),
    ...doubts,
    ...summary,
    ...input.objects.flatMap((object) => objectBlocks(doc, object, width)),
    ...(steps.length > 0 ? [rule(doc, edge, width, 8), ...steps] : []),
  ]
  layOut(doc, paper, blocks)
  numberPages(doc, title, paper)
  return finish(doc)
}
