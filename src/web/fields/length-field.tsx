import { useSignal } from '@preact/signals'
import { setJobField, unit } from '../state.ts'
import { inWords, readingsOf, saysSame, valueOfReadings } from '../values.ts'
import { described, Frame } from './frame.tsx'
import { useProblems, useValue } from './said.ts'
import { type FieldProps, idOf } from './spec.ts'

/** Is it a number without a unit, such as `95`, `9,5` or `7 3/32`? */
const isBare = (words: string) => /^\s*-?[\d.,]+([ -]\d+)?(\/\d+)?\s*$/.test(words)

/** One length, or several readings of it. */
export function LengthField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = useValue(at)
  const typed = useSignal(readingsOf(value))
  // what is typed stays as it is while it means what stands in the file
  if (!saysSame(valueOfReadings(typed.peek()), value)) typed.value = readingsOf(value)
  const problems = useProblems(at)
  const put = (i: number, words: string) => {
    typed.value = typed.value.map((old, k) => (k === i ? words : old))
    setJobField(at, valueOfReadings(typed.value))
  }
  const drop = (i: number) => {
    typed.value = typed.value.filter((_, k) => k !== i)
    setJobField(at, valueOfReadings(typed.value))
    document.getElementById(id)?.focus()
  }
  const name = label ?? inWords(String(at.at(-1)))
  const more = () => {
    typed.value = [...typed.value, '']
    const next = `${id}-${typed.value.length - 1}`
    requestAnimationFrame(() => document.getElementById(next)?.focus())
  }
  return (
    <Frame at={at} spec={spec} {...(label ? { label } : {})} problems={problems}>
      <div class="readings">
        {typed.value.map((words, i) => (
          <div class="reading" key={i}>
            <input
              id={i === 0 ? id : `${id}-${i}`}
              value={words}
              inputMode="text"
              autocomplete="off"
              autocapitalize="off"
              spellcheck={false}
              required={!spec.optional && spec.standard === undefined}
              {...(i > 0 ? { 'aria-label': `${name}, reading ${i + 1}` } : {})}
              {...described(id, problems)}
              onInput={(event) => put(i, event.currentTarget.value)}
            />
            {isBare(words) && (
              <span class="unit" aria-hidden="true">
                {unit.value}
              </span>
            )}
            {i > 0 && (
              <button
                type="button"
                class="quiet drop"
                aria-label={`Remove reading ${i + 1} of ${name}`}
                onClick={() => drop(i)}
              >
                ×
              </button>
            )}
          </div>
        ))}
        {!spec.single && typed.value[0] !== '' && typed.value.length < 9 && (
          <button type="button" class="quiet" onClick={more} aria-label={`One more reading of ${name}`}>
            + reading
          </button>
        )}
      </div>
    </Frame>
  )
}
