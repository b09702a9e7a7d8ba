/**
 * The known word that `word` was most likely meant to be, or undefined when none is near: at most two of five
 * letters added, left out, replaced or changed over with the next. Case does not count; of equals the first is taken.
 */
export function nearestWord(word: string, known: readonly string[]): string | undefined {
  let best: string | undefined
  let least = Number.POSITIVE_INFINITY
  for (const candidate of known) {
    const limit = Math.floor(0.4 * Math.max(word.length, candidate.length))
    if (Math.abs(word.length - candidate.length) > limit) continue
    const edits = editDistance(word.toLowerCase(), candidate.toLowerCase())
    if (edits <= limit && edits < least) {
      best = candidate
      least = edits
    }
  }
  return best
}

/** Optimal string alignment distance, row by row: R. Wagner and M. Fischer (1974), with F. Damerau's swap (1964). */
function editDistance(a: string, b: string): number {
  let beforeLast: readonly number[] = []
  let last: readonly number[] = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1]
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]
      row.push(
        Math.min(
          at(last, j) + 1,
          at(row, j - 1) + 1,
          at(last, j - 1) + (same ? 0 : 1),
          swapped ? at(beforeLast, j - 2) + 1 : Number.POSITIVE_INFINITY,
        ),
      )
    }
    beforeLast = last
    last = row
  }
  return at(last, b.length)
}

const at = (row: readonly number[], index: number): number => row[index] ?? Number.POSITIVE_INFINITY
