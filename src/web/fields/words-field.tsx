import { useSignal } from '@preact/signals'
import { typedValue, type Value } from '../job-text.ts'
import { setJobField } from '../state.ts'
import { readingsOf, saysSame, valueOfReadings } from '../values.ts'
import { described, Frame } from './frame.tsx'
import { useProblems, useValue } from './said.ts'
import { type FieldProps, idOf } from './spec.ts'

/** Words, numbers and angles: one line as it is typed. */
export function WordsField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = useValue(at)
  const isList = spec.kind === 'lengths' || spec.kind === 'points'
  const read = (words: string): Value | undefined => {
    if (spec.kind === 'points') return pointsOf(words)
    if (isList) return listOf(words)
    if (spec.kind === 'text') return words.trim() === '' ? undefined : words
    return valueOfReadings([words])
  }
  const show = (v: unknown) => {
    const parts = isList && Array.isArray(v) ? v : readingsOf(v)
    return parts.map((part) => (Array.isArray(part) ? part.join(', ') : part)).join('; ')
  }
  const typed = useSignal(show(value))
  if (!saysSame(read(typed.peek()), value)) typed.value = show(value)
  const problems = useProblems(at, isList)
  return (
    <Frame at={at} spec={spec} {...(label ? { label } : {})} problems={problems}>
      <input
        id={id}
        value={typed.value}
        class={spec.kind === 'text' || isList ? 'wide' : ''}
        inputMode={spec.kind === 'number' ? 'decimal' : 'text'}
        autocomplete="off"
        spellcheck={false}
        required={!spec.optional && spec.standard === undefined && !isList}
        {...described(id, problems)}
        onInput={(event) => {
          typed.value = event.currentTarget.value
          setJobField(at, read(typed.value))
        }}
      />
    </Frame>
  )
}

/** Pairs of lengths, parted by ; with a comma within. */
function pointsOf(words: string): Value | undefined {
  const parts = words.split(';').filter((part) => part.trim() !== '')
  return parts.length > 0 ? parts.map((part) => part.split(',').map(typedValue)) : undefined
}

function listOf(words: string): Value | undefined {
  const parts = words.split(';').flatMap((part) => valueOfReadings([part]) ?? [])
  return parts.length > 0 ? parts : undefined
}
