import { Refusal } from '../../measure/problem.ts'

/** Command words that the reader knows. */
const known = ['IN', 'SP', 'PA', 'PR', 'PU', 'PD'] as const
type Mnemonic = (typeof known)[number]

/** One command as it stands in the text. */
export interface Command {
  readonly mnemonic: Mnemonic
  readonly numbers: readonly number[]
  /** counts from 1 */
  readonly ordinal: number
  /** byte at which the mnemonic starts, from 0; the text before it is ASCII or was refused */
  readonly offset: number
  /** whether a `;`, a line end or a next command follows; if not, the text stops inside the command */
  readonly ended: boolean
}

/** Both letters of a mnemonic in one number, the same for either case. */
const codeAt = (text: string, at: number) => ((text.charCodeAt(at) | 0x20) << 8) | (text.charCodeAt(at + 1) | 0x20)
const byCode: ReadonlyMap<number, Mnemonic> = new Map(known.map((name) => [codeAt(name, 0), name]))

/** Largest number that HP-GL/2 allows. */
const largest = 2 ** 30

const plus = 0x2b
const comma = 0x2c
const minus = 0x2d
const dot = 0x2e
const zero = 0x30
const semicolon = 0x3b
const letterE = 0x65
const isSpace = (c: number) => c === 0x20 || c === 0x09 || c === 0x0a || c === 0x0d
const isDigit = (c: number) => c >= 0x30 && c <= 0x39
const isLetter = (c: number) => (c >= 0x41 && c <= 0x5a) || (c >= 0x61 && c <= 0x7a)

/** Refuses one command, naming where it is, what was read and what is known. */
export function refuse(code: string, ordinal: number, offset: number, value: string, limit: string): Refusal {
  const field = `command ${ordinal} (byte ${offset})`
  const cure = `Write the file with ${known.join(', ')} and whole coordinate pairs only.`
  return new Refusal([{ code, field, value, limit, cure }])
}

/**
 * Splits HP-GL into commands, in one pass: either case, spaces or one comma or a sign between numbers, a comma after
 * the last, `;` optional before the next mnemonic, line ends as spaces. Numbers never have an exponent.
 */
export function* commandsOf(text: string): Generator<Command> {
  let at = 0
  for (let ordinal = 1; ; ordinal++) {
    while (isSpace(text.charCodeAt(at)) || text.charCodeAt(at) === semicolon) at++
    if (at >= text.length) return
    const offset = at
    const mnemonic = byCode.get(codeAt(text, offset))
    if (mnemonic === undefined) {
      throw refuse('unknown_command', ordinal, offset, shown(text, offset), `this reader knows ${known.join(', ')}`)
    }
    const numbers: number[] = []
    at = readNumbers(text, offset + 2, ordinal, numbers)
    const ended = at < text.length || isSpace(text.charCodeAt(at - 1))
    yield { mnemonic, numbers, ordinal, offset, ended }
  }
}

/** Fills `numbers` from the text at `start` on; gives the place of the `;` or letter that ends them, or the end. */
function readNumbers(text: string, start: number, ordinal: number, numbers: number[]): number {
  let at = start
  let wasComma = true
  while (true) {
    let c = text.charCodeAt(at)
    while (isSpace(c)) c = text.charCodeAt(++at)
    if (at >= text.length || c === semicolon || isLetter(c)) return at
    if (c === comma) {
      if (wasComma) throw refuse('no_number', ordinal, at, shown(text, at), 'a number must stand before each comma')
      wasComma = true
      at++
      continue
    }
    const from = at
    const negative = c === minus
    if (negative || c === plus) c = text.charCodeAt(++at)
    let value = 0
    let digits = 0
    for (; isDigit(c); c = text.charCodeAt(++at), digits++) value = value * 10 + c - zero
    if (c === dot) {
      c = text.charCodeAt(++at)
      let part = 0
      let size = 1
      for (; isDigit(c); c = text.charCodeAt(++at), digits++, size *= 10) part = part * 10 + c - zero
      value += part / size
    }
    if (digits === 0) throw refuse('no_number', ordinal, from, shown(text, from), 'a number must stand here')
    if ((c | 0x20) === letterE && /^[-+\d]/.test(text.slice(at + 1, at + 2))) {
      throw refuse('exponent', ordinal, from, shown(text, from), 'HP-GL numbers have no exponent')
    }
    if (!(value <= largest)) throw refuse('out_of_range', ordinal, from, shown(text, from), `numbers go to ${largest}`)
    numbers.push(negative ? -value : value)
    wasComma = false
  }
}

/** A few characters from `offset` on, control characters made visible. */
function shown(text: string, offset: number): string {
  return JSON.stringify(text.slice(offset, offset + 12))
}
