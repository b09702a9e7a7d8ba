import { setJobField } from '../state.ts'
import { described, Frame } from './frame.tsx'
import { useProblems, useValue } from './said.ts'
import { type FieldProps, idOf } from './spec.ts'

/** One of a few words; where the job itself settles what is usual, that can be left to it. */
export function ChoiceField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = useValue(at)
  const problems = useProblems(at)
  const options = spec.options ?? []
  const usual = String(spec.standard ?? '')
  const known = value === undefined || options.includes(String(value))
  return (
    <Frame at={at} spec={spec} {...(label ? { label } : {})} problems={problems}>
      <select
        id={id}
        value={value === undefined ? usual : String(value)}
        {...described(id, problems)}
        onChange={(event) => {
          const now = event.currentTarget.value
          setJobField(at, now === usual && !spec.kept ? undefined : now)
        }}
      >
        {usual === '' && <option value="">as usual</option>}
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
