import { useState } from 'preact/hooks'
import type { StockPreview } from '../../job/preview-data.ts'
import { Drawing } from '../drawing.tsx'
import { Field } from '../fields/field.tsx'
import { useSaid } from '../fields/said.ts'
import { type FieldSpec, idOf } from '../fields/spec.ts'
import { type Key, removeAt, removeIn, setIn, type Value } from '../job-text.ts'
import { once } from '../once.ts'
import { catalogue, edit, job, laidOut, raw, say, setJobField, text } from '../state.ts'
import { inWords, valueAt } from '../values.ts'
import { offcutWays, sizeFields, stockFields } from './stock-fields.ts'

type Table = { readonly [key: string]: Value }
const isTable = (value: unknown): value is Table => typeof value === 'object' && value !== null && !Array.isArray(value)

/** The film that the job tells of itself, as tables. */
const ownTables = (): readonly Table[] => {
  const own = raw.value?.stock
  if (Array.isArray(own)) return own.map((each) => (isTable(each) ? each : {}))
  return isTable(own) ? [own] : []
}

/** All film there is for the job, as pictures; that of the job itself can be changed here. */
export function Stocks() {
  const all = useSaid((): readonly StockPreview[] => job.value?.stocks ?? laidOut.value?.stocks ?? [])
  const shelf = useSaid(() => raw.value?.shelf)
  const count = useSaid(() => ownTables().length)
  const isList = useSaid(() => Array.isArray(raw.value?.stock))
  const shelved = all.filter(({ isShelved }) => isShelved)
  const own = all.filter(({ isShelved }) => !isShelved)
  const none = count === 0 && shelf === undefined
  return (
    <section class="stocks" aria-label="Film in stock">
      <h3>Film in stock</h3>
      {Array.from({ length: none ? 1 : count }, (_, i) => (
        <OwnStock key={`${isList} ${i}`} at={isList ? ['stock', i] : ['stock']} preview={own[i]} />
      ))}
      <fieldset class="plain row" aria-label="More film">
        {(['roll', 'sheet', 'offcut'] as const).map((kind) => (
          <button type="button" key={kind} onClick={() => add(kind)}>
            + {kind}
          </button>
        ))}
      </fieldset>
      <h4>On the shelf</h4>
      <Field at={['shelf']} spec={shelfSpec} label="shelf file" />
      {shelf !== undefined && (
        <ul class="scraps">
          {shelved.map((stock) => (
            <li key={stock.name}>
              <Card stock={stock} />
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}

/** A stock as a picture, with its size and what is cut from it. */
function Card({ stock }: { readonly stock: StockPreview }) {
  const { name, kind, count, size, sheets, picture } = stock
  return (
    <div class={`scrap ${sheets.length > 0 ? 'used' : ''}`}>
      <Drawing picture={picture} label="" />
      <p>
        <strong>{name}</strong>
        <br />
        <span class="soft">
          {kind}
          {count > 1 ? `, ${count} alike` : ''}, {size}
          <br />
          {usedFor(sheets)}
        </span>
      </p>
    </div>
  )
}

/** Numbers of sheets that follow each other are told as from and to. */
function usedFor(sheets: readonly number[]): string {
  if (sheets.length === 0) return 'not used'
  const runs: [number, number][] = []
  for (const number of sheets) {
    const last = runs.at(-1)
    if (last && last[1] === number - 1) last[1] = number
    else runs.push([number, number])
  }
  const words = runs.map(([from, to]) => (from === to ? `${from}` : `${from} to ${to}`))
  return `${sheets.length === 1 ? 'sheet' : 'sheets'} ${words.join(', ')}`
}

interface OwnStockProps {
  readonly at: readonly Key[]
  readonly preview: StockPreview | undefined
}

/** Film that the job itself tells of, with its fields. */
function OwnStock({ at, preview }: OwnStockProps) {
  const told = useSaid(() => valueAt(raw.value, [...at, 'kind']))
  const kind = String(told ?? preview?.kind ?? 'roll')
  const name = String(useSaid(() => valueAt(raw.value, [...at, 'name'])) ?? kind)
  const way = useSaid(() => {
    const own = valueAt(raw.value, at)
    return isTable(own) ? (['sides', 'corners'].find((each) => own[each] !== undefined) ?? 'size') : 'size'
  })
  const inList = at.length > 1
  const hasGap = useSaid(() => valueAt(raw.value, [...at, 'gap']) !== undefined)
  // what is being told of stays open when it is complete
  const [isOpen] = useState(!inList || preview === undefined)
  const fields = kind === 'offcut' ? (offcutWays[way]?.fields ?? {}) : sizeFields(kind, preview?.count ?? 1)
  const inside: readonly Key[] = kind === 'offcut' && way === 'sides' ? [...at, 'sides'] : at
  const remove = () => {
    const [list, index] = [at.slice(0, -1), Number(at.at(-1))]
    edit(ownTables().length === 1 ? removeIn(text.value, list) : removeAt(text.value, list, index))
    say(`${name} is taken out. Undo brings it back.`)
  }
  return (
    <details class="own-stock" open={isOpen}>
      <summary>
        {name}
        {name === kind ? '' : `, ${kind}`}
        {preview ? <span class="soft">: {preview.size}</span> : ''}
      </summary>
      {preview && <Card stock={preview} />}
      {way === 'sides' && <FourSides />}
      <div class="grid">
        {inList && <Field at={[...at, 'name']} spec={nameSpec} />}
        {!inList && <Field at={[...at, 'kind']} spec={{ ...kindSpec, standard: kind }} label="it is a" />}
        {kind === 'offcut' && <WayField at={at} way={way} />}
        {Object.entries(fields).map(([key, spec]) => (
          <Field key={`${way} ${key}`} at={[...inside, key]} spec={spec} label={inWords(key)} />
        ))}
        {hasGap && <Field at={[...at, 'gap']} spec={gapSpec} />}
        {Object.entries(stockFields).map(([key, spec]) => (
          <Field key={key} at={[...at, key]} spec={spec} label={inWords(key)} />
        ))}
      </div>
      {inList && (
        <button type="button" class="quiet" onClick={once(remove)}>
          Take {name} out
        </button>
      )}
    </details>
  )
}

/** Where the tape goes for four sides and the diagonals. */
function FourSides() {
  const own = catalogue.value.find(({ id }) => id === 'four-sided-panel')
  return own ? <Drawing picture={own.sketch} label="Where to measure an offcut of four sides" /> : null
}

const nameSpec: FieldSpec = { kind: 'text', help: 'what it is called; no two alike' }
const shelfSpec: FieldSpec = {
  kind: 'file',
  optional: true,
  accept: '.yaml,.yml',
  help: 'the film there is beside that of the job; midtick shelf keeps it, and books what was cut',
}
/** Where a job of one stock has told it there; else it stands with the layout. */
const gapSpec: FieldSpec = { kind: 'length', single: true, standard: 12, help: 'kept free between pieces' }
const kindSpec: FieldSpec = {
  kind: 'choice',
  options: ['roll', 'sheet'],
  kept: true,
  help: 'sheets keep their length',
}

/** How an offcut is measured; what was measured another way goes, and undo brings it back. */
function WayField({ at, way }: { readonly at: readonly Key[]; readonly way: string }) {
  const id = `${idOf(at)}-way`
  const change = (next: string) => {
    const own = valueAt(raw.value, at)
    const kept = Object.entries(isTable(own) ? own : {}).filter(
      ([key]) => !['width', 'length', 'sides', 'corners'].includes(key),
    )
    const empty: Table = next === 'sides' ? { sides: {} } : next === 'corners' ? { corners: [] } : {}
    edit(setIn(text.value, at, { ...Object.fromEntries(kept), ...empty }))
  }
  return (
    <div class="field">
      <div class="label">
        <label for={id}>measured as</label>
      </div>
      <select id={id} value={way} onChange={(event) => change(event.currentTarget.value)}>
        {Object.entries(offcutWays).map(([key, { title }]) => (
          <option key={key} value={key}>
            {title}
          </option>
        ))}
      </select>
    </div>
  )
}

/** One more stock. A job that tells of one alone gets a list, in which each has a name. */
function add(kind: 'roll' | 'sheet' | 'offcut'): void {
  const own = raw.value?.stock
  const name = freeStockName(kind)
  const more: Table = kind === 'roll' ? { name, kind, width: 630, length: 10000 } : { name, kind }
  if (Array.isArray(own)) {
    setJobField(['stock'], [...(own as Value[]), more])
    return
  }
  const { gap, ...first } = isTable(own) ? own : ({} as Table)
  const given = { ...usualFilm(), ...first }
  const isThere = isTable(own) || raw.value?.shelf === undefined
  const next = setIn(text.value, ['stock'], isThere ? [given, more] : [more])
  edit(gap === undefined ? next : setIn(next, ['layout', 'gap'], gap))
}

/** The film of a job that tells of none, in words of its own: the roll there always is, or sheets of the machine's size. */
function usualFilm() {
  const [shown] = job.value?.stocks ?? laidOut.value?.stocks ?? []
  if (shown?.kind !== 'sheet') return { name: 'roll', kind: 'roll', width: 630, length: 10000 }
  const { width: length, height: width } = shown.picture
  return { name: 'sheet', kind: 'sheet', width, length, count: shown.count }
}

function freeStockName(kind: string): string {
  const taken = new Set([...ownTables().map(({ name }) => name), usualFilm().name])
  for (let i = 1; ; i++) {
    const name = i === 1 ? kind : `${kind} ${i}`
    if (!taken.has(name)) return name
  }
}
