import type { Box } from '../../geometry/bounds.ts'
import { closedPath, lineTo, type Path, pieces, type Segment } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'
import { arcAsCubics } from '../../geometry/transform.ts'
import { clipped } from './clip.ts'
import { Halt } from './faults.ts'

/** What a stroke is drawn with. */
export interface Ink {
  /** as selected; 0 where none was */
  readonly pen: number
  /** cm/s */
  readonly speed?: number
  /** in the device's own steps */
  readonly force?: number
  /** g */
  readonly acceleration?: number
  /** number of the broken line, where it is not drawn solid */
  readonly lineType?: number
}

/** What the tool does between two pen lifts, or a part of it inside the window. */
export interface PlotStroke extends Ink {
  /** mm; without segments where the pen only touches down */
  readonly path: Path
  /** byte of the command that begins it */
  readonly offset: number
}

export interface TraceOptions {
  /** plotter units in 1 mm along both axes */
  readonly unitsPerMm: Point
  /** whether strokes without a pen count */
  readonly drawsWithoutPen: boolean
  readonly mostStrokes: number
  /** the most points drawn to, the invisible ones and those of polygons included; a curve counts as 2 to 20 */
  readonly mostPoints: number
}

/** Two ends nearer than this, plotter units, are one point. */
const samePoint = 1e-6

/** Strokes as they are drawn. Places come in plotter units, and strokes are kept in mm. */
export class Trace {
  readonly strokes: PlotStroke[] = []
  readonly #options: TraceOptions
  readonly #unitsX: number
  readonly #unitsY: number
  #ink: Ink = { pen: 0 }
  #window: Box | undefined
  #points = 0
  /** of the stroke that is being drawn, mm */
  #start: Point | undefined
  #segments: Segment[] = []
  #offset = 0
  /** a stroke that only goes on after an interruption is none until something is drawn */
  #goesOn = false

  constructor(options: TraceOptions) {
    this.#options = options
    this.#unitsX = options.unitsPerMm.x
    this.#unitsY = options.unitsPerMm.y
  }

  get ink(): Ink {
    return this.#ink
  }

  /** For strokes that begin from now on. */
  setInk(ink: Ink): void {
    this.#ink = ink
  }

  /** What is drawn from now on is cut at this window, mm. */
  setWindow(window: Box | undefined): void {
    this.#window = window
  }

  /** Counts points drawn to, and halts where there are too many. */
  spend(count: number, offset: number): void {
    this.#points += count
    const most = this.#options.mostPoints
    if (this.#points > most) throw new Halt(offset, `more than ${most} points are drawn to`)
  }

  /** Begins a stroke; `again` where it goes on after an interruption. */
  begin(at: Point, offset: number, again: boolean): void {
    this.spend(1, offset)
    this.#start = this.#onSheet(at)
    this.#segments = []
    this.#offset = offset
    this.#goesOn = again
  }

  line(x: number, y: number, offset: number): void {
    this.spend(1, offset)
    this.#takeUp(offset)
    this.#segments.push({ kind: 'line', to: { x: x / this.#unitsX, y: y / this.#unitsY } })
  }

  /** Any segments end to end from where the pen is. */
  curve(path: Path, offset: number): void {
    const segments = this.#segmentsOf(path)
    this.#spendOn(segments, offset)
    this.#takeUp(offset)
    for (const segment of segments) this.#segments.push(segment)
  }

  /** Ends the stroke that is being drawn, if any. */
  finish(): void {
    const start = this.#start
    const segments = this.#segments
    this.#start = undefined
    this.#segments = []
    if (start && (segments.length > 0 || !this.#goesOn))
      this.#add(joined(start, segments, this.#unitsX, this.#unitsY), this.#offset)
  }

  /** A stroke of its own; none may be being drawn. */
  whole(path: Path, offset: number): void {
    const start = this.#onSheet(path.start)
    const segments = this.#segmentsOf(path)
    this.spend(1, offset)
    this.#spendOn(segments, offset)
    this.#add(path.closed ? closedPath(start, segments) : { start, segments, closed: false }, offset)
  }

  /** A curve takes more room than a line, and much more time where it may have to be cut. */
  #spendOn(segments: readonly Segment[], offset: number): void {
    const factor = this.#window ? 5 : 1
    const cost = { line: 1, arc: 2 * factor, cubic: 4 * factor }
    let sum = 0
    for (const { kind } of segments) sum += cost[kind]
    this.spend(sum, offset)
  }

  #takeUp(offset: number): void {
    if (this.#goesOn) {
      this.#goesOn = false
      this.#offset = offset
    }
  }

  #onSheet(p: Point): Point {
    return { x: p.x / this.#unitsX, y: p.y / this.#unitsY }
  }

  /** Segments in mm; an arc stays one where both axes have the same units. */
  #segmentsOf(path: Path): Segment[] {
    const found: Segment[] = []
    const round = this.#unitsX === this.#unitsY
    for (const { from, segment } of pieces(path)) {
      if (segment.kind === 'line') found.push(lineTo(this.#onSheet(segment.to)))
      else if (segment.kind === 'arc' && round) found.push({ ...segment, to: this.#onSheet(segment.to) })
      else {
        for (const { c1, c2, to } of segment.kind === 'arc' ? arcAsCubics(from, segment) : [segment]) {
          found.push({ kind: 'cubic', c1: this.#onSheet(c1), c2: this.#onSheet(c2), to: this.#onSheet(to) })
        }
      }
    }
    return found
  }

  #add(path: Path, offset: number): void {
    if (this.#ink.pen === 0 && !this.#options.drawsWithoutPen) return
    const most = this.#options.mostStrokes
    for (const part of this.#window ? clipped(path, this.#window) : [path]) {
      if (this.strokes.length >= most) throw new Halt(offset, `there are more than ${most} strokes`)
      this.strokes.push({ ...this.#ink, path: part, offset })
    }
  }
}

/** Closed where it comes back to its start. */
function joined(start: Point, segments: Segment[], unitsX: number, unitsY: number): Path {
  const last = segments.at(-1)
  if (!last || segments.length < 2) return { start, segments, closed: false }
  const gap = Math.max(Math.abs(last.to.x - start.x) * unitsX, Math.abs(last.to.y - start.y) * unitsY)
  if (gap > samePoint) return { start, segments, closed: false }
  segments[segments.length - 1] = { ...last, to: start }
  return { start, segments, closed: true }
}
