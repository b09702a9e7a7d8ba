import { Field } from '../fields/field.tsx'
import { Sheets } from '../film/sheets.tsx'
import { Stocks } from '../film/stocks.tsx'
import { handling, jobGroups } from '../handling.ts'
import { goTo, isEmpty } from '../state.ts'
import { inWords } from '../values.ts'

const edges = ['bottom', 'right', 'top', 'left']

/** Where the panels lie on the film, and what film and cutter there are. */
export function FilmStage() {
  if (isEmpty.value) return <p>There is no object yet: pick a shape first.</p>
  return (
    <div class="film">
      <Sheets />
      <form class="fields" onSubmit={(event) => event.preventDefault()} aria-label="Film and cutter">
        <Stocks />
        {jobGroups.map(({ title, fields, open }) => (
          <details key={title} open={open ?? false}>
            <summary>{title}</summary>
            <div class="grid">
              {fields.map(({ at, spec, label }) => (
                <Field key={at.join()} at={at} spec={spec} label={label} />
              ))}
            </div>
          </details>
        ))}
        <details>
          <summary>Handling of all panels</summary>
          <p class="help">Where an object says nothing of its own.</p>
          {Object.entries(handling(edges)).map(([key, spec]) => (
            <Field key={key} at={['defaults', key]} spec={spec} label={spec.label ?? inWords(key)} />
          ))}
        </details>
        <div class="row">
          <button type="button" class="main" onClick={() => goTo('files')}>
            On to the files
          </button>
        </div>
      </form>
    </div>
  )
}
