import { closedPath, endOf, type Path, type Segment } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'
import { type Matrix, transform } from '../../geometry/transform.ts'
import { type Fault, fault } from './faults.ts'
import { unmapped } from './frame.ts'
import { largest } from './lexer.ts'
import { closeRing, drawnStretches, type Polygon, polygonFrom, ringOf } from './polygon.ts'
import type { Trace } from './trace.ts'

const reaches = (x: number, y: number) => Math.abs(x) <= largest && Math.abs(y) <= largest

/**
 * The pen: where it stands, whether it is down, and what it draws, onto the sheet or into the polygon buffer. It starts
 * up at the origin. Places come in the coordinates of commands, which the matrix takes to plotter units. Once out of
 * range, the pen is lost until it is sent to an absolute place (HP 5961-0509, page 20-36).
 */
export class Pen {
  /** byte of the command that is carried out */
  offset = 0
  readonly #trace: Trace
  readonly #mostPolygon: number
  #matrix: Matrix | undefined
  #x = 0
  #y = 0
  #down = false
  #lost = false
  #polygon: Polygon = { rings: [], open: undefined }
  #polygonPoints = 0
  /** the pen before the polygon that is being defined */
  #before: { readonly x: number; readonly y: number; readonly down: boolean; readonly lost: boolean } | undefined

  constructor(trace: Trace, mostPolygon: number) {
    this.#trace = trace
    this.#mostPolygon = mostPolygon
  }

  get down(): boolean {
    return this.#down
  }

  get inPolygon(): boolean {
    return this.#before !== undefined
  }

  /** Where the pen is, in the coordinates of commands. */
  get place(): Point {
    const at = { x: this.#x, y: this.#y }
    return this.#matrix ? unmapped(this.#matrix, at) : at
  }

  setMatrix(matrix: Matrix | undefined): void {
    this.#matrix = matrix
  }

  lower(): void {
    if (!this.#down && this.#draws) this.#trace.begin({ x: this.#x, y: this.#y }, this.offset, false)
    this.#down = true
  }

  raise(): void {
    this.#trace.finish()
    this.#down = false
  }

  /** Leaves the stroke that is being drawn for some other work; it goes on from the same place after. */
  interrupted(work: () => void): void {
    this.#trace.finish()
    work()
    this.#takeUp()
  }

  /** Moves to a place, drawing where the pen is down. */
  go(x: number, y: number, relative: boolean): Fault | undefined {
    if (this.#lost && relative) return undefined
    const m = this.#matrix
    let toX = x
    let toY = y
    if (m) {
      toX = m.a * x + m.c * y + (relative ? this.#x : m.e)
      toY = m.b * x + m.d * y + (relative ? this.#y : m.f)
    } else if (relative) {
      toX += this.#x
      toY += this.#y
    }
    if (!reaches(toX, toY)) return this.#lose()
    // Is the pen found again? Then it comes here without drawing.
    const wasLost = this.#lost
    this.#lost = false
    if (this.#before) {
      const starts = !this.#polygon.open
      const found = starts
        ? this.#openRing(toX, toY)
        : this.#addEdge({ kind: 'line', to: { x: toX, y: toY } }, !wasLost)
      this.#x = toX
      this.#y = toY
      return found
    }
    this.#x = toX
    this.#y = toY
    if (!this.#down) return undefined
    if (wasLost) this.#takeUp()
    else this.#trace.line(toX, toY, this.offset)
    return undefined
  }

  /** Moves to an absolute place without drawing; the pen is as it was after. */
  jump(x: number, y: number): void {
    const down = this.#down
    this.#trace.finish()
    this.#down = false
    this.go(x, y, false)
    this.#down = down
    this.#takeUp()
  }

  /** Goes along segments that start at the pen, in the coordinates of commands, drawing where the pen is down. */
  follow(segments: readonly Segment[]): Fault | undefined {
    if (this.#lost || segments.length === 0) return undefined
    const path = this.#mapped({ start: this.place, segments, closed: false })
    if (!inRange(path)) return this.#lose()
    let found: Fault | undefined
    if (this.#before) {
      if (!this.#polygon.open) found = this.#openRing(this.#x, this.#y)
      for (const segment of path.segments) found = this.#addEdge(segment, true) ?? found
    } else if (this.#down) this.#trace.curve(path, this.offset)
    const { x, y } = endOf(path)
    this.#x = x
    this.#y = y
    return found
  }

  /** Draws a path of its own, as a whole ring inside a polygon; the pen is back where it was, and as it was, after. */
  circle(path: Path): Fault | undefined {
    const mapped = this.#mapped(path)
    if (this.#lost) return undefined
    if (!inRange(mapped)) return beyond
    if (this.#before) {
      closeRing(this.#polygon, this.#down)
      return this.#count(mapped.segments.length) ?? this.#keepRing(mapped)
    }
    this.interrupted(() => this.#trace.whole(mapped, this.offset))
    return undefined
  }

  /** As `circle`, outside polygons only; the outline takes the place of the polygon in the buffer. */
  outline(path: Path): Fault | undefined {
    const mapped = this.#mapped(path)
    if (this.#lost) return undefined
    if (!inRange(mapped)) return beyond
    this.#polygon = { rings: [ringOf(mapped.start, mapped.segments)], open: undefined }
    this.interrupted(() => this.#trace.whole(mapped, this.offset))
    return undefined
  }

  /** Begins a polygon whose first vertex is where the pen is. */
  enterPolygon(): void {
    this.#trace.finish()
    this.#before ??= { x: this.#x, y: this.#y, down: this.#down, lost: this.#lost }
    this.#polygon = polygonFrom({ x: this.#x, y: this.#y })
    this.#polygonPoints = 1
  }

  /** Closes the ring; the next point begins another, and is reached with the pen up. */
  nextRing(): void {
    closeRing(this.#polygon, this.#down)
  }

  /** The pen is put back to where it was before the polygon, and as it was, which no manual settles. */
  leavePolygon(): void {
    if (!this.#before) return
    this.nextRing()
    this.#x = this.#before.x
    this.#y = this.#before.y
    this.#down = this.#before.down
    this.#lost = this.#before.lost
    this.#before = undefined
    this.#takeUp()
  }

  /** Forgets the polygon, and the polygon mode if it is on. */
  clearPolygon(): void {
    const inPolygon = this.#before !== undefined
    this.#before = undefined
    this.#polygon = { rings: [], open: undefined }
    if (inPolygon) this.#takeUp()
  }

  /** Draws the edges of the polygon that were defined with the pen down. */
  drawPolygon(): void {
    this.interrupted(() => {
      for (const ring of this.#polygon.rings) {
        // Looking at an edge that is not drawn takes its time too.
        this.#trace.spend(ring.edges.length, this.offset)
        for (const { start, edges } of drawnStretches(ring)) {
          const isWhole = edges.length === ring.edges.length
          this.#trace.whole(isWhole ? closedPath(start, edges) : { start, segments: edges, closed: false }, this.offset)
        }
      }
    })
  }

  get #draws(): boolean {
    return !this.#lost && !this.#before
  }

  #takeUp(): void {
    if (this.#down && this.#draws) this.#trace.begin({ x: this.#x, y: this.#y }, this.offset, true)
  }

  #lose(): Fault | undefined {
    if (this.#lost) return undefined
    this.#trace.finish()
    this.#lost = true
    return beyond
  }

  #mapped(path: Path): Path {
    return this.#matrix ? transform(path, this.#matrix) : path
  }

  #count(edges: number): Fault | undefined {
    const before = this.#polygonPoints
    this.#polygonPoints += edges
    this.#trace.spend(edges, this.offset)
    const most = this.#mostPolygon
    if (this.#polygonPoints <= most) return undefined
    // Half a polygon would be a wrong one.
    this.#polygon = { rings: [], open: undefined }
    const told = before > most
    return told ? undefined : fault(7, 'polygon_full', 'a polygon', `its buffer holds ${most} points`)
  }

  #openRing(x: number, y: number): Fault | undefined {
    const found = this.#count(1)
    if (this.#polygonPoints <= this.#mostPolygon) this.#polygon.open = { start: { x, y }, edges: [], drawn: [] }
    return found
  }

  #addEdge(edge: Segment, visible: boolean): Fault | undefined {
    const found = this.#count(1)
    this.#polygon.open?.edges.push(edge)
    this.#polygon.open?.drawn.push(visible && this.#down)
    return found
  }

  #keepRing(path: Path): undefined {
    if (this.#polygonPoints <= this.#mostPolygon) this.#polygon.rings.push(ringOf(path.start, path.segments))
    return undefined
  }
}

const inRange = (path: Path) =>
  reaches(path.start.x, path.start.y) && path.segments.every(({ to }) => reaches(to.x, to.y))

const beyond = fault(6, 'beyond_range', 'a place out of range', `coordinates go to ${largest} plotter units`)
