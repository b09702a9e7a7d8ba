import type { ComponentChildren } from 'preact'
import type { PlacedProblem, PlacedWarning } from '../../job/preview-data.ts'
import type { Key } from '../job-text.ts'
import { lit, object, setJobField } from '../state.ts'
import { inWords, plainNames } from '../values.ts'
import { isMissing, problemWords, useDoubts, useSaid } from './said.ts'
import { type FieldProps, type FieldSpec, idOf } from './spec.ts'

/** What to measure; fields that it names are named as their labels are. */
export const helpOf = ({ help }: FieldSpec): string => plainNames(help)

interface FrameProps extends FieldProps {
  readonly problems: readonly PlacedProblem[]
  readonly children: ComponentChildren
}

/** Label, what to measure, the field itself, and what is wrong with it or to be looked at again. */
export function Frame({ at, spec, label, problems, children }: FrameProps) {
  const id = idOf(at)
  const { letter } = spec
  const wrong = problems.some((p) => !isMissing(p))
  const doubts = useDoubts(at, spec.kind === 'lengths' || spec.kind === 'points')
  const aside = useSaid(() => {
    const own = object.value
    return own && isOfObject(at) && own.index === at[1] ? own.asides?.[String(at[2])] : undefined
  })
  const point = letter
    ? {
        onPointerEnter: () => (lit.value = letter),
        onPointerLeave: () => (lit.value = undefined),
        onFocusCapture: () => (lit.value = letter),
        onBlurCapture: () => (lit.value = undefined),
      }
    : {}
  const isLit = useSaid(() => letter !== undefined && lit.value === letter)
  return (
    <div class={`field ${wrong ? 'wrong' : ''} ${isLit ? 'lit' : ''}`} data-letter={letter} {...point}>
      <div class="label">
        {letter && (
          <span class="badge" aria-hidden="true">
            {letter}
          </span>
        )}
        <label for={id}>{label ?? inWords(String(at.at(-1)))}</label>
        <span class="need">{problems.some(isMissing) ? 'needed' : needOf(spec)}</span>
      </div>
      {children}
      <Problems id={id} problems={problems} />
      <Doubts doubts={doubts} />
      {aside && <p class="aside">{aside}</p>}
      <p class="help" id={`${id}-help`}>
        {helpOf(spec)}
      </p>
    </div>
  )
}

export function Problems({ id, problems }: { readonly id: string; readonly problems: readonly PlacedProblem[] }) {
  return (
    <div id={`${id}-wrong`} class="problems">
      {problems.map((p) => (
        <p key={p.text} class={isMissing(p) ? 'missing' : 'refusal'}>
          {isMissing(p) ? problemWords(p).replace(/^Not given: /, 'Still to come: ') : problemWords(p)}
          {p.code === 'fraction_unit' && <ReadAs unit="in" />}
        </p>
      ))}
    </div>
  )
}

/** What to look at again, though nothing stands in the way. */
export function Doubts({ doubts }: { readonly doubts: readonly PlacedWarning[] }) {
  return (
    <>
      {doubts.map(({ text, readAs }) => (
        <p key={text} class="doubt">
          <strong>Look again:</strong> {text}
          {readAs && <ReadAs unit={readAs} />}
        </p>
      ))}
    </>
  )
}

/** Takes all bare numbers of the job for another unit. */
function ReadAs({ unit }: { readonly unit: string }) {
  return (
    <>
      {' '}
      <button type="button" class="link" onClick={() => setJobField(['unit'], unit)}>
        Read all bare numbers as {unit}
      </button>
    </>
  )
}

/** Is it one of an object's own measures? */
const isOfObject = (at: readonly Key[]) => at[0] === 'objects' && at.length === 3

function needOf({ kind, standard, optional, fewest }: FieldSpec): string {
  if (kind === 'list') return fewest === undefined ? 'optional' : ''
  if (kind === 'choice' || kind === 'switch') return ''
  if (typeof standard === 'number')
    return `${standard}${kind === 'length' ? ' mm' : kind === 'angle' ? '°' : ''} if left out`
  if (standard !== undefined) return `${standard} if left out`
  return optional || kind === 'corners' || kind === 'lengths' ? 'optional' : 'needed'
}

/** What a reader hears of a field beside its label. */
export const described = (id: string, problems: readonly PlacedProblem[]) => ({
  'aria-describedby': problems.length > 0 ? `${id}-wrong ${id}-help` : `${id}-help`,
  'aria-invalid': problems.some((p) => !isMissing(p)),
})
