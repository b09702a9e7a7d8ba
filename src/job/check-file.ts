import { readHpgl } from '../file/hpgl/read.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { type Drawing, isDrawing, readDrawing } from '../file/svg/read-drawing.ts'
import { boundsOf } from '../geometry/bounds.ts'
import type { Deviation } from '../geometry/deviation.ts'
import { endOf, type Path, polyline } from '../geometry/path.ts'
import { distance } from '../geometry/point.ts'
import { Refusal } from '../measure/problem.ts'
import type { Operation } from '../stroke/stroke.ts'
import { type FoundPanel, findPanel } from './find-panel.ts'
import { type Boxed, boxed, nearestLine } from './nearest-line.ts'

/** What a cut file holds, mm. */
export interface Contents {
  readonly file: string
  readonly kind: 'SVG' | 'HP-GL'
  readonly tools: readonly { readonly tool: string; readonly strokes: number; readonly closed: number }[]
  readonly low: { readonly x: number; readonly y: number }
  readonly high: { readonly x: number; readonly y: number }
  /** how far it sticks out of the area given, mm; 0 inside */
  readonly outside: number
  /** against another cut file or a sheet's drawing: the farthest that any line of one lies from the other */
  readonly against?: { readonly file: string; readonly distance: number; readonly x: number; readonly y: number }
  /** against a panel's drawing */
  readonly panel?: FoundPanel & { readonly file: string }
}

export interface CheckOptions {
  readonly unitsPerMm: number
  readonly area?: { readonly x: number; readonly y: number }
  /** another cut file, or the drawing of a panel or a sheet */
  readonly against?: { readonly file: string; readonly text: string }
}

interface Line extends Boxed {
  readonly tool: string
}

/** Reads a cut file back and says what is in it. Refuses what it cannot read whole. */
export function checkFile(file: string, text: string, options: CheckOptions): Contents {
  if (isDrawing(text)) {
    const value = 'a drawing to look at'
    const cure = 'Give the cut file, and the drawing after --against.'
    throw new Refusal([{ code: 'not_a_cut_file', field: file, value, limit: 'check looks into cut files', cure }])
  }
  const { kind, lines } = linesOf(file, text, options.unitsPerMm)
  const box = boundsOf(lines.map((line) => line.path))
  const names = [...new Set(lines.map((line) => line.tool))]
  const over = options.area
    ? Math.max(0, -box.low.x, -box.low.y, box.high.x - options.area.x, box.high.y - options.area.y)
    : 0
  const contents: Contents = {
    file,
    kind,
    tools: names.map((tool) => {
      const own = lines.filter((line) => line.tool === tool)
      return { tool, strokes: own.length, closed: own.filter((line) => isClosed(line.path)).length }
    }),
    low: box.low,
    high: box.high,
    outside: over,
  }
  return options.against ? { ...contents, ...compared(lines, options.against, options.unitsPerMm) } : contents
}

/** The lines of a cut file beside another file, of which the text says what it is. */
function compared(
  lines: readonly Line[],
  { file, text }: { readonly file: string; readonly text: string },
  unitsPerMm: number,
): Pick<Contents, 'against' | 'panel'> {
  if (!isDrawing(text)) {
    const other = linesOf(file, text, unitsPerMm).lines
    return { against: { file, ...farApart([lines, other], [other, lines]) } }
  }
  const drawing = readDrawing(text)
  const cuts = drawing.cuts.map(boxed)
  if (cuts.length === 0) throw nothingIn(file, 'a drawing to check against shows one cut line at least')
  if (drawing.shows === 'panel') return { panel: { file, ...panelIn(file, cuts, lines) } }
  return { against: { file, ...farApart([cuts, lines], [lines, everyLine(drawing)]) } }
}

/** What a sheet's drawing shows of the film side: a cut file has pen lines too, and its tools do not tell them apart. */
const everyLine = ({ cuts, pens }: Drawing) => [...cuts, ...pens].map(boxed)

function panelIn(file: string, cuts: readonly Boxed[], lines: readonly Line[]): FoundPanel {
  const [drawn, cut] = [cuts, lines].map((all: readonly Boxed[]) => all.filter((line) => isClosed(line.path)))
  if (!drawn?.length) throw nothingIn(file, 'the drawing of a panel has one closed cut line at least')
  return findPanel(drawn, cut ?? [])
}

/** What is drawn, of which there must be something. */
function linesOf(file: string, text: string, unitsPerMm: number) {
  const read = linesIn(text, unitsPerMm)
  if (read.lines.length > 0) return read
  throw nothingIn(file, 'a cut file holds one line at least')
}

const nothingIn = (file: string, limit: string): Refusal =>
  new Refusal([{ code: 'no_lines', field: file, value: 'without a line', limit, cure: 'Write the file again.' }])

/** A file that is not SVG is taken for HP-GL. */
function linesIn(text: string, unitsPerMm: number): { kind: Contents['kind']; lines: readonly Line[] } {
  if (/^\s*</.test(text)) {
    const strokes = readCutSvg(text).strokes
    return { kind: 'SVG', lines: strokes.map((s) => ({ tool: s.operation, ...boxed(s.path) })) }
  }
  const pens: Partial<Record<Operation, number>> = {}
  const strokes = readHpgl(text, { unitsPerMm, pens })
  return { kind: 'HP-GL', lines: strokes.map((s) => ({ tool: `pen ${s.pen}`, ...boxed(polyline(s.points)) })) }
}

const isClosed = (path: Path) => path.closed || distance(path.start, endOf(path)) < 1e-6

/** Every line of the first of each pair against the nearest of the second. */
function farApart(...pairs: readonly (readonly [from: readonly Boxed[], to: readonly Boxed[]])[]): {
  distance: number
  x: number
  y: number
} {
  const found = pairs.flatMap(([from, to]) => from.flatMap((line) => nearestLine(line, to) ?? []))
  const worst = found.reduce<Deviation>((a, b) => (b.distance > a.distance ? b : a), {
    distance: 0,
    at: { x: 0, y: 0 },
  })
  return { distance: worst.distance, x: worst.at.x, y: worst.at.y }
}
