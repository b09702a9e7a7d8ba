import type { Box } from '../../geometry/bounds.ts'
import { rectangle } from '../../geometry/path.ts'
import { add, type Point, point } from '../../geometry/point.ts'
import { type Matrix, mapPoint } from '../../geometry/transform.ts'
import { arcAbout, arcThrough, circleAt, wedge } from './arcs.ts'
import { byteAt, comma, esc, lineFeed, quote, semicolon, shown } from './bytes.ts'
import { decodePolyline } from './encoded.ts'
import { type Fault, fault, Halt, type PlotFault } from './faults.ts'
import { type Frame, matrixOf, type Scale, turnedPage } from './frame.ts'
import {
  commandOf,
  countWords,
  hasDecimals,
  type Known,
  type Measured,
  type Move,
  standsInPolygons,
} from './grammar.ts'
import { type Cursor, largest, nextCommand, nextNumber, skipParameters, type Token } from './lexer.ts'
import { Pen } from './pen.ts'
import type { Ink, Trace } from './trace.ts'

/** A command that was passed over. */
export interface Skipped {
  readonly mnemonic: string
  readonly count: number
  /** byte of the first, and its number from 1 */
  readonly offset: number
  readonly command: number
  /** whether a plotter would have drawn something */
  readonly draws: boolean
}

export interface InterpreterOptions {
  /** plotter units in 1 mm along both axes */
  readonly unitsPerMm: Point
  /** P1 and P2 as they are without IP, plotter units; undefined where they are not known */
  readonly corners: { readonly p1: Point; readonly p2: Point } | undefined
  /** the sheet, plotter units; undefined where it is not known */
  readonly page: Point | undefined
  readonly mostFaults: number
  readonly mostPolygon: number
}

/** Of the smallest plotter that is written about: HP 07470-90001, page 2-3. */
const smallCorners = { p1: point(250, 279), p2: point(10250, 7479) }
const etx = 3
/** Largest pen number, speed, force or acceleration: HP 07470-90001, chapter 3. */
const mostSet = 32767
const isPen = (pen: number) => Number.isInteger(pen) && pen >= 0 && pen <= mostSet
/** Numbers that no command has more of. */
const enough = 8

/** Carries out commands one after the other. */
export class Interpreter {
  readonly faults: PlotFault[] = []
  readonly skipped = new Map<string, Skipped>()
  readonly assumed = new Set<string>()
  commands = 0
  readonly #c: Cursor
  readonly #trace: Trace
  readonly #options: InterpreterOptions
  readonly pen: Pen
  #frame: Frame
  #matrix: Matrix | undefined
  /** whether P1 and P2 are those of no plotter in particular */
  #guessed = true
  #relative = false
  #labelEnd = etx
  #offset = 0
  readonly #speeds = new PerPen()
  readonly #forces = new PerPen()
  readonly #accelerations = new PerPen()

  constructor(cursor: Cursor, trace: Trace, options: InterpreterOptions) {
    this.#c = cursor
    this.#trace = trace
    this.#options = options
    this.pen = new Pen(trace, options.mostPolygon)
    const page = options.page ?? point(0, 0)
    this.#frame = { ...this.#corners(0), scale: undefined, turn: 0, page }
    this.#useWindow(undefined)
  }

  /** Reads to the end of the data; halts where it goes no further. */
  run(): void {
    const c = this.#c
    while (true) {
      const opening = nextCommand(c)
      if (c.cutEscape !== undefined) throw new Halt(c.cutEscape, 'the data ends inside a device-control string')
      if (opening === 'end') break
      this.commands++
      this.#offset = c.from
      this.pen.offset = c.from
      if (opening === 'half') throw new Halt(c.from, 'the data ends after one letter of a command')
      if (opening === 'form') {
        this.#notPlain(c.from)
        return
      }
      const known = opening === 'command' ? commandOf(c.value) : undefined
      c.decimals = known !== undefined && hasDecimals(known)
      if (!known) this.#unknown(opening === 'command')
      else if (this.pen.inPolygon && !standsInPolygons(known)) this.#misplaced(known)
      else this.#carryOut(known)
      if (!c.strict || known?.name === 'PE') continue
      if (byteAt(c.bytes, c.at) === -1) throw new Halt(this.#offset, 'the data ends inside a command, before its `;`')
      if (byteAt(c.bytes, c.at) !== semicolon) {
        this.#notPlain(c.at)
        return
      }
      c.at++
    }
    if (this.pen.inPolygon) throw new Halt(c.bytes.length, 'the data ends inside a polygon, before PM2')
  }

  #carryOut(known: Known): void {
    switch (known.kind) {
      case 'move':
        this.#move(known.name)
        break
      case 'measured':
        this.#measured(known.name, known.counts)
        break
      case 'special':
        this.#special(known.name)
        break
      default:
        this.#skip(known.name, known.kind === 'unread')
        skipParameters(this.#c)
    }
  }

  /** PA, PR, PU and PD with their pairs, each drawn as it is read. */
  #move(name: Move): void {
    const c = this.#c
    if (name === 'PU') this.pen.raise()
    else if (name === 'PD') this.pen.lower()
    else this.#relative = name === 'PR'
    for (let count = 0; ; count += 2) {
      const token = nextNumber(c, count === 0)
      if (token !== 'number') {
        this.#listEnds(token, name, count)
        return
      }
      const x = c.value
      const second = nextNumber(c, false)
      if (second === 'end') {
        const limit = 'coordinates come in pairs of x and y'
        this.#tell(fault(2, 'odd_coordinate', `${name} with ${count + 1} ${numbers(count + 1)}`, limit))
        break
      }
      if (second !== 'number') {
        this.#listEnds(second, name, count + 1)
        return
      }
      this.#tell(this.pen.go(x, c.value, this.#relative))
    }
  }

  /** What comes after the last good number of a list. */
  #listEnds(token: Exclude<Token, 'number'>, name: string, count: number): void {
    if (token === 'end') return
    const c = this.#c
    if (token === 'cut') {
      const tool = this.pen.down ? 'down' : 'up'
      const where = `inside ${name}, after ${count} ${numbers(count)}, with the pen ${tool}`
      throw new Halt(this.#offset, `the data ends ${where}`)
    }
    if (token === 'form') {
      this.#notPlain(c.from)
      return
    }
    const value = shown(c.bytes, c.from)
    const limits = {
      empty: 'a number must stand before each comma',
      'no number': 'a number must stand here',
      exponent: 'HP-GL numbers have no exponent',
      'too large': `numbers go to ${largest}`,
    }
    const code = { empty: 'no_number', 'no number': 'no_number', exponent: 'exponent', 'too large': 'out_of_range' }
    this.#tell(fault(token === 'empty' ? 2 : 3, code[token], value, limits[token]), c.from)
    if (token !== 'exponent') c.at = Math.max(c.at, c.from + 1)
    skipParameters(c)
  }

  /** The numbers of a command, or undefined where they are not as they should be, which is told. */
  #numbers(name: string, allowed: readonly number[]): readonly number[] | undefined {
    const c = this.#c
    const read: number[] = []
    let count = 0
    for (let token = nextNumber(c, true); token !== 'end'; token = nextNumber(c, false)) {
      // A pen put away is often the last of a file, and nothing can follow its 0.
      const isLast =
        token === 'cut' && name === 'SP' && count === 0 && c.at - c.from === 1 && byteAt(c.bytes, c.from) === 0x30
      if (isLast && !c.strict) return [0]
      if (token !== 'number') {
        this.#listEnds(token, name, count)
        return undefined
      }
      if (read.length < enough) read.push(c.value)
      count++
    }
    if (allowed.includes(count)) return read
    const most = allowed.at(-1) ?? 0
    this.#tell(
      fault(2, 'wrong_count', `${name} with ${count} ${numbers(count)}`, `${name} takes ${countWords(allowed)}`),
    )
    // Too many are told, and those that count are taken.
    return count > most ? read.slice(0, most) : undefined
  }

  #measured(name: Measured, allowed: readonly number[]): void {
    const read = this.#numbers(name, allowed)
    if (!read) return
    const [a, b, c, d] = [read[0] ?? 0, read[1] ?? 0, read[2] ?? 0, read[3] ?? 0]
    const { pen } = this
    switch (name) {
      case 'IN':
        this.#initialize()
        break
      case 'DF':
        this.#defaults()
        break
      case 'SP':
        this.#selectPen(a)
        break
      case 'VS':
        this.#setPace(this.#speeds, read, 'a speed')
        break
      case 'FS':
        this.#setPace(this.#forces, read, 'a force')
        break
      case 'AS':
        this.#setPace(this.#accelerations, read, 'an acceleration')
        break
      case 'LT': {
        const { lineType: _, ...solid } = this.#trace.ink
        this.#useInk(read.length === 0 ? solid : { ...solid, lineType: a })
        break
      }
      case 'IP':
        this.#setCorners(read)
        break
      case 'SC':
        this.#setScale(read)
        break
      case 'RO':
        if (a % 90 === 0 && a >= 0 && a <= 270) this.#useFrame({ ...this.#frame, turn: a })
        else this.#tell(fault(3, 'out_of_range', `RO${a}`, 'axes turn by 0, 90, 180 or 270 degrees'))
        break
      case 'IW':
        pen.interrupted(() => this.#useWindow(read.length === 0 ? undefined : [point(a, b), point(c, d)]))
        break
      case 'AA':
      case 'AR': {
        const from = pen.place
        const centre = name === 'AA' ? point(a, b) : add(from, point(a, b))
        this.#tell(pen.follow(arcAbout(from, centre, Math.max(-32768, Math.min(32767, c)))))
        break
      }
      case 'AT':
        this.#through(point(a, b), point(c, d))
        break
      case 'RT':
        this.#through(add(pen.place, point(a, b)), add(pen.place, point(c, d)))
        break
      case 'CI':
        this.#tell(pen.circle(circleAt(pen.place, a)))
        break
      case 'EA':
        this.#tell(pen.outline(rectangle(pen.place, point(a, b))))
        break
      case 'ER':
        this.#tell(pen.outline(rectangle(pen.place, add(pen.place, point(a, b)))))
        break
      case 'EW':
        this.#tell(pen.outline(wedge(pen.place, a, b, Math.max(-360, Math.min(360, c)))))
        break
      case 'PM':
        if (a === 0) pen.enterPolygon()
        else if (a !== 1 && a !== 2) this.#tell(fault(3, 'out_of_range', `PM${a}`, 'PM takes 0, 1 or 2'))
        else if (!pen.inPolygon) this.#tell(fault(3, 'no_polygon', `PM${a}`, 'a polygon begins with PM0'))
        else if (a === 1) pen.nextRing()
        else pen.leavePolygon()
        break
      case 'EP':
        pen.drawPolygon()
        break
    }
  }

  #special(name: string): void {
    switch (name) {
      case 'PE':
        this.#encoded()
        break
      case 'LB':
      case 'BL':
        this.#label(name)
        break
      case 'DT':
        this.#setLabelEnd()
        break
      case 'SM':
        this.#symbol()
        break
      case 'CO':
      case 'BP':
        this.#quoted(name)
        break
    }
  }

  #encoded(): void {
    const { pen } = this
    const start = this.#offset
    const items = decodePolyline(this.#c.bytes, this.#c.at)
    let next = items.next()
    for (; !next.done; next = items.next()) {
      const item = next.value
      pen.offset = item.offset
      if (item.kind === 'fault') this.#tell(item.fault, item.offset)
      else if (item.kind === 'pen') {
        if (!pen.inPolygon) this.#selectPen(item.pen)
      } else {
        if (item.up) pen.raise()
        else pen.lower()
        this.#tell(pen.go(item.x, item.y, !item.absolute))
      }
    }
    this.#c.at = next.value.at
    if (!next.value.ended) throw new Halt(start, 'the data ends inside PE, before its `;`')
  }

  #label(name: string): void {
    const c = this.#c
    this.#refuseStrict(name)
    const end = c.bytes.indexOf(this.#labelEnd, c.at)
    if (end === -1) throw new Halt(this.#offset, `the data ends inside ${name}, before the end of its text`)
    if (end > c.at) this.#skip(name, true)
    c.at = end + 1
  }

  #setLabelEnd(): void {
    const c = this.#c
    this.#refuseStrict('DT')
    const b = byteAt(c.bytes, c.at)
    if (b === -1) throw new Halt(this.#offset, 'the data ends inside DT')
    if (b === semicolon) {
      this.#labelEnd = etx
      return
    }
    if (b === 0 || b === lineFeed || b === esc) {
      this.#tell(fault(3, 'out_of_range', shown(c.bytes, c.at), 'text ends in a byte other than 0, 10, 27 and `;`'))
    } else this.#labelEnd = b
    if (b !== esc) c.at++
    if (byteAt(c.bytes, c.at) === comma) c.at++
    skipParameters(c)
  }

  /** SM and the sign that is then drawn at each point. */
  #symbol(): void {
    const c = this.#c
    this.#refuseStrict('SM')
    const b = byteAt(c.bytes, c.at)
    if (b === -1) throw new Halt(this.#offset, 'the data ends inside SM')
    if (b === semicolon) return
    this.#skip('SM', true)
    c.at++
    skipParameters(c)
  }

  /** Parameters with text in double quotes among them. */
  #quoted(name: string): void {
    const c = this.#c
    this.#refuseStrict(name)
    this.#skip(name, false)
    skipParameters(c, quote)
    while (byteAt(c.bytes, c.at) === quote) {
      const end = c.bytes.indexOf(quote, c.at + 1)
      if (end === -1) throw new Halt(this.#offset, `the data ends inside ${name}, before the end of its text`)
      c.at = end + 1
      skipParameters(c, quote)
    }
  }

  #unknown(isCommand: boolean): void {
    const c = this.#c
    const value = shown(c.bytes, c.from)
    const isOdd = !isCommand && byteAt(c.bytes, c.from) >= 0x80
    const limit = isCommand ? 'no command that this reader knows' : 'a command of two letters must stand here'
    this.#tell(fault(isOdd ? 3 : 1, 'unknown_command', value, limit))
    skipParameters(c)
  }

  #misplaced({ name }: Known): void {
    this.#tell(fault(1, 'in_polygon', name, 'it may not stand between PM0 and PM2'))
    if (name === 'LB' || name === 'BL') this.#label(name)
    else skipParameters(this.#c)
  }

  #refuseStrict(name: string): void {
    if (this.#c.strict) this.#tell(fault(1, 'not_plain', name, 'it does not belong into a plain file'))
  }

  #initialize(): void {
    this.pen.raise()
    this.pen.clearPolygon()
    for (const pace of [this.#speeds, this.#forces, this.#accelerations]) pace.clear()
    this.#trace.setInk({ pen: 0 })
    this.#relative = false
    this.#labelEnd = etx
    this.#useFrame({ ...this.#corners(0), scale: undefined, turn: 0, page: this.#frame.page })
    this.#useWindow(undefined)
  }

  #defaults(): void {
    this.pen.clearPolygon()
    this.#relative = false
    this.#labelEnd = etx
    const { lineType: _, ...solid } = this.#trace.ink
    this.pen.interrupted(() => {
      this.#trace.setInk(solid)
      this.#useFrame({ ...this.#frame, scale: undefined })
      this.#useWindow(undefined)
    })
  }

  #selectPen(pen: number): void {
    if (!isPen(pen)) {
      this.#tell(fault(3, 'wrong_pen', `SP${pen}`, 'a pen number is 0 or a whole number above it'))
      return
    }
    const { lineType } = this.#trace.ink
    this.#useInk({ pen, ...(lineType === undefined ? {} : { lineType }) })
  }

  #setPace(pace: PerPen, [value, pen]: readonly number[], what: string): void {
    const bad = (read: number, limit: string) => this.#tell(fault(3, 'out_of_range', String(read), limit))
    if (value !== undefined && (value < 0 || value > mostSet)) {
      bad(value, `${what} goes from 0 to ${mostSet}`)
      return
    }
    if (pen !== undefined && !isPen(pen)) {
      bad(pen, 'a pen number is 0 or a whole number above it')
      return
    }
    pace.set(value, pen)
    this.#useInk(this.#trace.ink)
  }

  /** The pen and line type of `ink`, with the pace of its pen. */
  #useInk(ink: Ink): void {
    const { pen, lineType } = ink
    const speed = this.#speeds.of(pen)
    const force = this.#forces.of(pen)
    const acceleration = this.#accelerations.of(pen)
    this.pen.interrupted(() =>
      this.#trace.setInk({
        pen,
        ...(speed === undefined ? {} : { speed }),
        ...(force === undefined ? {} : { force }),
        ...(acceleration === undefined ? {} : { acceleration }),
        ...(lineType === undefined ? {} : { lineType }),
      }),
    )
  }

  #corners(turn: number): { readonly p1: Point; readonly p2: Point } {
    const { corners, page } = this.#options
    this.#guessed = !corners && !page
    return corners ?? (page ? { p1: point(0, 0), p2: turnedPage(page, turn) } : smallCorners)
  }

  #setCorners(read: readonly number[]): void {
    const { p1, p2, turn } = this.#frame
    const [x1, y1, x2, y2] = read.map(Math.round)
    if (x1 === undefined || y1 === undefined) {
      this.#useFrame({ ...this.#frame, ...this.#corners(turn) })
      return
    }
    const first = point(x1, y1)
    // P1 alone takes P2 along.
    const second = x2 === undefined || y2 === undefined ? add(first, point(p2.x - p1.x, p2.y - p1.y)) : point(x2, y2)
    if (x2 !== undefined) this.#guessed = false
    const apart = point(second.x + Number(second.x === first.x), second.y + Number(second.y === first.y))
    this.#useFrame({ ...this.#frame, p1: first, p2: apart })
  }

  #setScale(read: readonly number[]): void {
    const [xMin = 0, xMax = 0, yMin = 0, yMax = 0, kind = 0, left = 50, bottom = 50] = read
    if (read.length === 0) {
      this.#useFrame({ ...this.#frame, scale: undefined })
      return
    }
    const limit = scaleFault(read)
    if (limit) {
      this.#tell(fault(3, 'out_of_range', `SC${read.join(',')}`, limit))
      return
    }
    const scale: Scale =
      kind === 2
        ? { kind: 'factors', low: point(xMin, yMin), factor: point(xMax, yMax) }
        : {
            kind: 'corners',
            low: point(xMin, yMin),
            high: point(xMax, yMax),
            isotropic: kind === 1 ? point(left, bottom) : undefined,
          }
    this.#useFrame({ ...this.#frame, scale })
  }

  #useFrame(frame: Frame): void {
    this.#frame = frame
    this.#matrix = matrixOf(frame)
    this.pen.setMatrix(this.#matrix)
    if (frame.scale && this.#guessed) {
      this.assumed.add('a scale without IP: P1 taken as 250,279 and P2 as 10250,7479')
    }
    if (frame.turn !== 0 && !this.#options.page)
      this.assumed.add('turned axes without a sheet: turned about the origin')
  }

  /** The part of the sheet that is drawn on, between two corners in the coordinates of commands. */
  #useWindow(corners: readonly [Point, Point] | undefined): void {
    const { page, unitsPerMm } = this.#options
    const mm = (p: Point) => ({ x: p.x / unitsPerMm.x, y: p.y / unitsPerMm.y })
    let window: Box | undefined = page && { low: point(0, 0), high: mm(page) }
    if (corners) {
      const [a, b] = corners.map((p) => mm(this.#matrix ? mapPoint(this.#matrix, p) : p)) as [Point, Point]
      const low = point(Math.min(a.x, b.x), Math.min(a.y, b.y))
      const high = point(Math.max(a.x, b.x), Math.max(a.y, b.y))
      window = window
        ? {
            low: point(Math.max(low.x, window.low.x), Math.max(low.y, window.low.y)),
            high: point(Math.min(high.x, window.high.x), Math.min(high.y, window.high.y)),
          }
        : { low, high }
    }
    this.#trace.setWindow(window)
  }

  #through(middle: Point, to: Point): void {
    const { pen } = this
    const found = arcThrough(pen.place, middle, to)
    if (!('gap' in found)) {
      this.#tell(pen.follow(found))
      return
    }
    // Two rays run out from the ends. What is drawn of them is the part up to the middle point.
    if (found.gap === 'before') this.#tell(pen.go(middle.x, middle.y, false))
    else pen.jump(middle.x, middle.y)
    if (found.gap === 'before') pen.jump(to.x, to.y)
    else this.#tell(pen.go(to.x, to.y, false))
    const limit = 'its middle point lies beyond an end on the same line, so it runs out of every sheet'
    this.#tell(fault(3, 'endless_arc', 'an arc', limit))
  }

  #skip(mnemonic: string, draws: boolean): void {
    const { count = 0, offset = this.#offset, command = this.commands } = this.skipped.get(mnemonic) ?? {}
    this.skipped.set(mnemonic, { mnemonic, count: count + 1, offset, command, draws })
  }

  /** Notes a fault; the first of a plain file, and one too many of any, ends the reading. */
  #tell(found: Fault | undefined, offset = this.#offset): void {
    if (!found) return
    const what = `${found.value}; ${found.limit}`
    this.faults.push({ ...found, offset, command: this.commands, what })
    if (this.#c.strict) throw new Halt(offset, what)
    const most = this.#options.mostFaults
    if (this.faults.length >= most) throw new Halt(offset, `there are ${most} faults: this may be no HP-GL`)
  }

  /** Where a plain file is asked for: ends the reading. */
  #notPlain(offset: number): void {
    const limit = 'a plain file has capitals, one comma, whole numbers and `;` after each command'
    this.#tell(fault(3, 'not_plain', shown(this.#c.bytes, offset), limit), offset)
  }
}

/** What is wrong with the numbers of SC, if anything. */
function scaleFault([x1 = 0, x2 = 0, y1 = 0, y2 = 0, kind = 0, left = 50, bottom = 50]: readonly number[]) {
  if (kind !== 0 && kind !== 1 && kind !== 2) return 'a scale is of kind 0, 1 or 2'
  if (kind === 2 ? x2 === 0 || y2 === 0 : x2 === x1 || y2 === y1) return 'a scale has some size'
  if (left < 0 || left > 100 || bottom < 0 || bottom > 100) return 'space is shared from 0 to 100 per cent'
  return undefined
}

const numbers = (count: number) => (count === 1 ? 'number' : 'numbers')

/** A setting of each pen, which may be given for all at once. */
class PerPen {
  #all: number | undefined
  readonly #own = new Map<number, number>()

  of(pen: number): number | undefined {
    return this.#own.get(pen) ?? this.#all
  }

  /** Without a pen for all; without a value back to the device's own. */
  set(value: number | undefined, pen: number | undefined): void {
    if (pen === undefined || value === undefined) {
      this.#all = value
      this.#own.clear()
    } else this.#own.set(pen, value)
  }

  clear(): void {
    this.set(undefined, undefined)
  }
}
