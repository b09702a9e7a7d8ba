export const esc = 0x1b
export const quote = 0x22
export const percent = 0x25
export const plus = 0x2b
export const comma = 0x2c
export const minus = 0x2d
export const dot = 0x2e
export const colon = 0x3a
export const semicolon = 0x3b
export const lineFeed = 0x0a
export const carriageReturn = 0x0d

export const isDigit = (b: number): boolean => b >= 0x30 && b <= 0x39
export const isUpper = (b: number): boolean => b >= 0x41 && b <= 0x5a
export const isLetter = (b: number): boolean => isUpper(b & 0xdf)
/** Spaces and control characters, which stand for nothing between and inside commands. */
export const isBlank = (b: number): boolean => (b >= 0 && b <= 0x20 && b !== esc) || b === 0x7f

/** -1 past the end */
export const byteAt = (bytes: Uint8Array, at: number): number => bytes[at] ?? -1

/** One byte a character, as on a serial line; a character past 255 becomes 255, which no command has. */
export function bytesOf(text: string): Uint8Array {
  // Are all characters ASCII, and so the same in UTF-8?
  const encoded = new TextEncoder().encode(text)
  if (encoded.length === text.length) return encoded
  const bytes = new Uint8Array(text.length)
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    bytes[i] = Math.min(code, 255)
  }
  return bytes
}

/** A few characters from `offset` on, as JSON text, so that control characters can be seen. */
export function shown(bytes: Uint8Array, offset: number): string {
  return JSON.stringify(String.fromCharCode(...bytes.subarray(offset, offset + 12)))
}
