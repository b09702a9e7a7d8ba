import { setJobField } from '../state.ts'
import { inWords } from '../values.ts'
import { Doubts, described, helpOf, Problems } from './frame.tsx'
import { useDoubts, useProblems, useValue } from './said.ts'
import { type FieldProps, idOf } from './spec.ts'

/** Yes or no. */
export function SwitchField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = useValue(at) ?? spec.standard
  const problems = useProblems(at)
  const doubts = useDoubts(at)
  return (
    <div class="field switch">
      <div class="label">
        <input
          id={id}
          type="checkbox"
          checked={value === true}
          {...described(id, problems)}
          onChange={(event) => {
            const now = event.currentTarget.checked
            setJobField(at, now === spec.standard ? undefined : now)
          }}
        />
        <label for={id}>{label ?? inWords(String(at.at(-1)))}</label>
      </div>
      <p class="help" id={`${id}-help`}>
        {helpOf(spec)}
      </p>
      <Problems id={id} problems={problems} />
      <Doubts doubts={doubts} />
    </div>
  )
}
