/** What decides between two layouts of the same pieces. */
export interface Judged {
  /** does every piece have its place? */
  readonly isWhole: boolean
  /** new film that is paid for, mm^2 */
  readonly paid: number
  /** how many sheets are cut */
  readonly sheets: number
}

/** Less film than this is no difference, mm^2. */
const least = 1

/** Which of two layouts is better: negative where `a` is. One that lays everything, then less new film, then fewer sheets. */
export function compareLayouts(a: Judged, b: Judged): number {
  if (a.isWhole !== b.isWhole) return a.isWhole ? -1 : 1
  const film = a.paid - b.paid
  return Math.abs(film) > least ? film : a.sheets - b.sheets
}
