/** What the standard PDF fonts can show beyond Latin-1 (PDF 32000-1, annex D.2, WinAnsiEncoding). */
const extras = new Set('€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ')

/** Near forms of signs that turn up in measurements. */
const near: ReadonlyMap<string, string> = new Map([
  ['−', '-'],
  ['‐', '-'],
  ['‑', '-'],
  ['⌀', 'Ø'],
  ['∅', 'Ø'],
  ['′', "'"],
  ['″', '"'],
  ['≤', '<='],
  ['≥', '>='],
  ['≈', '~'],
  ['→', '->'],
  ['∙', '·'],
])

function shown(character: string): string {
  const code = character.codePointAt(0) ?? 0
  if ((code >= 0x20 && code <= 0x7e) || (code >= 0xa1 && code <= 0xff) || extras.has(character)) return character
  if (/^\p{C}$|^\s$/u.test(character)) return ' '
  return near.get(character) ?? '?'
}

/** The text in characters the standard PDF fonts have: near forms where there are some, else `?`. */
export function latin(text: string): string {
  return [...text.normalize('NFC')].map(shown).join('')
}
