import { pickFiles } from '../files.ts'
import { keepForLater } from '../keep.ts'
import { giveFile, setJobField } from '../state.ts'
import { described, Frame } from './frame.tsx'
import { useProblems, useValue } from './said.ts'
import { type FieldProps, idOf } from './spec.ts'

/** A file of the person's own, by its name; the browser keeps its bytes. */
export function FileField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = useValue(at)
  const problems = useProblems(at)
  const pick = async () => {
    const [file] = await pickFiles(spec.accept ?? '.ttf,.otf,.woff')
    if (!file) return
    const bytes = new Uint8Array(await file.arrayBuffer())
    const given = typeof value === 'string' && value.split('/').at(-1) === file.name ? value : file.name
    await keepForLater(given, bytes)
    setJobField(at, given)
    await giveFile(given, bytes)
  }
  return (
    <Frame at={at} spec={spec} {...(label ? { label } : {})} problems={problems}>
      <div class="readings">
        <input
          id={id}
          class="wide"
          value={typeof value === 'string' ? value : ''}
          autocomplete="off"
          spellcheck={false}
          required={!spec.optional}
          {...described(id, problems)}
          onInput={(event) => setJobField(at, event.currentTarget.value || undefined)}
        />
        <button type="button" onClick={() => void pick()}>
          Choose file
        </button>
      </div>
    </Frame>
  )
}
