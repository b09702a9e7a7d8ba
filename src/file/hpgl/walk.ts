import { type Point, point } from '../../geometry/point.ts'
import { arcAbout } from './arcs.ts'
import { byteAt, semicolon } from './bytes.ts'
import { decodePolyline } from './encoded.ts'
import { commandOf, type Known } from './grammar.ts'
import { cursorOn, nextCommand, nextNumber, skipParameters } from './lexer.ts'

/** What a plotter has taken in when it has read a file as far as a place in it. */
export interface Taken {
  /** the place: behind a whole command, or behind a pair of coordinates inside one; bytes from the start */
  readonly offset: number
  /** is it behind a whole command? */
  readonly whole: boolean
  readonly down: boolean
  /** where the tool is, in the numbers of the file's own commands; undefined where only the plotter knows */
  readonly at: Point | undefined
  /** do bare numbers mean steps from where the tool is? */
  readonly relative: boolean
  /** commands that neither move nor draw and still hold, without `;` */
  readonly settings: readonly string[]
  /** inside a command: what has to stand before the rest of its bytes to mean the same; undefined where nothing can */
  readonly inside: string | undefined
}

/** A command that a walk does not follow. */
export interface Beyond {
  readonly name: string
  readonly offset: number
}

/**
 * Goes through a file that is understood whole, place by place. One object is given again and again, as things are
 * behind each place; `behind` keeps what it says.
 */
export class Walk implements Taken {
  offset = 0
  whole = true
  down = false
  at: Point | undefined
  relative = false
  settings: string[] = []
  inside: string | undefined
  /** the first command that is not followed: what is said of places from there on may be wrong */
  beyond: Beyond | undefined
  readonly #bytes: Uint8Array
  readonly #c

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes
    this.#c = cursorOn(bytes, false)
  }

  get behind(): Taken {
    const { offset, whole, down, at, relative, settings, inside } = this
    return { offset, whole, down, at, relative, settings: [...settings], inside }
  }

  *places(): Generator<this> {
    const c = this.#c
    for (let opening = nextCommand(c); opening === 'command' || opening === 'stray'; opening = nextCommand(c)) {
      const known = opening === 'command' ? commandOf(c.value) : undefined
      const from = c.from
      if (known?.kind === 'move') yield* this.#move(known.name)
      else if (known?.name === 'PE') yield* this.#encoded()
      else this.#other(known, from)
      if (byteAt(this.#bytes, c.at) === semicolon) c.at++
      this.inside = undefined
      this.whole = true
      this.offset = c.at
      yield this
    }
  }

  *#move(name: 'PA' | 'PR' | 'PU' | 'PD'): Generator<this> {
    const c = this.#c
    if (name === 'PU') this.down = false
    else if (name === 'PD') this.down = true
    else this.relative = name === 'PR'
    this.inside = name
    this.whole = false
    for (let first = true; nextNumber(c, first) === 'number'; first = false) {
      const x = c.value
      if (nextNumber(c, false) !== 'number') break
      this.#go(x, c.value, this.relative)
      this.offset = c.at
      yield this
    }
    skipParameters(c)
  }

  *#encoded(): Generator<this> {
    const items = decodePolyline(this.#bytes, this.#c.at)
    this.inside = this.#headOf(this.#c.at)
    this.whole = false
    let next = items.next()
    for (; !next.done; next = items.next()) {
      const item = next.value
      if (item.kind !== 'pair') continue
      this.down = !item.up
      this.#go(item.x, item.y, !item.absolute)
      this.offset = item.end
      yield this
    }
    this.#c.at = next.value.at
  }

  /** Of an encoded polyline, what its bytes are to be read by; undefined with fractional bits, which the head does not tell. */
  #headOf(from: number): string | undefined {
    const end = this.#bytes.indexOf(semicolon, from)
    const items = this.#bytes.subarray(from, end === -1 ? undefined : end)
    if (items.some((b) => (b & 0x7f) === 0x3e)) return undefined
    return byteAt(this.#bytes, from) === 0x37 ? 'PE7' : 'PE'
  }

  #go(x: number, y: number, relative: boolean): void {
    if (!relative) this.at = point(x, y)
    else if (this.at) this.at = point(this.at.x + x, this.at.y + y)
  }

  #other(known: Known | undefined, from: number): void {
    const c = this.#c
    const read: number[] = []
    for (let first = true; nextNumber(c, first) === 'number'; first = false) read.push(c.value)
    skipParameters(c)
    const name = known?.name ?? ''
    if (cannotFollow(name)) this.beyond ??= { name, offset: from }
    if (name === 'IN') {
      this.down = false
      this.settings = []
    }
    if (name === 'IN' || name === 'DF') this.relative = false
    if (frames.has(name)) this.at = undefined
    if (arcs.has(name)) this.at = this.#arcEnd(name, read)
    if (arcs.has(name) || figures.has(name) || !known) return
    // A pen that is put back at once need not be taken.
    if (name === 'SP' && this.settings.at(-1)?.startsWith('SP')) this.settings.pop()
    this.settings.push(new TextDecoder('latin1').decode(this.#bytes.subarray(from, c.at)).trim())
  }

  /** Undefined where it is not whole: what a plotter rounds it to is its own. */
  #arcEnd(name: string, [a = 0, b = 0, degrees = 0]: readonly number[]): Point | undefined {
    if (!this.at || (name !== 'AA' && name !== 'AR')) return undefined
    const centre = name === 'AA' ? point(a, b) : point(this.at.x + a, this.at.y + b)
    const { x, y } = arcAbout(this.at, centre, degrees).at(-1)?.to ?? this.at
    const whole = point(Math.round(x), Math.round(y))
    return Math.abs(whole.x - x) < 1e-6 && Math.abs(whole.y - y) < 1e-6 ? whole : undefined
  }
}

const arcs: ReadonlySet<string> = new Set(['AA', 'AR', 'AT', 'RT'])
/** Drawn on their own, with the tool back where it was. */
const figures: ReadonlySet<string> = new Set(['CI', 'EA', 'ER', 'EW'])
/** Change what numbers mean, or leave open where the tool is. */
const frames: ReadonlySet<string> = new Set(['IN', 'DF', 'SC', 'IP', 'RO'])

/** Lettering, polygons, fills, windows, questions to the plotter, text. */
const cannotFollow = (name: string): boolean => /^O[A-Z]$/.test(name) || notFollowed.has(name)

const notFollowed: ReadonlySet<string> = new Set([
  ...['LB', 'BL', 'DT', 'SM', 'CO', 'BP', 'PM', 'EP', 'FP', 'RA', 'RR', 'WG', 'PB', 'UC', 'XT', 'YT', 'IW'],
])
