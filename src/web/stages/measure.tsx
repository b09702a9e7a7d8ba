import type { CatalogueEntry } from '../../job/preview-data.ts'
import { Drawing } from '../drawing.tsx'
import { Field } from '../fields/field.tsx'
import { Doubts, Problems } from '../fields/frame.tsx'
import { isMissing, useSaid } from '../fields/said.ts'
import type { FieldSpec } from '../fields/spec.ts'
import { handling, laying, unitSpec } from '../handling.ts'
import type { Key, Value } from '../job-text.ts'
import { setIn } from '../job-text.ts'
import {
  chosen,
  current,
  edit,
  entry,
  goTo,
  isEmpty,
  objectProblems,
  objectWarnings,
  shown,
  stale,
  text,
} from '../state.ts'
import { inWords } from '../values.ts'

/** The object's drawing with lettered arrows, beside the fields of the same letters. */
export function MeasureStage() {
  const shape = entry.value
  if (isEmpty.value) return <p>There is no object yet: pick a shape first.</p>
  if (!shape) return <p>This object has no shape known here. Open the file in an editor, or remove the object.</p>
  const focusLetter = (letter: string) => {
    const own = document.querySelector<HTMLElement>(`[data-letter="${letter}"] input, [data-letter="${letter}"] select`)
    own?.focus()
  }
  return (
    <div class="measure">
      <div class="look">
        <figure>
          <Drawing picture={shape.sketch} label={`Where to measure: ${shape.title}`} onLetter={focusLetter} />
        </figure>
        <MiniPanel />
      </div>
      <Form key={`${chosen.value} ${shape.id}`} shape={shape} />
    </div>
  )
}

/** The panel taking shape while measures are typed. */
function MiniPanel() {
  const panels = shown.value?.panels
  if (!panels || panels.length === 0) {
    return <p class="waiting">The panel is drawn here as soon as the measures are enough for it.</p>
  }
  const [first] = panels
  if (!first) return null
  return (
    <figure class={`mini ${stale.value ? 'stale' : ''}`}>
      <Drawing
        picture={first.picture}
        allowance={first.allowance}
        label={`${first.name}, ${first.width} by ${first.height} over all`}
      />
      <figcaption>
        {stale.value ? 'As it was before the last change. ' : ''}
        {panels.length > 1
          ? `${first.name}, the first of ${panels.length} panels`
          : `${first.width} × ${first.height} over all`}{' '}
        <button type="button" class="link" onClick={() => goTo('panel')}>
          Look closer
        </button>
      </figcaption>
    </figure>
  )
}

function Form({ shape }: { readonly shape: CatalogueEntry }) {
  const base: readonly Key[] = ['objects', chosen.value]
  const specs = Object.entries(shape.specs) as [string, FieldSpec][]
  const isMain = (spec: FieldSpec) =>
    spec.kind !== 'list'
      ? spec.letter !== undefined || spec.kind === 'choice' || (!spec.optional && spec.standard === undefined)
      : spec.fewest !== undefined
  const rest = specs.filter(([, { under }]) => under === undefined)
  const headings = [...new Set(specs.flatMap(([, { under }]) => under ?? []))]
  const main = rest.filter(([, spec]) => isMain(spec))
  const lists = rest.filter(([, spec]) => spec.kind === 'list' && !isMain(spec))
  const more = rest.filter(([, spec]) => spec.kind !== 'list' && !isMain(spec))
  return (
    <form class="fields" onSubmit={(event) => event.preventDefault()} aria-label="Measures">
      <p class="when">{shape.when}</p>
      <div class="grid three">
        <Field at={[...base, 'name']} spec={{ kind: 'text', help: 'on labels and files' }} />
        <Field at={[...base, 'copies']} spec={{ kind: 'number', standard: 1, help: 'how many alike' }} />
        <Field at={['unit']} spec={unitSpec} label="unit" />
      </div>
      <h3>With the tape</h3>
      <div class="grid">
        {main
          .filter(([, { kind }]) => kind !== 'list' && kind !== 'corners')
          .map(([key, spec]) => (
            <Field key={key} at={[...base, key]} spec={spec} />
          ))}
      </div>
      {main
        .filter(([, { kind }]) => kind === 'list' || kind === 'corners')
        .map(([key, spec]) => (
          <Field key={key} at={[...base, key]} spec={spec} />
        ))}
      <Example shape={shape} base={base} />
      <Loose shape={shape} />
      {headings.map((heading) => (
        <Fold key={heading} title={heading} base={base} fields={specs.filter(([, { under }]) => under === heading)} />
      ))}
      {more.length > 0 && <Fold title="Seams and the rest" base={base} fields={more} />}
      {lists.length > 0 && <Fold title="Openings and places" base={base} fields={lists} />}
      <Fold title="Allowance, hinge, ticks, slit" base={base} fields={Object.entries(handling(shape.edges))} />
      <Fold title="On the film" base={base} fields={Object.entries(laying)} />
      <div class="row">
        <button type="button" class="main" onClick={() => goTo('panel')}>
          On to the panel
        </button>
      </div>
    </form>
  )
}

/** What is wrong with the object but with no field of it, and what is doubtful. */
function Loose({ shape }: { readonly shape: CatalogueEntry }) {
  const fieldNames = () =>
    new Set([...Object.keys(shape.specs), ...Object.keys(handling([])), ...Object.keys(laying), 'name', 'copies'])
  const problems = useSaid(() => {
    const fields = fieldNames()
    return objectProblems.value.filter((p) => p.object !== undefined && !fields.has(String(p.path[0])) && !isMissing(p))
  })
  // those of the job have a field with the film, those of no field are shown here
  const warnings = useSaid(() =>
    objectWarnings.value.filter(({ object: own, path }) =>
      own === undefined ? path.length === 0 : !fieldNames().has(String(path[0])),
    ),
  )
  return (
    <>
      <Problems id="loose" problems={problems} />
      <Doubts doubts={warnings} />
    </>
  )
}

interface FoldProps {
  readonly title: string
  readonly base: readonly Key[]
  readonly fields: readonly (readonly [string, FieldSpec])[]
}

/** Fields that most objects do without; open where one of them is in use or in trouble. */
function Fold({ title, base, fields }: FoldProps) {
  const used = useSaid(() => fields.filter(([key]) => current.value?.values[key] !== undefined).length)
  const wrong = useSaid(() => {
    const keys = new Set<Key>(fields.map(([key]) => key))
    return objectProblems.value.some((p) => !isMissing(p) && keys.has(p.path[0] ?? ''))
  })
  return (
    <details open={wrong || used > 0}>
      <summary>
        {title}
        {used > 0 ? `: ${used} in use` : ''}
      </summary>
      <div class={fields.some(([, { kind }]) => kind === 'list') ? '' : 'grid'}>
        {fields.map(([key, spec]) => (
          <Field key={key} at={[...base, key]} spec={spec} label={spec.label ?? inWords(key)} />
        ))}
      </div>
    </details>
  )
}

/** Puts the worked example into an object that has no measures yet. */
function Example({ shape, base }: { readonly shape: CatalogueEntry; readonly base: readonly Key[] }) {
  const given = useSaid(() => Object.keys(shape.specs).some((key) => current.value?.values[key] !== undefined))
  if (given) return null
  const fill = () => {
    const filled = Object.entries(shape.example.measures).reduce(
      (own, [key, value]) => setIn(own, [...base, key], value as Value),
      text.value,
    )
    edit(filled)
  }
  return (
    <p class="example">
      New to it?{' '}
      <button type="button" class="link" onClick={fill}>
        Fill in an example
      </button>{' '}
      and change it.
    </p>
  )
}
