import { lineTo, openPath } from '../../geometry/path.ts'
import { point } from '../../geometry/point.ts'
import { addPage, type Document, drawPath, pt, widthOf, writeWords } from './document.ts'

/** Upright sheet, mm. */
export interface Paper {
  readonly name: string
  readonly width: number
  readonly height: number
}

/** A strip over the whole width that is not torn between pages. */
export interface Block {
  /** mm left free above it, but not at the head of a page */
  readonly above: number
  readonly height: number
  /** stays on the page of the block that follows */
  readonly keep: boolean
  /** set above it once more where it comes first on a page, such as the head of a table */
  readonly again?: readonly Block[]
  /** `top` is the height of its upper edge on the page, mm from the foot */
  readonly draw: (top: number) => void
}

export interface TextStyle {
  /** points */
  readonly size: number
  readonly bold?: boolean
  readonly colour?: string
}

/** Edge of the page kept free, mm; page numbers stand in the lower one. */
export const edge = 18

/** mm from one baseline to the next */
const leading = (style: TextStyle): number => style.size * pt * 1.32

/** Parts of a word that is wider than a line. */
function broken(doc: Document, word: string, style: TextStyle, width: number): string[] {
  if (widthOf(doc, word, style.size * pt, style.bold) <= width) return [word]
  const parts: string[] = []
  let part = ''
  for (const character of word) {
    if (part !== '' && widthOf(doc, part + character, style.size * pt, style.bold) > width) {
      parts.push(part)
      part = ''
    }
    part += character
  }
  return [...parts, part]
}

/** The text in lines of at most `width` mm; at least one line. */
export function wrapped(doc: Document, text: string, style: TextStyle, width: number): string[] {
  const measured = (t: string) => widthOf(doc, t, style.size * pt, style.bold)
  const lines: string[] = []
  let line = ''
  let used = 0
  for (const word of text.split(/\s+/).filter((w) => w !== '')) {
    for (const [i, part] of broken(doc, word, style, width).entries()) {
      const own = measured(part)
      const last = line.at(-1) ?? ''
      // A line grows by its next word alone; the letters on both sides of the blank are set close by pairs.
      const longer = line === '' ? own : used + measured(`${last} ${part}`) - measured(last)
      if (line !== '' && (i > 0 || longer > width)) {
        lines.push(line)
        line = part
        used = own
      } else {
        line = line === '' ? part : `${line} ${part}`
        used = longer
      }
    }
  }
  return [...lines, line]
}

/** `text` cut with an ellipsis where it is wider than `width` mm. */
export function shortened(doc: Document, text: string, style: TextStyle, width: number): string {
  const fits = (t: string) => widthOf(doc, t, style.size * pt, style.bold) <= width
  if (fits(text)) return text
  const characters = [...text]
  while (characters.length > 0 && !fits(`${characters.join('')}…`)) characters.pop()
  return `${characters.join('').trimEnd()}…`
}

/** One line with its left end at `x` and its upper edge at `top`. */
export function writeLine(doc: Document, text: string, style: TextStyle, x: number, top: number): void {
  const size = style.size * pt
  const at = point(x, top - size)
  writeWords(doc, { at, text, size, anchor: 'start', turn: 0, bold: style.bold ?? false }, style.colour)
}

export interface Paragraph {
  readonly style: TextStyle
  readonly left: number
  readonly width: number
  readonly above: number
  /** stands before the first line, the others line up behind it */
  readonly mark?: string
  readonly indent?: number
  /** stays with the block that follows */
  readonly keep?: boolean
}

/** A paragraph as one block a line; up to four lines stay together. */
export function paragraph(doc: Document, text: string, look: Paragraph): Block[] {
  const { style, left, mark } = look
  const indent = look.indent ?? 0
  const lines = wrapped(doc, text, style, look.width - indent)
  return lines.map((line, i) => ({
    above: i === 0 ? look.above : 0,
    height: leading(style),
    keep: i < lines.length - 1 ? lines.length <= 4 || look.keep === true : look.keep === true,
    draw: (top) => {
      if (i === 0 && mark !== undefined) writeLine(doc, mark, style, left, top)
      writeLine(doc, line, style, left + indent, top)
    },
  }))
}

/** A thin line across the page. */
export function rule(doc: Document, left: number, width: number, above: number): Block {
  const look = { width: 0.3, dashes: [], colour: '#888888' }
  const draw = (top: number) => drawPath(doc, openPath(point(left, top), lineTo(point(left + width, top))), look)
  return { above, height: 2.5, keep: true, draw }
}

/** Cells by row; every row has one for each column. */
export interface Table {
  readonly columns: readonly string[]
  readonly rows: readonly (readonly string[])[]
}

export interface TableLook {
  readonly style: TextStyle
  readonly left: number
  readonly width: number
  readonly above: number
}

/** mm kept free on the right of a cell */
const cellGap = 3

/** One row of a table, a block a line; the lines of a row stay together, wrapped in columns of one width. */
function tableRow(doc: Document, cells: readonly string[], look: TableLook, style: TextStyle): Block[] {
  const step = look.width / cells.length
  const columns = cells.map((cell) => wrapped(doc, cell, style, step - cellGap))
  const count = Math.max(...columns.map((lines) => lines.length))
  return Array.from({ length: count }, (_, k) => ({
    above: k === 0 ? 1 : 0,
    height: leading(style),
    keep: k < count - 1,
    draw: (top) => {
      for (const [i, lines] of columns.entries()) writeLine(doc, lines[k] ?? '', style, look.left + i * step, top)
    },
  }))
}

/**
 * A table in columns of one width, its head bold over a thin line and set again on every page that the rows run on to.
 * Refuses a row that has more or fewer cells than there are columns.
 */
export function table(doc: Document, { columns, rows }: Table, look: TableLook): Block[] {
  const odd = rows.findIndex((row) => row.length !== columns.length)
  if (odd >= 0) throw new RangeError(`row ${odd + 1} has ${rows[odd]?.length} cells for ${columns.length} columns`)
  if (columns.length === 0) return []
  const words = tableRow(doc, columns, look, { ...look.style, bold: true })
  const line = { ...rule(doc, look.left, look.width, 0.6), height: 0.6, keep: rows.length > 0 }
  const head = [...words.map((block, i) => ({ ...block, above: i === 0 ? look.above : 0, keep: true })), line]
  // the last row never stands alone on a page
  const body = rows.flatMap((row, i) =>
    tableRow(doc, row, look, look.style).map((block) => ({
      ...block,
      keep: block.keep || i === rows.length - 2,
      again: head,
    })),
  )
  return [...head, ...body]
}

/** Blocks that belong together: each run of `keep` with the block after it. */
function runs(blocks: readonly Block[]): Block[][] {
  const found: Block[][] = []
  let run: Block[] = []
  for (const block of blocks) {
    run.push(block)
    if (block.keep) continue
    found.push(run)
    run = []
  }
  return run.length > 0 ? [...found, run] : found
}

const heightOf = (run: readonly Block[]): number => run.reduce((sum, b, i) => sum + b.height + (i > 0 ? b.above : 0), 0)

/** Sets the blocks one below the other on as many pages as they need, at least one. */
export function layOut(doc: Document, paper: Paper, blocks: readonly Block[]): void {
  const head = paper.height - edge
  let y = head
  addPage(doc, paper.width, paper.height)
  const set = (block: Block) => {
    if (y < head) y -= block.above
    block.draw(y)
    y -= block.height
  }
  const turnPage = (next: Block | undefined) => {
    addPage(doc, paper.width, paper.height)
    y = head
    for (const block of next?.again ?? []) set(block)
  }
  for (const run of runs(blocks)) {
    const [first] = run
    const height = heightOf(run)
    // a run taller than a page breaks where it must
    const whole = height + heightOf(first?.again ?? []) <= head - edge
    if (whole && y < head && y - (first?.above ?? 0) - height < edge) turnPage(first)
    for (const block of run) {
      if (!whole && y < head && y - block.above - block.height < edge) turnPage(block)
      set(block)
    }
  }
}
