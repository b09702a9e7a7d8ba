import { type Plot, readPlot } from '../file/hpgl/read.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { type Drawing, isDrawing, readDrawing } from '../file/svg/read-drawing.ts'
import { boundsOf } from '../geometry/bounds.ts'
import type { Deviation } from '../geometry/deviation.ts'
import { loopOf } from '../geometry/loop.ts'
import type { Path } from '../geometry/path.ts'
import { scaling, transform } from '../geometry/transform.ts'
import { pathFromMachine } from '../machine/axes.ts'
import type { Machine } from '../machine/profile.ts'
import { tipsOf } from '../machine/tip-ways.ts'
import { Refusal } from '../measure/problem.ts'
import { type Travel, travelOf } from '../stroke/pace.ts'
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
  /** HP-GL alone: what the reader could not make out, and where it stopped if it did */
  readonly faults?: Plot['faults']
  readonly stopped?: NonNullable<Plot['stopped']>
  /** for a known machine */
  readonly travel?: Travel
  /** against a panel's drawing */
  readonly panel?: FoundPanel & { readonly file: string }
}

export interface CheckOptions {
  readonly unitsPerMm: number
  /** whose axes and blade the file was written for; the lines are then those of the blade's tip */
  readonly machine?: Machine
  readonly area?: { readonly x: number; readonly y: number }
  /** another cut file, or the drawing of a panel or a sheet */
  readonly against?: { readonly file: string; readonly bytes: Uint8Array }
}

interface Line extends Boxed {
  readonly tool: string
  readonly closed: boolean
}

/** Reads a cut file back and says what is in it. Refuses what it cannot read whole. */
export function checkFile(file: string, bytes: Uint8Array, options: CheckOptions): Contents {
  if (isDrawing(textOf(bytes))) {
    const value = 'a drawing to look at'
    const cure = 'Give the cut file, and the drawing after --against.'
    throw new Refusal([{ code: 'not_a_cut_file', field: file, value, limit: 'check looks into cut files', cure }])
  }
  const { kind, lines, ...read } = linesOf(file, bytes, options)
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
      return { tool, strokes: own.length, closed: own.filter((line) => line.closed).length }
    }),
    low: box.low,
    high: box.high,
    outside: over,
    ...read,
  }
  return options.against ? { ...contents, ...compared(lines, options.against, options) } : contents
}

/** The lines of a cut file beside another file, of which the text says what it is. */
function compared(
  lines: readonly Line[],
  { file, bytes }: NonNullable<CheckOptions['against']>,
  options: CheckOptions,
): Pick<Contents, 'against' | 'panel'> {
  const text = textOf(bytes)
  if (!isDrawing(text)) {
    const other = linesOf(file, bytes, options).lines
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
  const drawn = cuts.filter((line) => loopOf(line.path) !== undefined)
  if (drawn.length === 0) throw nothingIn(file, 'the drawing of a panel has one closed cut line at least')
  return findPanel(
    drawn,
    lines.filter((line) => line.closed),
  )
}

/** What is drawn, of which there must be something. */
function linesOf(file: string, bytes: Uint8Array, options: CheckOptions) {
  const read = linesIn(bytes, options)
  if (read.lines.length > 0) return read
  throw nothingIn(file, 'a cut file holds one line at least')
}

const nothingIn = (file: string, limit: string): Refusal =>
  new Refusal([{ code: 'no_lines', field: file, value: 'without a line', limit, cure: 'Write the file again.' }])

/** What a file says of itself and of its reading. */
type Read = Pick<Contents, 'kind' | 'faults' | 'stopped' | 'travel'> & { readonly lines: readonly Line[] }

/** A file that is not SVG is taken for HP-GL. */
function linesIn(bytes: Uint8Array, { unitsPerMm, machine }: CheckOptions): Read {
  const text = textOf(bytes)
  if (/^\s*</.test(text)) {
    return { kind: 'SVG', lines: readCutSvg(text).strokes.map((s) => lineOf(s.operation, s.path)) }
  }
  const plot = readPlot(bytes, { unitsPerMm: 1 })
  const toSheet = (path: Path) =>
    machine ? pathFromMachine(machine, path) : transform(path, scaling(1 / unitsPerMm, 1 / unitsPerMm))
  const ways = plot.strokes.map(({ pen, path }) => ({ pen, path: toSheet(path) }))
  return {
    kind: 'HP-GL',
    lines: tipsOf(ways, machine).map(({ pen, path }) => lineOf(`pen ${pen}`, path)),
    ...(plot.faults.length > 0 ? { faults: plot.faults } : {}),
    ...(plot.stopped ? { stopped: plot.stopped } : {}),
    ...(machine
      ? {
          travel: travelOf(
            ways.map(({ path }) => path),
            machine.pace,
          ),
        }
      : {}),
  }
}

function lineOf(tool: string, path: Path): Line {
  const loop = loopOf(path)
  return { tool, closed: loop !== undefined, ...boxed(loop ?? path) }
}

/** For telling what a file is, and for SVG; HP-GL is read from its bytes. */
const textOf = (bytes: Uint8Array) => new TextDecoder().decode(bytes)

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
