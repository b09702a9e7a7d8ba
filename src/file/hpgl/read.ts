import { flatten } from '../../geometry/flatten.ts'
import { openPath, type Path, pieces } from '../../geometry/path.ts'
import { type Point, point } from '../../geometry/point.ts'
import { type Problem, Refusal } from '../../measure/problem.ts'
import { type Operation, operations } from '../../stroke/stroke.ts'
import { bytesOf } from './bytes.ts'
import { Halt, type PlotFault } from './faults.ts'
import { Interpreter, type Skipped } from './interpreter.ts'
import { cursorOn } from './lexer.ts'
import { type PlotStroke, Trace } from './trace.ts'
import type { HpglOptions } from './write.ts'

/** What is drawn by an HP-GL or HP-GL/2 file, and what of it was not understood. */
export interface Plot {
  readonly strokes: readonly PlotStroke[]
  readonly faults: readonly PlotFault[]
  /** where the reading went no further than this byte, and why; the strokes up to there are given */
  readonly stopped?: { readonly offset: number; readonly why: string }
  readonly penDownAtEnd: boolean
  /** where the tool is at the end, in the numbers of the file's commands */
  readonly at: Point
  /** that draw something, in the order of their first strokes */
  readonly pens: readonly number[]
  /** commands that are known and were passed over */
  readonly skipped: readonly Skipped[]
  /** what the file leaves to the plotter and was taken as some plotters have it */
  readonly assumed: readonly string[]
  /** how many there are */
  readonly commands: number
}

/** The most that one file may hold before its reading stops. */
export interface PlotLimits {
  readonly strokes: number
  /** points drawn to, the invisible ones and those of polygons included; a curve counts as 2 to 20 */
  readonly points: number
  readonly faults: number
  /** points of one polygon; more is fault 7 */
  readonly polygon: number
}

export interface PlotOptions {
  /** plotter units in 1 mm, along both axes or each, > 0; 40 by HP-GL */
  readonly unitsPerMm?: number | Point
  /** `strict` takes plain HP-GL only, and stops at the first fault; `lenient` goes on after each. Lenient unless said. */
  readonly mode?: 'strict' | 'lenient'
  /** the sheet, mm from the origin: nothing is drawn outside it, and turned axes stay on it */
  readonly page?: Point
  /** P1 and P2 where the file does not set them, plotter units; the corners of the sheet unless given */
  readonly corners?: { readonly p1: Point; readonly p2: Point }
  /** whether anything is drawn before a pen is selected: most cutters do, HP-GL/2 does not. `draws` unless said. */
  readonly withoutPen?: 'draws' | 'nothing'
  readonly limits?: Partial<PlotLimits>
}

/** About 1.1 GB of strokes at most. */
export const plotLimits: PlotLimits = { strokes: 1_000_000, points: 8_000_000, faults: 10_000, polygon: 1_000_000 }

/**
 * Reads HP-GL and HP-GL/2: moves, arcs, circles, outlines, polygons, encoded polylines, scales, turned axes and windows.
 * Starts pen up at the origin, absolute, with no pen. Arcs stay arcs where both axes have one scale, else they become
 * cubics; whatever is filled or lettered is passed over and named. A string stands for one byte a character.
 */
export function readPlot(data: Uint8Array | string, options: PlotOptions = {}): Plot {
  const units = options.unitsPerMm ?? 40
  const unitsPerMm = typeof units === 'number' ? point(units, units) : units
  const limits = { ...plotLimits, ...options.limits }
  const cursor = cursorOn(typeof data === 'string' ? bytesOf(data) : data, options.mode === 'strict')
  const trace = new Trace({
    unitsPerMm,
    drawsWithoutPen: options.withoutPen !== 'nothing',
    mostStrokes: limits.strokes,
    mostPoints: limits.points,
  })
  const interpreter = new Interpreter(cursor, trace, {
    unitsPerMm,
    corners: options.corners,
    page: options.page && point(options.page.x * unitsPerMm.x, options.page.y * unitsPerMm.y),
    mostFaults: limits.faults,
    mostPolygon: limits.polygon,
  })
  const stopped = stoppedBy(() => interpreter.run())
  const unfinished = stoppedBy(() => trace.finish())
  const why = stopped ?? unfinished
  return {
    strokes: trace.strokes,
    faults: interpreter.faults,
    ...(why ? { stopped: { offset: why.offset, why: why.message } } : {}),
    penDownAtEnd: interpreter.pen.down,
    at: interpreter.pen.place,
    pens: [...new Set(trace.strokes.map((stroke) => stroke.pen))],
    skipped: [...interpreter.skipped.values()],
    assumed: [...interpreter.assumed],
    commands: interpreter.commands,
  }
}

function stoppedBy(work: () => void): Halt | undefined {
  try {
    work()
  } catch (error) {
    if (error instanceof Halt) return error
    throw error
  }
  return undefined
}

/** A stroke with straight chords only. */
export interface HpglStroke {
  /** as selected; 0 where none was */
  readonly pen: number
  /** undefined where no operation, or more than one, uses the pen */
  readonly operation: Operation | undefined
  /** mm; a single point where the pen only touches down */
  readonly points: readonly Point[]
  /** whether it has more than two points and the last is the first */
  readonly closed: boolean
}

/** Faults of one file that are worth telling at once. */
const mostProblems = 20

/**
 * The strokes of a file that is understood whole, in order: a command left out would be a cut left out, so any fault,
 * any lettering, filling or broken line, and any scale that the file does not settle, is refused.
 */
export function readHpgl(text: string, options: Pick<HpglOptions, 'unitsPerMm' | 'pens'>): HpglStroke[] {
  const plot = readPlot(text, { unitsPerMm: options.unitsPerMm })
  const problems = problemsOf(plot)
  if (problems.length > 0) throw new Refusal(problems.slice(0, mostProblems))
  let room = plotLimits.points
  return plot.strokes.map(({ pen, path }) => {
    const points = pointsOf(path, room)
    room -= points.length
    const [operation, ...others] = operations.filter((each) => options.pens[each] === pen)
    const [first, end] = [points[0], points.at(-1)]
    const closed = points.length > 2 && first?.x === end?.x && first?.y === end?.y
    return { pen, operation: others.length === 0 ? operation : undefined, points, closed }
  })
}

/** The start and the end of each chord; a closed path comes back to its first point. */
function pointsOf(path: Path, most: number): Point[] {
  const points = [path.start]
  for (const { from, segment } of pieces(path)) {
    if (segment.kind === 'line') points.push(segment.to)
    else for (const p of flatten(openPath(from, segment)).slice(1)) points.push(p)
    if (points.length > most) {
      const value = 'too long'
      const limit = `its chords may have ${plotLimits.points} points`
      throw new Refusal([problemOf('too_many', 'the HP-GL file', value, limit)])
    }
  }
  return points
}

function problemsOf(plot: Plot): Problem[] {
  const at = (command: number, offset: number) => `command ${command} (byte ${offset})`
  const problems = plot.faults.map((f) => problemOf(f.code, at(f.command, f.offset), f.value, f.limit))
  for (const { mnemonic, draws, command, offset } of plot.skipped) {
    if (draws) problems.push(problemOf('not_read', at(command, offset), mnemonic, 'what it draws is not read'))
  }
  for (const each of plot.assumed)
    problems.push(problemOf('not_settled', 'the HP-GL file', each, 'the file must settle it'))
  const broken = plot.strokes.find((stroke) => stroke.lineType !== undefined)
  if (broken) {
    const limit = 'a broken line would be cut in dashes'
    problems.push(
      problemOf('broken_line', `the stroke at byte ${broken.offset}`, `drawn with LT${broken.lineType}`, limit),
    )
  }
  if (plot.stopped && problems.length === 0) {
    problems.push(problemOf('cut_off', at(plot.commands, plot.stopped.offset), 'the last one read', plot.stopped.why))
  }
  if (plot.commands === 0 && problems.length === 0) {
    problems.push(problemOf('empty', 'the HP-GL file', 'empty', 'it must hold at least one command'))
  }
  return problems
}

const problemOf = (code: string, field: string, value: string, limit: string): Problem => ({
  code,
  field,
  value,
  limit,
  cure: 'Write the file again, in whole moves, arcs and circles only.',
})
