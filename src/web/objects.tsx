import { useSaid } from './fields/said.ts'
import { duplicateObject, freeName, move, removeAt } from './job-text.ts'
import { once } from './once.ts'
import { choose, chosen, edit, goTo, isEmpty, job, objects, say, stage, text } from './state.ts'

/** The objects of the job, and what can be done with the one at hand. */
export function Objects() {
  const all = useSaid(() => objects.value.map(({ name, copies }) => ({ name, copies })))
  const wrong = useSaid(() => (job.value?.problems ?? []).map((p) => p.object))
  const index = chosen.value
  const name = all[index]?.name
  const remove = () => {
    edit(removeAt(text.value, ['objects'], index))
    choose(Math.max(0, index - 1))
    if (isEmpty.value) goTo('shape')
    say(`${name} is removed. Undo brings it back.`)
  }
  const twice = () => {
    edit(duplicateObject(text.value, index, freeName(text.value, name || 'object')))
    choose(index + 1)
  }
  const shift = (by: number) => {
    edit(move(text.value, ['objects'], index, index + by))
    choose(index + by)
  }
  const handled = stage.value === 'measure' || stage.value === 'panel'
  return (
    <section class="objects" aria-label="Objects of this job">
      <ul>
        {all.map((object, i) => (
          <li key={`${i} ${object.name}`}>
            <button
              type="button"
              aria-pressed={i === index && handled}
              onClick={() => {
                choose(i)
                if (!handled) goTo('measure')
              }}
            >
              {object.name || 'no name'}
              {object.copies > 1 && <span class="soft"> × {object.copies}</span>}
              {wrong.includes(i) && <span class="flag"> to do</span>}
            </button>
          </li>
        ))}
        <li>
          <button type="button" class="quiet" onClick={() => goTo('shape')}>
            + object
          </button>
        </li>
      </ul>
      {handled && (
        <fieldset class="plain row small" aria-label={`With ${name ?? 'the object'}`}>
          <button type="button" class="quiet" onClick={once(twice)}>
            Duplicate
          </button>
          {all.length > 1 && (
            <button type="button" class="quiet" disabled={index === 0} onClick={() => shift(-1)}>
              Earlier
            </button>
          )}
          {all.length > 1 && (
            <button type="button" class="quiet" disabled={index === all.length - 1} onClick={() => shift(1)}>
              Later
            </button>
          )}
          <button type="button" class="quiet" onClick={once(remove)}>
            Remove
          </button>
        </fieldset>
      )}
    </section>
  )
}
