/** Letters of the sequences ESC . X that may have parameters: HP 07470-90001, page 10-23. */
const withParameters = '@HIMNPT'
const esc = 0x1b
const dot = 0x2e
const colon = 0x3a

/** What a plotter's line takes out of the bytes that come in. */
export type Incoming =
  | { readonly kind: 'byte'; readonly byte: number }
  /** a sequence ESC . X with its parameters; an empty place is undefined */
  | { readonly kind: 'control'; readonly letter: string; readonly parameters: readonly (number | undefined)[] }
  /** a byte that may not follow in a sequence, as error 11 or 12 */
  | { readonly kind: 'bad'; readonly error: 11 | 12 }

/** Where the line is inside a sequence; the text of it so far. */
export type Within = string

/** One byte more. Sequences act at once, and all other bytes are for the buffer. */
export function incoming(within: Within, byte: number): { readonly within: Within; readonly found?: Incoming } {
  const text = String.fromCharCode(byte)
  if (within === '') return byte === esc ? { within: text } : { within, found: { kind: 'byte', byte } }
  if (within.length === 1) return byte === dot ? { within: within + text } : bad(11)
  if (within.length === 2) {
    if (withParameters.includes(text)) return { within: within + text }
    return /[ABEJKLOQRSUYZ()]/.test(text)
      ? { within: '', found: { kind: 'control', letter: text, parameters: [] } }
      : bad(11)
  }
  if (byte !== colon) return /[\d;]/.test(text) ? { within: within + text } : bad(12)
  const list = within.slice(3)
  const parameters = list === '' ? [] : list.split(';').map((each) => (each === '' ? undefined : Number(each)))
  return { within: '', found: { kind: 'control', letter: within.charAt(2), parameters } }
}

const bad = (error: 11 | 12) => ({ within: '', found: { kind: 'bad' as const, error } })
