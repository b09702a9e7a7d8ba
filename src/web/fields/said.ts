import { computed } from '@preact/signals'
import { useMemo } from 'preact/hooks'
import type { PlacedProblem, PlacedWarning } from '../../job/preview-data.ts'
import type { Key } from '../job-text.ts'
import { jobProblems, jobWarnings, objectProblems, objectWarnings, raw } from '../state.ts'
import { plainNames, valueAt } from '../values.ts'

/**
 * Plain data worked out of signals, always by the same rule. An equal answer draws nothing anew, so that a key press
 * redraws the fields that it changes and no others.
 */
export function useSaid<T>(work: () => T): T {
  const said = useMemo(() => computed(() => JSON.stringify(work())), [])
  const now = said.value
  return useMemo(() => (now === undefined ? undefined : JSON.parse(now)) as T, [now])
}

/** What stands in the job at a field. */
export const useValue = (at: readonly Key[]): unknown => useSaid(() => valueAt(raw.value, at))

/** What of all that is said is about a field, or about what is inside it where `inside` is set; each once. */
function saidAt<T extends PlacedWarning>(all: readonly T[], at: readonly Key[], inside: boolean): T[] {
  const ofObject = at[0] === 'objects'
  const path = ofObject ? at.slice(2) : at
  const here = (p: PlacedWarning) =>
    (p.object !== undefined) === ofObject &&
    path.every((key, i) => p.path[i] === key) &&
    (inside || p.path.length === path.length)
  const seen = new Set<string>()
  return all.filter((p) => here(p) && !seen.has(p.text) && seen.add(p.text))
}

/** What is wrong with a field. */
const problemsAt = (at: readonly Key[], inside = false): PlacedProblem[] =>
  saidAt(at[0] === 'objects' ? objectProblems.value : [...jobProblems.value, ...objectProblems.value], at, inside)

/** Is it only that something is still to come? That is told calmly. */
export const isMissing = ({ code }: PlacedProblem) => code === 'missing'

/** Problems of a field; of what is inside it too where `inside` is set. */
export const useProblems = (at: readonly Key[], inside = false) => useSaid(() => problemsAt(at, inside))

/** What to look at again at a field, or inside it. */
export const useDoubts = (at: readonly Key[], inside = false) =>
  useSaid(() =>
    saidAt(at[0] === 'objects' ? objectWarnings.value : [...jobWarnings.value, ...objectWarnings.value], at, inside),
  )

/** What is wrong, with fields named as the page names them. */
export const problemWords = ({ text }: PlacedProblem): string =>
  plainNames(text).replace('(tile in the layout table)', '(part what is too big)')
