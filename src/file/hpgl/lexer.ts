import {
  byteAt,
  carriageReturn,
  colon,
  comma,
  dot,
  esc,
  isBlank,
  isDigit,
  isLetter,
  isUpper,
  lineFeed,
  minus,
  percent,
  plus,
  semicolon,
} from './bytes.ts'

/** Largest number and largest plotter coordinate, units: HP 5961-0509, page 17-10. */
export const largest = 2 ** 30

/** A place in the bytes that moves on with what is read. */
export interface Cursor {
  readonly bytes: Uint8Array
  /** takes only what is written by the plainest rule: capitals, one comma, whole numbers, `;` after each command */
  readonly strict: boolean
  at: number
  /** whether numbers may have a point where the file is to be plain */
  decimals: boolean
  /** where the last token began */
  from: number
  /** of the last number */
  value: number
  /** where a device-control string runs into the end of the data */
  cutEscape: number | undefined
}

export const cursorOn = (bytes: Uint8Array, strict: boolean): Cursor => ({
  bytes,
  strict,
  at: 0,
  decimals: false,
  from: 0,
  value: 0,
  cutEscape: undefined,
})

/**
 * What stands where a number may stand. `end`: the list is over. `cut`: the data ends inside the list, so that the last
 * number may be a part of one. The others are faults.
 */
export type Token = 'number' | 'end' | 'cut' | 'empty' | 'no number' | 'exponent' | 'too large' | 'form'

/**
 * Reads the next number of a list, `first` for the one after the mnemonic: one comma, blanks or a sign between two, a
 * comma allowed after the last. Never an exponent. A number that touches the end of the data is not given.
 */
export function nextNumber(c: Cursor, first: boolean): Token {
  const { bytes, strict } = c
  let parted = first
  let afterComma = first
  let b = byteAt(bytes, c.at)
  while (b === comma || b === esc || isBlank(b)) {
    c.from = c.at
    if (strict && (b !== comma || first)) return 'form'
    if (b === comma) {
      if (afterComma) return 'empty'
      afterComma = true
    }
    if (b === esc) skipEscape(c)
    else c.at++
    parted = true
    b = byteAt(bytes, c.at)
  }
  c.from = c.at
  if (b === -1) return afterComma && !first ? 'cut' : 'end'
  if (b === semicolon || isLetter(b)) return strict && afterComma && !first ? 'form' : 'end'
  if (!parted && (strict || (b !== minus && b !== plus))) return strict ? 'form' : 'no number'
  return readNumber(c, b)
}

function readNumber(c: Cursor, sign: number): Token {
  const { bytes, from } = c
  let at = from
  let b = sign
  if (sign === minus || sign === plus) b = byteAt(bytes, ++at)
  let value = 0
  let digits = 0
  for (; isDigit(b); digits++) {
    value = value * 10 + b - 0x30
    b = byteAt(bytes, ++at)
  }
  if (c.strict && ((b === dot && !c.decimals) || sign === plus)) return 'form'
  if (b === dot) {
    b = byteAt(bytes, ++at)
    // More than fifteen places change nothing, and would not be counted exactly.
    let part = 0
    let size = 1
    for (; isDigit(b); digits++) {
      if (size < 1e15) {
        part = part * 10 + b - 0x30
        size *= 10
      }
      b = byteAt(bytes, ++at)
    }
    value += part / size
  }
  c.at = at
  if (b === -1) return 'cut'
  if (digits === 0) return 'no number'
  if ((b | 0x20) === 0x65 && startsNumber(byteAt(bytes, at + 1))) {
    c.at = at + 2
    return 'exponent'
  }
  if (!(value <= largest)) return 'too large'
  c.value = sign === minus ? -value : value
  return 'number'
}

const startsNumber = (b: number) => isDigit(b) || b === plus || b === minus

/** Goes on to the `;` or letter that ends a list of parameters, to the byte `stop`, or to the end. */
export function skipParameters(c: Cursor, stop = -1): void {
  for (let b = byteAt(c.bytes, c.at); b !== -1 && b !== stop; b = byteAt(c.bytes, c.at)) {
    if (b === semicolon || isLetter(b)) return
    if (b === esc) skipEscape(c)
    else c.at++
  }
}

/** What stands where a command may begin. `half`: the data ends after one letter. */
export type Opening = 'command' | 'end' | 'stray' | 'half' | 'form'

/** Comes to the next mnemonic; `c.from` is its first letter, `c.at` behind its second, `c.value` its code. */
export function nextCommand(c: Cursor): Opening {
  const { bytes, strict } = c
  let b = byteAt(bytes, c.at)
  while (b === semicolon || b === esc || isBlank(b)) {
    if (strict && b !== lineFeed && b !== carriageReturn) {
      c.from = c.at
      return 'form'
    }
    if (b === esc) skipEscape(c)
    else c.at++
    b = byteAt(bytes, c.at)
  }
  c.from = c.at
  if (b === -1) return 'end'
  c.at++
  if (!isLetter(b)) return 'stray'
  let second = byteAt(bytes, c.at)
  while (!strict && isBlank(second)) second = byteAt(bytes, ++c.at)
  if (second === -1) return 'half'
  if (strict && !(isUpper(b) && isUpper(second))) return 'form'
  if (!isLetter(second)) return 'stray'
  c.at++
  c.value = codeOf(b, second)
  return 'command'
}

/** Both letters of a mnemonic in one number, the same for either case. */
export const codeOf = (first: number, second: number): number => ((first | 0x20) << 8) | (second | 0x20)

/**
 * Passes over a device-control string: `ESC . X` with its parameters and `:`, `ESC % n B` and the like. After
 * `ESC % n A`, which leaves HP-GL/2, goes on behind the next `ESC % n B`.
 */
function skipEscape(c: Cursor): void {
  const start = c.at
  const leaves = skipOne(c)
  while (leaves && c.at < c.bytes.length) {
    const next = c.bytes.indexOf(esc, c.at)
    c.at = next === -1 ? c.bytes.length : next
    if (next === -1) return
    const from = c.at
    skipOne(c)
    if (byteAt(c.bytes, from + 1) === percent && (byteAt(c.bytes, c.at - 1) | 0x20) === 0x62) return
  }
  if (c.at > c.bytes.length) {
    c.cutEscape = start
    c.at = c.bytes.length
  }
}

/** Letters of the strings `ESC . X` that have parameters: HP 07470-90001, page 10-23. */
const withParameters: ReadonlySet<number> = new Set(Array.from('@HIMNPT', (letter) => letter.charCodeAt(0)))

/** Gives whether the string leaves HP-GL/2. Past the end where it is cut off. */
function skipOne(c: Cursor): boolean {
  const { bytes } = c
  const kind = byteAt(bytes, c.at + 1)
  if (kind === dot) {
    const hasParameters = withParameters.has(byteAt(bytes, c.at + 2))
    c.at += 3
    while (hasParameters && (isDigit(byteAt(bytes, c.at)) || byteAt(bytes, c.at) === semicolon)) c.at++
    if (byteAt(bytes, c.at) === colon) c.at++
    return false
  }
  c.at += 2
  // Parameters follow a mark. A letter ends them, or a capital where small ones only end a part.
  if (kind < 0x21 || kind > 0x2f) return false
  const ends = kind === percent ? isLetter : isUpper
  let b = byteAt(bytes, c.at)
  while (b !== -1 && b !== esc && !ends(b)) b = byteAt(bytes, ++c.at)
  if (b !== esc) c.at++
  return kind === percent && (b | 0x20) === 0x61
}
