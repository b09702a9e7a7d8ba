import type { PlacedProblem } from '../job/preview-data.ts'
import { problemWords } from './fields/said.ts'
import { idOf } from './fields/spec.ts'
import { choose, goTo, objects } from './state.ts'
import { inWords } from './values.ts'

/** The way to a field in words: `lidded pail, opening 2, width`. */
function wayTo({ object, path }: PlacedProblem): string {
  const owner = object === undefined ? '' : objects.value[object]?.name || `object ${object + 1}`
  const keys = path.map((key) => (typeof key === 'number' ? ` ${key + 1}` : `, ${inWords(key)}`)).join('')
  return `${owner}${keys}`.replace(/^, /, '') || 'The job'
}

/** What stands in the way, each with the way to its field. */
export function ProblemLinks({ problems }: { readonly problems: readonly PlacedProblem[] }) {
  if (problems.length === 0) return null
  const show = ({ object, path }: PlacedProblem) => {
    if (object !== undefined) choose(object)
    goTo(object === undefined ? 'film' : 'measure')
    const base = object === undefined ? [] : ['objects', object]
    requestAnimationFrame(() =>
      requestAnimationFrame(() => {
        const own = document.getElementById(idOf([...base, ...path]))
        own?.closest('details')?.setAttribute('open', '')
        own?.focus()
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
          {problemWords(p)}
        </li>
      ))}
    </ul>
  )
}
