import { append, removeAt } from '../job-text.ts'
import { once } from '../once.ts'
import { edit, raw, text } from '../state.ts'
import { inWords, valueAt } from '../values.ts'
import { Field } from './field.tsx'
import { Doubts, helpOf, Problems } from './frame.tsx'
import { useDoubts, useProblems, useSaid } from './said.ts'
import { type FieldProps, idOf } from './spec.ts'

/** Any number of things of the same fields. */
export function ListField({ at, spec, label }: FieldProps) {
  const rows = useSaid(() => {
    const value = valueAt(raw.value, at)
    return Array.isArray(value) ? value.length : 0
  })
  const problems = useProblems(at)
  const doubts = useDoubts(at)
  const name = label ?? inWords(String(at.at(-1)))
  const one = name.replace(/s$/, '')
  const add = () => {
    edit(append(text.value, at, {}))
    const first = idOf([...at, rows, Object.keys(spec.item ?? {})[0] ?? ''])
    requestAnimationFrame(() => document.getElementById(first)?.focus())
  }
  return (
    <fieldset class="list">
      <legend>{name}</legend>
      <p class="help">{helpOf(spec)}</p>
      <Problems id={idOf(at)} problems={problems} />
      <Doubts doubts={doubts} />
      {Array.from({ length: rows }, (_, i) => (
        <Item key={i} at={[...at, i]} spec={spec} name={`${one} ${i + 1}`} />
      ))}
      <button type="button" onClick={add}>
        + {one}
      </button>
    </fieldset>
  )
}

/** One of a list's things. */
function Item({ at, spec, name }: FieldProps & { readonly name: string }) {
  const problems = useProblems(at)
  const doubts = useDoubts(at)
  const [list, index] = [at.slice(0, -1), Number(at.at(-1))]
  return (
    <fieldset class="item">
      <legend>{name}</legend>
      <div class="grid">
        {Object.entries(spec.item ?? {}).map(([key, own]) => (
          <Field key={key} at={[...at, key]} spec={own} />
        ))}
      </div>
      <Problems id={idOf(at)} problems={problems} />
      <Doubts doubts={doubts} />
      <button type="button" class="quiet" onClick={once(() => edit(removeAt(text.value, list, index)))}>
        Remove {name}
      </button>
    </fieldset>
  )
}
