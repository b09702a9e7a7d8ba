import { Field } from '../fields/field.tsx'
import { Doubts } from '../fields/frame.tsx'
import { useSaid } from '../fields/said.ts'
import { Sheets } from '../film/sheets.tsx'
import { Stocks } from '../film/stocks.tsx'
import { type Group, handling, jobGroups } from '../handling.ts'
import { goTo, isEmpty, jobWarnings } from '../state.ts'
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
        <LooseDoubts />
        {jobGroups.map((group) => (
          <FieldGroup key={group.title} group={group} />
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

const pathsOf = ({ fields }: Pick<Group, 'fields'>) => fields.map(({ at }) => at.join('.'))
/** Tables and fields of the job that are shown whole. */
const shownWhole: readonly unknown[] = ['stock', 'shelf', 'defaults']

/** What to look at again in the job, and has no field to stand at. */
function LooseDoubts() {
  const doubts = useSaid(() => {
    const fields = new Set(jobGroups.flatMap(pathsOf))
    return jobWarnings.value.filter(
      ({ object, path }) => object === undefined && !shownWhole.includes(path[0]) && !fields.has(path.join('.')),
    )
  })
  return <Doubts doubts={doubts} />
}

/** Fields of one subject, open where there is something to look at again. */
function FieldGroup({ group }: { readonly group: Group }) {
  const { title, fields, open = false } = group
  const isDoubted = useSaid(() => {
    const own = new Set(pathsOf(group))
    return jobWarnings.value.some(({ object, path }) => object === undefined && own.has(path.join('.')))
  })
  return (
    <details open={open || isDoubted}>
      <summary>{title}</summary>
      <div class="grid">
        {fields.map(({ at, spec, label }) => (
          <Field key={at.join()} at={at} spec={spec} label={label} />
        ))}
      </div>
    </details>
  )
}
