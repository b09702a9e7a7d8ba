import { useSignal } from '@preact/signals'
import { raw, setJobField } from '../state.ts'
import { inWords, valueAt } from '../values.ts'
import { Doubts, helpOf, Problems } from './frame.tsx'
import { LengthField } from './length-field.tsx'
import { useDoubts, useProblems, useSaid } from './said.ts'
import { type FieldProps, type FieldSpec, idOf } from './spec.ts'

const cornerNames = ['bottomLeft', 'bottomRight', 'topRight', 'topLeft']

/** One length for all parts, or one for each by name. */
export function PartsField({ at, spec, label }: FieldProps) {
  const each = useSaid(() => {
    const value = valueAt(raw.value, at)
    return typeof value === 'object' && value !== null && !Array.isArray(value)
  })
  const problems = useProblems(at)
  const doubts = useDoubts(at)
  const open = useSignal(each)
  const parts = spec.parts ?? cornerNames
  const own: FieldSpec = { ...spec, kind: 'length', optional: true }
  const name = label ?? inWords(String(at.at(-1)))
  if (!open.value && !each) {
    return (
      <div>
        <LengthField at={at} spec={own} {...(label ? { label } : {})} />
        <button
          type="button"
          class="quiet apart"
          onClick={() => (open.value = true)}
        >{`Each ${spec.parts ? 'edge' : 'corner'} apart`}</button>
      </div>
    )
  }
  const one = () => {
    setJobField(at, undefined)
    open.value = false
  }
  const { letter: _, ...plain } = own
  return (
    <fieldset class="parts" data-letter={spec.letter}>
      <legend>
        {spec.letter && (
          <span class="badge" aria-hidden="true">
            {spec.letter}
          </span>
        )}
        {name}
      </legend>
      <p class="help">{helpOf(spec)}</p>
      <div class="grid">
        {parts.map((part) => (
          <LengthField key={part} at={[...at, part]} spec={{ ...plain, help: '' }} />
        ))}
      </div>
      <button type="button" class="quiet apart" onClick={one}>
        One for all
      </button>
      <Problems id={idOf(at)} problems={problems} />
      <Doubts doubts={doubts} />
    </fieldset>
  )
}
