/** Advance widths of Helvetica in thousandths of the size, by kind of character (Adobe's Helvetica metrics, rounded up). */
const kinds: readonly (readonly [RegExp, number])[] = [
  [/^[ijl'|]$/, 270],
  [/^[ ft.,:;/()!I[\]\\·r-]$/, 340],
  [/^[0-9a-z°"?_#$*]$/, 570],
  [/^[mMW@%—…]$/, 1020],
]

/** Width of a capital, which any other character is taken to have. */
const other = 780

const known = new Map<string, number>()

/** Advance width of one character, thousandths of the size. */
function advance(character: string): number {
  const seen = known.get(character)
  if (seen !== undefined) return seen
  const width = kinds.find(([pattern]) => pattern.test(character))?.[1] ?? other
  known.set(character, width)
  return width
}

/** About how wide `text` runs in a plain sans-serif of `size` mm, mm; rather too wide than too narrow. */
export function textWidth(text: string, size: number): number {
  let sum = 0
  for (const character of text) sum += advance(character)
  return (sum / 1000) * size
}

/** The text in lines of at most `width` mm, a longer word on a line of its own. */
export function wrappedText(text: string, width: number, size: number): string[] {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const last = lines.at(-1)
    const longer = last === undefined ? word : `${last} ${word}`
    if (last !== undefined && textWidth(longer, size) <= width) lines[lines.length - 1] = longer
    else lines.push(word)
  }
  return lines
}
