import { readHpgl } from '../file/hpgl/read.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { boundsOf } from '../geometry/bounds.ts'
import { deviation } from '../geometry/deviation.ts'
import { endOf, type Path, polyline } from '../geometry/path.ts'
import { distance } from '../geometry/point.ts'
import { Refusal } from '../measure/problem.ts'
import type { Operation } from '../stroke/stroke.ts'

/** What a cut file holds, mm. */
export interface Contents {
  readonly file: string
  readonly kind: 'SVG' | 'HP-GL'
  readonly tools: readonly { readonly tool: string; readonly strokes: number; readonly closed: number }[]
  readonly low: { readonly x: number; readonly y: number }
  readonly high: { readonly x: number; readonly y: number }
  /** how far it sticks out of the area given, mm; 0 inside */
  readonly outside: number
  /** against another file: the farthest that any line of one lies from the other */
  readonly against?: { readonly file: string; readonly distance: number; readonly x: number; readonly y: number }
}

export interface CheckOptions {
  readonly unitsPerMm: number
  readonly area?: { readonly x: number; readonly y: number }
  readonly against?: { readonly file: string; readonly text: string }
}

interface Line {
  readonly tool: string
  readonly path: Path
}

/** Reads a cut file back and says what is in it. Refuses what it cannot read whole. */
export function checkFile(file: string, text: string, options: CheckOptions): Contents {
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
  if (!options.against) return contents
  const other = linesOf(options.against.file, options.against.text, options.unitsPerMm).lines
  return { ...contents, against: { file: options.against.file, ...farApart(lines, other) } }
}

/** What is drawn, of which there must be something. */
function linesOf(file: string, text: string, unitsPerMm: number) {
  const read = linesIn(text, unitsPerMm)
  if (read.lines.length > 0) return read
  const limit = 'a cut file holds one line at least'
  throw new Refusal([{ code: 'no_lines', field: file, value: 'without a line', limit, cure: 'Write the file again.' }])
}

/** A file that is not SVG is taken for HP-GL. */
function linesIn(text: string, unitsPerMm: number): { kind: Contents['kind']; lines: readonly Line[] } {
  if (/^\s*</.test(text)) {
    const strokes = readCutSvg(text).strokes
    return { kind: 'SVG', lines: strokes.map((s) => ({ tool: s.operation, path: s.path })) }
  }
  const pens: Partial<Record<Operation, number>> = {}
  const strokes = readHpgl(text, { unitsPerMm, pens })
  return { kind: 'HP-GL', lines: strokes.map((s) => ({ tool: `pen ${s.pen}`, path: polyline(s.points) })) }
}

const isClosed = (path: Path) => path.closed || distance(path.start, endOf(path)) < 1e-6

/** Every line against the nearest of the other file, both ways. */
function farApart(lines: readonly Line[], other: readonly Line[]): { distance: number; x: number; y: number } {
  let worst = { distance: 0, x: 0, y: 0 }
  const look = (from: readonly Line[], to: readonly Line[]) => {
    for (const { path } of from) {
      const found = to.map((o) => deviation(path, o.path)).reduce((a, b) => (b.distance < a.distance ? b : a))
      if (found.distance > worst.distance) worst = { distance: found.distance, x: found.at.x, y: found.at.y }
    }
  }
  look(lines, other)
  look(other, lines)
  return worst
}
