import { setJobField } from '../state.ts'
import { described, Frame } from './frame.tsx'
import { useProblems, useValue } from './said.ts'
import { type FieldProps, idOf } from './spec.ts'

/** One of a few words. */
export function ChoiceField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = useValue(at)
  const problems = useProblems(at)
  const options = spec.options ?? []
  const known = value === undefined || options.includes(String(value))
  return (
    <Frame at={at} spec={spec} {...(label ? { label } : {})} problems={problems}>
      <select
        id={id}
        value={value === undefined ? String(spec.standard) : String(value)}
        {...described(id, problems)}
        onChange={(event) => {
          const now = event.currentTarget.value
          setJobField(at, now === String(spec.standard) ? undefined : now)
        }}
      >
        {!known && <option value={String(value)}>{String(value)}</option>}
        {options.map((option) => (
          <option key={option} value={option}>
            {option}
          </option>
        ))}
      </select>
    </Frame>
  )
}
