/**
 * The text with one form for each mark: ' and " for primes and curly quotes, - for every dash, 1/2 for ½,
 * single blanks, lower case. A fraction character is set off by blanks, so that 3½ becomes 3 1/2; one after a
 * dash stays on it.
 */
export function plainMarks(text: string): string {
  return text
    .replace(/[\u00bc-\u00be\u2150-\u215e\u2189]/g, (c) => ` ${c.normalize('NFKC')} `)
    .replace(/[\u2044\u2215]/g, '/')
    .replace(/[\u2032\u2018\u2019\u201b\u02b9\u02bc\u00b4`]/g, "'")
    .replace(/[\u2033\u201c-\u201f\u02ba]|''/g, '"')
    .replace(/[\u2010-\u2015\u2212]/g, '-')
    .replace(/\s+/g, ' ')
    .replace(/- (\d+\/)/g, '-$1')
    .trim()
    .toLowerCase()
}
