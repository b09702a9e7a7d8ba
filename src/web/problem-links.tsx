import type { PlacedProblem } from '../job/preview-data.ts'
import { problemWords } from './fields/said.ts'
import { goToField } from './go-to-field.ts'
import { removeIn } from './job-text.ts'
import { choose, edit, goTo, objects, raw, say, text } from './state.ts'
import { inWords, valueAt } from './values.ts'

/** The way to a field in words: `lidded pail, opening 2, width`. */
function wayTo({ object, path }: PlacedProblem): string {
  const owner = object === undefined ? '' : objects.value[object]?.name || `object ${object + 1}`
  const keys = path.map((key) => (typeof key === 'number' ? ` ${key + 1}` : `, ${inWords(key)}`)).join('')
  return `${owner}${keys}`.replace(/^, /, '') || 'The job'
}

/** What stands in the way, each with the way to its field. */
export function ProblemLinks({ problems }: { readonly problems: readonly PlacedProblem[] }) {
  if (problems.length === 0) return null
  const show = ({ object, path, text: told }: PlacedProblem) => {
    if (object !== undefined) choose(object)
    goTo(object === undefined ? 'film' : 'measure')
    const base = object === undefined ? [] : ['objects', object]
    requestAnimationFrame(() =>
      requestAnimationFrame(() => {
        // where there is no field of its own, the one that it is a part of
        const ways = path.map((_, i) => [...base, ...path.slice(0, path.length - i)])
        if (!ways.some(goToField)) say(`No field of this page holds it. ${told}`)
      }),
    )
  }
  return (
    <ul class="to-do">
      {problems.map((p) => (
        <li key={`${p.object} ${p.path.join()} ${p.text}`}>
          <button type="button" class="link" onClick={() => show(p)}>
            {wayTo(p)}
          </button>{' '}
          {problemWords(p)} <TakeOut problem={p} />
        </li>
      ))}
    </ul>
  )
}

/** What stands in the job and has no field on the page, so that nobody is stuck with it: keys that mean nothing, and pins. */
function TakeOut({ problem: { code, object, path } }: { readonly problem: PlacedProblem }) {
  const isPin = code.startsWith('pinned_')
  if (!isPin && code !== 'unknown_key') return null
  const at = [...(object === undefined ? [] : ['objects', object]), ...path]
  if (valueAt(raw.value, at) === undefined) return null
  return (
    <button type="button" class="quiet" onClick={() => edit(removeIn(text.value, at))}>
      {isPin ? 'Let its pieces find their own places' : 'Take it out of the job'}
    </button>
  )
}
