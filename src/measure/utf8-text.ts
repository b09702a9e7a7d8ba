/**
 * The text in bytes that are UTF-8, without a byte-order mark; else the first line, from 1, that is not. A file in an
 * older encoding would otherwise be read with wrong letters in its names.
 */
export function utf8Text(bytes: Uint8Array): { readonly text: string } | { readonly line: number } {
  const whole = decoded(bytes)
  if (whole !== undefined) return { text: whole }
  let line = 1
  // A byte of a line end is part of no other character.
  for (let from = 0; ; line++) {
    const end = bytes.indexOf(lineEnd, from)
    if (end < 0 || decoded(bytes.subarray(from, end)) === undefined) return { line }
    from = end + 1
  }
}

const lineEnd = 0x0a

function decoded(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return undefined
  }
}

/** Why such a file is refused, after its name: what, where, and what to do. */
export const notUtf8 = (line: number): string =>
  `is not UTF-8 text (line ${line} has a letter in another encoding), and would be read with wrong letters. Save it as UTF-8 in your editor`
