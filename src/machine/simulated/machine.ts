import { readPlot } from '../../file/hpgl/read.ts'
import type { PlotStroke } from '../../file/hpgl/trace.ts'
import { type Incoming, incoming, type Within } from './device-control.ts'
import type { SimulatedOptions } from './options.ts'

/** A block must fit before a host that is stopped by the line is let go on, bytes (HP 07470-90001, page 10-20). */
const usualBlock = 80
/** Stored bytes at which a stopped host is let go on (page 10-20). */
const goesOnAt = 128
const enquiry = 5

/** How it was told to keep its buffer from running over. */
interface Told {
  readonly enq: { readonly code: number; readonly ack: readonly number[]; readonly block: number } | undefined
  readonly stop: { readonly threshold: number; readonly xon: number } | undefined
  readonly xoff: number
}

const untold: Told = { enq: undefined, stop: undefined, xoff: 19 }

/** A buffer of bytes that grows. */
class Bytes {
  #bytes = new Uint8Array(1024)
  length = 0

  push(byte: number): void {
    if (this.length === this.#bytes.length) {
      const more = new Uint8Array(2 * this.length)
      more.set(this.#bytes)
      this.#bytes = more
    }
    this.#bytes[this.length++] = byte
  }

  get all(): Uint8Array {
    return this.#bytes.subarray(0, this.length)
  }
}

/**
 * A plotter or cutter as its line sees it: bytes go in at stated times, s, and answers come out. It keeps a buffer,
 * carries out so many bytes a second, does every handshake and answers what HP 07470-90001 lets it be asked. Nothing in
 * it runs by itself: `advance` brings it to a time.
 */
export class SimulatedMachine {
  /** bytes that came when the buffer was full */
  lost = 0
  /** has it hung up? */
  gone = false
  /** what it has said or done to stop the host holds this very moment */
  get stopsHost(): boolean {
    return this.#stopped || (this.#isHardwired && !this.ready)
  }
  readonly #options: SimulatedOptions
  readonly #done = new Bytes()
  #buffer: number[] = []
  #head = 0
  #within: Within = ''
  #told = untold
  #stopped = false
  #isHardwired = false
  #hungUp = false
  #acksDue = 0
  #sizeDue = false
  #lineError = 0
  #faultsTold = 0
  #heard = 0
  #nextAt = 0
  #replies: number[] = []

  constructor(options: SimulatedOptions) {
    this.#options = options
  }

  /** All that it carried out, in order. */
  get done(): Uint8Array {
    return this.#done.all
  }

  get drawn(): readonly PlotStroke[] {
    return readPlot(this.done, { unitsPerMm: 1 }).strokes
  }

  get stored(): number {
    return this.#buffer.length - this.#head
  }

  get free(): number {
    return this.#options.buffer - this.stored
  }

  /** Its own line to the host: is there room for a block? */
  get ready(): boolean {
    return this.free >= Math.min(usualBlock, this.#options.buffer)
  }

  /** When it will have carried out the next byte, s; undefined with nothing to do. */
  get wakes(): number | undefined {
    return this.stored === 0 || this.#isStuck ? undefined : this.#nextAt
  }

  hear(bytes: Uint8Array, now: number): void {
    this.advance(now)
    for (const byte of bytes) {
      if (this.gone) return
      this.#take(byte, now)
    }
    this.advance(now)
  }

  advance(now: number): void {
    while (this.stored > 0 && this.#nextAt <= now && !this.#isStuck) {
      const byte = this.#buffer[this.#head++] as number
      this.#nextAt += this.#secondsAByte
      this.#carryOut(byte)
    }
    if (this.#head > 4096 && this.#head * 2 > this.#buffer.length) {
      this.#buffer = this.#buffer.slice(this.#head)
      this.#head = 0
    }
    this.#tellOfRoom()
  }

  /** What it says, once. */
  replies(): Uint8Array {
    const { silent, babbles } = this.#options.misbehaviour
    const said = this.#replies
    this.#replies = []
    // Stopping the host is the last that a silent one does.
    if (silent) return Uint8Array.from(said.filter((byte) => byte === this.#told.xoff))
    return Uint8Array.from(babbles ? said.map((byte) => (byte * 7 + 131) & 0xff) : said)
  }

  get #secondsAByte(): number {
    return (this.#options.misbehaviour.slow ?? 1) / this.#options.drain
  }

  get #isStuck(): boolean {
    const { full } = this.#options.misbehaviour
    return full !== undefined && this.#done.length >= full
  }

  #take(byte: number, now: number): void {
    const { drops, garbles, resets, disappears } = this.#options.misbehaviour
    this.#heard++
    if (drops !== undefined && this.#heard % drops === 0) return
    let taken = byte
    if (garbles !== undefined && this.#heard % garbles === 0) {
      taken = byte ^ 4
      this.#lineError = 15
    }
    const { within, found } = incoming(this.#within, taken)
    this.#within = within
    if (found) this.#act(found, now)
    if (
      !this.#hungUp &&
      this.#heard >= Math.min(resets ?? Number.POSITIVE_INFINITY, disappears ?? Number.POSITIVE_INFINITY)
    ) {
      if (this.#heard === resets) this.#forget()
      this.#hungUp = true
      this.gone = true
    }
  }

  /** A new connection after it hung up, which it does once. */
  connected(): void {
    this.gone = false
    this.#within = ''
    this.#replies = []
  }

  #forget(): void {
    this.#buffer = []
    this.#head = 0
    this.#told = untold
    this.#stopped = false
    this.#isHardwired = false
  }

  #act(found: Incoming, now: number): void {
    if (found.kind === 'control') this.#control(found.letter, found.parameters)
    else if (found.kind === 'bad') this.#lineError ||= found.error
    else if (found.byte === (this.#told.enq?.code ?? enquiry)) this.#acksDue++
    else this.#store(found.byte, now)
    this.#tellOfRoom()
  }

  #store(byte: number, now: number): void {
    if (this.free <= 0) {
      this.lost++
      this.#lineError = 16
      return
    }
    if (this.stored === 0) this.#nextAt = Math.max(this.#nextAt, now + this.#secondsAByte)
    this.#buffer.push(byte)
  }

  #control(letter: string, p: readonly (number | undefined)[]): void {
    switch (letter) {
      case 'B':
        this.#say(`${this.free}`)
        break
      case 'E':
        this.#say(`${this.#lineError}`)
        this.#lineError = 0
        break
      case 'L':
        this.#sizeDue = true
        break
      case 'S':
        this.#say(`${this.#options.buffer}`)
        break
      case 'O':
        this.#say(this.stored === 0 ? '8' : '0')
        break
      case 'A':
        this.#say(this.#options.model)
        break
      case 'K':
        this.#buffer = []
        this.#head = 0
        break
      case 'R':
        this.#told = untold
        this.#stopped = false
        this.#isHardwired = false
        break
      case '@':
        this.#isHardwired = ((p[1] ?? 0) & 1) === 1
        break
      case 'H':
        this.#told = { ...this.#told, stop: undefined, enq: enquiryOf(p) }
        break
      case 'I':
        this.#told = {
          ...this.#told,
          enq: p[1] ? enquiryOf(p) : undefined,
          stop: !p[1] && p[2] ? { threshold: p[0] ?? usualBlock, xon: p[2] } : undefined,
        }
        break
      case 'N':
        this.#told = { ...this.#told, xoff: p[1] ?? 19 }
        break
    }
  }

  /** Answers that wait for room, and the codes that stop the host and let it go on. */
  #tellOfRoom(): void {
    const { enq, stop, xoff } = this.#told
    while (this.#acksDue > 0 && (!enq || this.free >= enq.block)) {
      this.#acksDue--
      this.#replies.push(...(enq?.ack ?? [6]))
    }
    if (this.#sizeDue && this.stored === 0) {
      this.#sizeDue = false
      this.#say(`${this.#options.buffer}`)
    }
    if (!stop) return
    const level = Math.min(goesOnAt, (this.#options.buffer - stop.threshold) / 2)
    if (!this.#stopped && this.free <= stop.threshold) {
      this.#stopped = true
      this.#replies.push(xoff)
    } else if (this.#stopped && this.stored <= level) {
      this.#stopped = false
      this.#replies.push(stop.xon)
    }
  }

  #carryOut(byte: number): void {
    this.#done.push(byte)
    if (byte !== 0x3b) return
    const { all, length } = this.#done
    const name = String.fromCharCode(...all.subarray(Math.max(0, length - 3), length - 1))
    if (/^O[ACEFHIOPSW]$/.test(name)) this.#say(this.#answer(name))
  }

  #answer(name: string): string {
    const { model, limits } = this.#options
    const fixed: Readonly<Record<string, string>> = {
      OF: '40,40',
      OH: limits.join(','),
      OI: model,
      OO: '0,1,0,0,1,0,0,0',
      OP: limits.join(','),
      OW: limits.join(','),
    }
    const known = fixed[name]
    if (known !== undefined) return known
    const plot = readPlot(this.done, { unitsPerMm: 1 })
    if (name === 'OE') {
      const fault = plot.faults.slice(this.#faultsTold).at(-1)
      this.#faultsTold = plot.faults.length
      return `${fault?.error ?? 0}`
    }
    const down = plot.penDownAtEnd ? 1 : 0
    if (name === 'OS') return `${16 + down + (plot.faults.length > this.#faultsTold ? 32 : 0)}`
    const [x, y] = name === 'OA' ? [Math.round(plot.at.x), Math.round(plot.at.y)] : [plot.at.x, plot.at.y]
    return `${x + 0},${y + 0},${down}`
  }

  #say(text: string): void {
    for (let i = 0; i < text.length; i++) this.#replies.push(text.charCodeAt(i))
    this.#replies.push(13)
  }
}

const enquiryOf = ([block, code, ...ack]: readonly (number | undefined)[]): Told['enq'] =>
  code ? { block: block ?? usualBlock, code, ack: ack.length > 0 ? ack.flatMap((each) => each ?? []) : [6] } : undefined
