import { byteAt, isBlank, semicolon, shown } from './bytes.ts'
import { type Fault, fault } from './faults.ts'

/** Digits in bytes with eight bits, or in printable bytes with seven. */
export type Base = 64 | 32

/** Flags of an encoded polyline (HP 5961-0509, pages 20-34 to 20-36); their eighth bit does not count. */
const sevenBits = 0x37
const penNumber = 0x3a
const penUp = 0x3c
const absolute = 0x3d
const fraction = 0x3e

/** Byte of the digit 0 before the last digit, and of the digit 0 that ends a number. */
const low = 63
const ending = { 64: 191, 32: 95 } as const

/** Fractional bits that may be announced, either sign. */
const mostBits = 26

/** Whole numbers that an encoded polyline carries: -2^30 to 2^30 - 1. */
const reach = 2 ** 30

/**
 * A whole number as an encoded polyline has it, one character a byte (latin-1): twice its size with the sign in the
 * lowest bit, least digit first. Refuses a fraction and what is outside -2^30 to 2^30 - 1.
 */
export function encodeNumber(value: number, base: Base): string {
  if (!Number.isInteger(value) || value < -reach || value >= reach) {
    throw new RangeError(`${value} cannot be encoded: whole numbers from ${-reach} to ${reach - 1} can`)
  }
  let rest = value < 0 ? 1 - 2 * value : 2 * value
  let text = ''
  for (; rest >= base; rest = Math.floor(rest / base)) text += String.fromCharCode(low + (rest % base))
  return text + String.fromCharCode(ending[base] + rest)
}

/** A number read, and the place behind it. */
export interface Decoded {
  readonly value: number
  readonly at: number
}

/**
 * The whole number that begins at `at`. Blanks and, with eight bits, the bytes 128 to 160 and 255 are passed over.
 * Undefined where another byte stands before the last digit; a number past 2^53 loses digits.
 */
export function decodeNumber(bytes: Uint8Array, start: number, base: Base): Decoded | undefined {
  let sum = 0
  let size = 1
  for (let at = start; ; at++) {
    const b = byteAt(bytes, at)
    if (b >= low && b < low + base) {
      sum += (b - low) * size
      size *= base
      continue
    }
    const last = b - ending[base]
    if (last >= 0 && last < base) {
      sum += last * size
      const half = Math.floor(sum / 2)
      return { value: sum % 2 === 1 && half > 0 ? -half : half, at: at + 1 }
    }
    if (!isIdle(b)) return undefined
  }
}

const isIdle = (b: number) => isBlank(b) || (b >= 128 && b <= 160) || b === 255

/** What an encoded polyline holds, in order. A pair is drawn to unless `up`, and relative unless `absolute`. */
export type Encoded =
  | {
      readonly kind: 'pair'
      readonly x: number
      readonly y: number
      readonly up: boolean
      readonly absolute: boolean
      readonly offset: number
      /** behind its last byte */
      readonly end: number
    }
  | { readonly kind: 'pen'; readonly pen: number; readonly offset: number }
  | { readonly kind: 'fault'; readonly fault: Fault; readonly offset: number }

/** Where an encoded polyline ends: behind its `;`, or where the data does. */
export interface EncodedEnd {
  readonly at: number
  readonly ended: boolean
}

/** The items of an encoded polyline from behind its `PE` to its `;`. A byte that means nothing is passed over. */
export function* decodePolyline(bytes: Uint8Array, start: number): Generator<Encoded, EncodedEnd> {
  let base: Base = 64
  let scale = 1
  let up = false
  let isAbsolute = false
  let wanted: 'x' | 'y' | 'bits' | 'pen' = 'x'
  let x = 0
  let pairFrom = start
  for (let at = start; ; ) {
    const b = byteAt(bytes, at)
    if (b === -1) return { at, ended: false }
    if (b === semicolon) {
      if (wanted !== 'x') {
        const limit = wanted === 'y' ? 'coordinates come in pairs of x and y' : 'a value must follow the flag'
        yield faultOf(2, 'odd_coordinate', 'PE that ends too soon', limit, at)
      }
      return { at: at + 1, ended: true }
    }
    const flag = b & 0x7f
    if (flag === sevenBits || flag === penNumber || (flag >= penUp && flag <= fraction)) {
      at++
      if (wanted !== 'x') yield faultOf(3, 'wrong_byte', `the flag ${show(b)}`, 'a flag stands before a pair', at - 1)
      wanted = flag === fraction ? 'bits' : flag === penNumber ? 'pen' : 'x'
      if (flag === sevenBits) base = 32
      if (flag === penUp) up = true
      if (flag === absolute) isAbsolute = true
      continue
    }
    if (isIdle(b)) {
      at++
      continue
    }
    const number = decodeNumber(bytes, at, base)
    if (!number) {
      const end = behindDigits(bytes, at)
      if (byteAt(bytes, end) === -1) return { at: end, ended: false }
      const value = shown(bytes, at)
      yield faultOf(3, 'wrong_byte', value, 'a value of an encoded polyline ends in its last digit', at)
      at = Math.max(end, at + (byteAt(bytes, end) === semicolon ? 0 : 1))
      continue
    }
    const from = at
    at = number.at
    if (wanted === 'bits') {
      if (Math.abs(number.value) <= mostBits) scale = 2 ** -number.value
      else {
        yield faultOf(3, 'out_of_range', `${number.value} fractional bits`, `they go from -26 to ${mostBits}`, from)
      }
      wanted = 'x'
    } else if (wanted === 'pen') {
      yield { kind: 'pen', pen: number.value, offset: from }
      wanted = 'x'
    } else if (wanted === 'x') {
      x = number.value * scale
      pairFrom = from
      wanted = 'y'
    } else {
      yield { kind: 'pair', x, y: number.value * scale, up, absolute: isAbsolute, offset: pairFrom, end: at }
      up = false
      isAbsolute = false
      wanted = 'x'
    }
  }
}

const show = (b: number) => JSON.stringify(String.fromCharCode(b & 0x7f))

function behindDigits(bytes: Uint8Array, start: number): number {
  let at = start
  for (let b = byteAt(bytes, at); (b >= low && b <= 126) || (b !== -1 && isIdle(b)); b = byteAt(bytes, at)) at++
  return at
}

const faultOf = (error: 2 | 3, code: string, value: string, limit: string, offset: number): Encoded => ({
  kind: 'fault',
  fault: fault(error, code, value, limit),
  offset,
})
