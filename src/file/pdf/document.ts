import PDFDocument from 'pdfkit'
import { type Path, pieces } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'
import { arcAsCubics, transform } from '../../geometry/transform.ts'
import type { Picture, Words } from '../../picture/picture.ts'
import { type Look, looks } from '../../picture/styles.ts'
import { latin } from './latin.ts'

export type Document = PDFKit.PDFDocument

/** A PDF unit, 1/72 in, in mm. */
export const pt = 25.4 / 72

/** Words on paper, scaled down with a picture, stay at least this big, mm. */
const leastSize = 2

/** An empty document; its dates are fixed, so the same input gives the same bytes. */
export function openDocument(title: string): Document {
  const info = { Title: title, Creator: 'midtick', Producer: 'midtick', CreationDate: new Date(0) }
  return new PDFDocument({ autoFirstPage: false, bufferPages: true, compress: true, displayTitle: true, info })
}

/** A page of `width` by `height` mm, drawn on from now in mm, y up from its lower left corner. */
export function addPage(doc: Document, width: number, height: number): void {
  doc.addPage({ size: [width / pt, height / pt], margin: 0 })
  doc.transform(1 / pt, 0, 0, -1 / pt, 0, height / pt)
}

/** What of a stream is used here. */
interface ByteSource {
  on(event: 'data', take: (chunk: Uint8Array) => void): unknown
  on(event: 'end', done: () => void): unknown
  on(event: 'error', fail: (error: Error) => void): unknown
  end(): void
}

/** Ends the document and gives the whole file. */
export function finish(doc: ByteSource): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    const chunks: Uint8Array[] = []
    doc.on('data', (chunk) => chunks.push(chunk))
    doc.on('error', reject)
    doc.on('end', () => {
      const bytes = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0))
      let at = 0
      for (const chunk of chunks) {
        bytes.set(chunk, at)
        at += chunk.length
      }
      resolve(bytes)
    })
    doc.end()
  })
}

/** Runs the pen along a path without a mark; arcs become cubics of at most 30 degrees. */
function tracePath(doc: Document, path: Path): void {
  doc.moveTo(path.start.x, path.start.y)
  for (const { from, segment } of pieces(path)) {
    if (segment.kind === 'line') {
      doc.lineTo(segment.to.x, segment.to.y)
      continue
    }
    for (const { c1, c2, to } of segment.kind === 'arc' ? arcAsCubics(from, segment) : [segment]) {
      doc.bezierCurveTo(c1.x, c1.y, c2.x, c2.y, to.x, to.y)
    }
  }
  if (path.closed) doc.closePath()
}

/** Strokes a path. */
export function drawPath(doc: Document, path: Path, look: Omit<Look, 'means'>): void {
  if (path.segments.length === 0) return
  doc.save()
  doc.lineWidth(look.width).lineJoin('round').strokeColor(look.colour)
  if (look.dashes.length > 0) doc.addContent(`[${look.dashes.join(' ')}] 0 d`)
  tracePath(doc, path)
  doc.stroke()
  doc.restore()
}

/** Fills a closed path. */
function fillPath(doc: Document, path: Path, colour: string): void {
  doc.save()
  tracePath(doc, path)
  doc.fill(colour)
  doc.restore()
}

function useFont(doc: Document, size: number, bold: boolean): void {
  doc.font(bold ? 'Helvetica-Bold' : 'Helvetica').fontSize(size)
}

/** Width of `text` as `writeWords` sets it, mm. */
export function widthOf(doc: Document, text: string, size: number, bold = false): number {
  useFont(doc, size, bold)
  return doc.widthOfString(latin(text))
}

const fractions = { start: 0, middle: 0.5, end: 1 } as const

/** Sets one line of words in Helvetica; with `halo`, on a white seam that keeps lines off them. */
export function writeWords(doc: Document, words: Omit<Words, 'kind'>, colour = '#111111', halo = false): void {
  const text = latin(words.text)
  useFont(doc, words.size, words.bold ?? false)
  const left = -fractions[words.anchor] * doc.widthOfString(text)
  const c = Math.cos(words.turn)
  const s = Math.sin(words.turn)
  doc.save()
  // letters are set in a space with y down
  doc.transform(c, s, s, -c, words.at.x, words.at.y)
  if (halo) {
    doc
      .lineWidth(0.3 * words.size)
      .lineJoin('round')
      .strokeColor('#ffffff')
    doc.text(text, left, 0, { lineBreak: false, baseline: 'alphabetic', stroke: true, fill: false })
  }
  doc.fillColor(colour)
  doc.text(text, left, 0, { lineBreak: false, baseline: 'alphabetic' })
  doc.restore()
}

/**
 * Draws a picture with its lower left corner at `at`, mm, lines over areas and words over lines. Widths and dashes of lines are those of
 * the paper whatever the `scale` (> 0), and words never shrink below 2 mm unless they were smaller.
 */
export function drawPicture(doc: Document, picture: Picture, at: Point, scale: number): void {
  const matrix = { a: scale, b: 0, c: 0, d: scale, e: at.x, f: at.y }
  for (const item of picture.items) {
    if (item.kind === 'filled') fillPath(doc, transform(item.path, matrix), item.colour)
  }
  for (const item of picture.items) {
    if (item.kind === 'drawn') drawPath(doc, transform(item.path, matrix), looks[item.style])
  }
  for (const item of picture.items) {
    if (item.kind !== 'words') continue
    const size = Math.max(item.size * scale, Math.min(item.size, leastSize))
    const foot = { x: at.x + item.at.x * scale, y: at.y + item.at.y * scale }
    writeWords(doc, { ...item, at: foot, size }, '#111111', true)
  }
}
