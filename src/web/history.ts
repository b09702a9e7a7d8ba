/** A text of a job, and which of the files that were opened it belongs to, by its number. */
export interface Step {
  readonly text: string
  readonly file: number
}

/** A file that a job was opened from or saved to; one without a name was not saved yet. */
export interface JobFile {
  readonly name: string | undefined
  /** the job as it was last opened or saved */
  readonly savedText: string
}

/** Steps of work one after the other, for undo and redo. */
export interface History {
  readonly past: readonly Step[]
  readonly now: Step
  readonly future: readonly Step[]
  /** what the last change was made to, and when, ms */
  readonly last: { readonly place: string | undefined; readonly at: number } | undefined
}

const most = 200
/** Typing in one field is one step until it rests for this long, ms. */
const rest = 1200

export const begin = (now: Step): History => ({ past: [], now, future: [], last: undefined })

/** The history with another text; changes of one place that follow each other fast are one step, where it has a name. */
export function change(history: History, text: string, place: string | undefined, at: number): History {
  const { past, now, future, last } = history
  if (text === now.text) return history
  const goesOn = place !== undefined && last?.place === place && at - last.at < rest && future.length === 0
  return { past: goesOn ? past : after(history), now: { ...now, text }, future: [], last: { place, at } }
}

/** The history with another job, as a step that undo goes back on too. */
export const turnTo = (history: History, now: Step): History => ({
  past: after(history),
  now,
  future: [],
  last: undefined,
})

const after = ({ past, now }: History): readonly Step[] => [...past, now].slice(-most)

export function undo(history: History): History {
  const before = history.past.at(-1)
  if (before === undefined) return history
  return { past: history.past.slice(0, -1), now: before, future: [history.now, ...history.future], last: undefined }
}

export function redo(history: History): History {
  const [next, ...future] = history.future
  if (next === undefined) return history
  return { past: [...history.past, history.now], now: next, future, last: undefined }
}
