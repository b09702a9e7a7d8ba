/** Texts of a job one after the other, for undo and redo. */
export interface History {
  readonly past: readonly string[]
  readonly now: string
  readonly future: readonly string[]
  /** what the last change was made to, and when, ms */
  readonly last: { readonly place: string; readonly at: number } | undefined
}

const most = 200
/** Typing in one field is one step until it rests for this long, ms. */
const rest = 1200

export const begin = (now: string): History => ({ past: [], now, future: [], last: undefined })

/** The history with another text; changes of one place that follow each other fast are one step. */
export function change(history: History, now: string, place: string, at: number): History {
  if (now === history.now) return history
  const goesOn = history.last?.place === place && at - history.last.at < rest && history.future.length === 0
  const past = goesOn ? history.past : [...history.past, history.now].slice(-most)
  return { past, now, future: [], last: { place, at } }
}

export function undo(history: History): History {
  const before = history.past.at(-1)
  if (before === undefined) return history
  return { past: history.past.slice(0, -1), now: before, future: [history.now, ...history.future], last: undefined }
}

export function redo(history: History): History {
  const [after, ...future] = history.future
  if (after === undefined) return history
  return { past: [...history.past, history.now], now: after, future, last: undefined }
}
