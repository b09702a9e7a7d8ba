import { useSignal } from '@preact/signals'
import type { ComponentChildren } from 'preact'
import type { PlacedProblem } from '../job/preview-data.ts'
import { pickFiles } from './files.ts'
import { append, type Key, removeAt, type Value } from './job-text.ts'
import { keepForLater } from './keep.ts'
import { edit, giveFile, jobProblems, lit, objectProblems, raw, setJobField, text, unit } from './state.ts'
import { inWords, plainNames, readingsOf, valueAt, valueOfReadings } from './values.ts'

/** What a field takes; shapes say it in their specs, the page says it for all else. */
export interface FieldSpec {
  readonly kind: 'length' | 'angle' | 'number' | 'choice' | 'text' | 'file' | 'corners' | 'list' | 'switch' | 'lengths'
  readonly help: string
  readonly letter?: string
  readonly min?: number
  readonly max?: number
  readonly standard?: number | string | boolean
  readonly optional?: true
  readonly options?: readonly string[]
  readonly item?: Readonly<Record<string, FieldSpec>>
  readonly fewest?: number
  /** parts of a `corners` field */
  readonly parts?: readonly string[]
  readonly label?: string
  /** is it one figure, not readings of a tape? */
  readonly single?: true
}

export interface FieldProps {
  /** from the top of the job */
  readonly at: readonly Key[]
  readonly spec: FieldSpec
  readonly label?: string
}

/** What to measure; fields that it names are named as their labels are. */
const helpOf = ({ help }: FieldSpec): string => plainNames(help)

export const idOf = (at: readonly Key[]) => `field-${at.join('-')}`

/** What is wrong with a field, or with what is inside it where `inside` is set. */
function problemsAt(at: readonly Key[], inside = false): PlacedProblem[] {
  const ofObject = at[0] === 'objects'
  const path = ofObject ? at.slice(2) : at
  const here = (p: PlacedProblem) =>
    (p.object !== undefined) === ofObject &&
    path.every((key, i) => p.path[i] === key) &&
    (inside || p.path.length === path.length)
  const all = ofObject ? objectProblems.value : [...jobProblems.value, ...objectProblems.value]
  const seen = new Set<string>()
  return all.filter((p) => here(p) && !seen.has(p.text) && seen.add(p.text))
}

/** Is it only that something is still to come? That is told calmly. */
export const isMissing = ({ code }: PlacedProblem) => code === 'missing'

export function Field(props: FieldProps) {
  switch (props.spec.kind) {
    case 'length':
      return <LengthField {...props} />
    case 'corners':
      return <PartsField {...props} />
    case 'choice':
      return <ChoiceField {...props} />
    case 'switch':
      return <SwitchField {...props} />
    case 'list':
      return <ListField {...props} />
    case 'file':
      return <FileField {...props} />
    default:
      return <WordsField {...props} />
  }
}

interface FrameProps extends FieldProps {
  readonly problems: readonly PlacedProblem[]
  readonly children: ComponentChildren
}

/** Label, what to measure, the field itself, and what is wrong with it. */
function Frame({ at, spec, label, problems, children }: FrameProps) {
  const id = idOf(at)
  const { letter } = spec
  const wrong = problems.some((p) => !isMissing(p))
  const point = letter
    ? {
        onPointerEnter: () => (lit.value = letter),
        onPointerLeave: () => (lit.value = undefined),
        onFocusCapture: () => (lit.value = letter),
        onBlurCapture: () => (lit.value = undefined),
      }
    : {}
  const isLit = letter !== undefined && lit.value === letter
  return (
    <div class={`field ${wrong ? 'wrong' : ''} ${isLit ? 'lit' : ''}`} data-letter={letter} {...point}>
      <div class="label">
        {letter && (
          <span class="badge" aria-hidden="true">
            {letter}
          </span>
        )}
        <label for={id}>{label ?? inWords(String(at.at(-1)))}</label>
        <span class="need">{needOf(spec)}</span>
      </div>
      {children}
      <Problems id={id} problems={problems} />
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
          {isMissing(p) ? plainNames(p.text).replace(/^Not given: /, 'Still to come: ') : plainNames(p.text)}
        </p>
      ))}
    </div>
  )
}

function needOf({ kind, standard, optional, fewest }: FieldSpec): string {
  if (kind === 'list') return fewest === undefined ? 'optional' : ''
  if (kind === 'choice' || kind === 'switch') return ''
  if (typeof standard === 'number')
    return `${standard}${kind === 'length' ? ' mm' : kind === 'angle' ? '°' : ''} if left out`
  if (standard !== undefined) return `${standard} if left out`
  return optional || kind === 'corners' || kind === 'lengths' ? 'optional' : 'needed'
}

const described = (id: string, problems: readonly PlacedProblem[]) => ({
  'aria-describedby': problems.length > 0 ? `${id}-wrong ${id}-help` : `${id}-help`,
  'aria-invalid': problems.some((p) => !isMissing(p)),
})

const same = (a: unknown, b: unknown) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null)

/** One length, or several readings of it. */
function LengthField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = valueAt(raw.value, at)
  const typed = useSignal(readingsOf(value))
  // what is typed stays as it is while it means what stands in the file
  if (!same(valueOfReadings(typed.peek()), value)) typed.value = readingsOf(value)
  const problems = problemsAt(at)
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
            {/^\s*-?[\d.,]+\s*$/.test(words) && (
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

/** Words, numbers and angles: one line as it is typed. */
function WordsField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = valueAt(raw.value, at)
  const isList = spec.kind === 'lengths'
  const read = (words: string): Value | undefined => {
    if (isList) return listOf(words)
    if (spec.kind === 'text') return words.trim() === '' ? undefined : words
    return valueOfReadings([words])
  }
  const show = (v: unknown) => (isList && Array.isArray(v) ? v.join('; ') : readingsOf(v).join('; '))
  const typed = useSignal(show(value))
  if (!same(read(typed.peek()), value)) typed.value = show(value)
  const problems = problemsAt(at, isList)
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

function listOf(words: string): Value | undefined {
  const parts = words.split(';').flatMap((part) => valueOfReadings([part]) ?? [])
  return parts.length > 0 ? parts : undefined
}

function ChoiceField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = valueAt(raw.value, at)
  const problems = problemsAt(at)
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

function SwitchField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = valueAt(raw.value, at) ?? spec.standard
  const problems = problemsAt(at)
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
    </div>
  )
}

const cornerNames = ['bottomLeft', 'bottomRight', 'topRight', 'topLeft']

/** One length for all parts, or one for each by name. */
function PartsField({ at, spec, label }: FieldProps) {
  const value = valueAt(raw.value, at)
  const each = typeof value === 'object' && value !== null && !Array.isArray(value)
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
      <Problems id={idOf(at)} problems={problemsAt(at)} />
    </fieldset>
  )
}

/** Any number of things of the same fields. */
function ListField({ at, spec, label }: FieldProps) {
  const value = valueAt(raw.value, at)
  const rows = Array.isArray(value) ? value.length : 0
  const name = label ?? inWords(String(at.at(-1)))
  const one = name.replace(/s$/, '')
  const add = () => {
    edit(append(text.value, at, {}), `${at.join('.')} add`)
    const first = idOf([...at, rows, Object.keys(spec.item ?? {})[0] ?? ''])
    requestAnimationFrame(() => document.getElementById(first)?.focus())
  }
  return (
    <fieldset class="list">
      <legend>{name}</legend>
      <p class="help">{helpOf(spec)}</p>
      <Problems id={idOf(at)} problems={problemsAt(at)} />
      {Array.from({ length: rows }, (_, i) => (
        <fieldset class="item" key={i}>
          <legend>
            {one} {i + 1}
          </legend>
          <div class="grid">
            {Object.entries(spec.item ?? {}).map(([key, own]) => (
              <Field key={key} at={[...at, i, key]} spec={own} />
            ))}
          </div>
          <Problems id={idOf([...at, i])} problems={problemsAt([...at, i])} />
          <button
            type="button"
            class="quiet"
            onClick={() => edit(rows === 1 ? withoutList(at) : removeAt(text.value, at, i), `${at.join('.')} drop`)}
          >
            Remove {one} {i + 1}
          </button>
        </fieldset>
      ))}
      <button type="button" onClick={add}>
        + {one}
      </button>
    </fieldset>
  )
}

function withoutList(at: readonly Key[]): string {
  return removeAt(text.value, at, 0)
}

function FileField({ at, spec, label }: FieldProps) {
  const id = idOf(at)
  const value = valueAt(raw.value, at)
  const problems = problemsAt(at)
  const pick = async () => {
    const [file] = await pickFiles('.ttf,.otf,.woff')
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
          required
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
