import { type Document, isMap, isScalar, isSeq, type Node, parseDocument, stringify, visit, type YAMLMap } from 'yaml'

/**
 * Edits of a job's text. Each changes as little of it as it can, so that comments, order and spacing stay as the person
 * wrote them: it first tries to change the text at that one place, and only where that does not come out as meant does it
 * write the document anew, which still keeps the comments.
 */

export type Key = string | number
export type Value = string | number | boolean | readonly Value[] | { readonly [key: string]: Value }

/** A job without objects. */
export const emptyJob = 'version: 1\ntitle: New job\nunit: mm\nobjects: []\n'

const written = { lineWidth: 0 } as const

/** The last texts that were looked at, which are looked at again at once; never changed. */
const seen = new Map<string, { readonly document: Document; plain?: unknown }>()

function parsed(text: string): { readonly document: Document; plain?: unknown } {
  const known = seen.get(text)
  if (known) return known
  const found = { document: parseDocument(text) }
  for (const old of [...seen.keys()].slice(0, -2)) seen.delete(old)
  seen.set(text, found)
  return found
}

/** The document as plain data. */
function plainOf(text: string): unknown {
  const own = parsed(text)
  own.plain ??= own.document.errors.length > 0 ? null : own.document.toJS({ maxAliasCount: 100 })
  return own.plain
}

/** The job as plain data; undefined where the text is no YAML. */
export function readText(text: string): Readonly<Record<string, unknown>> | undefined {
  try {
    const raw = plainOf(text)
    return typeof raw === 'object' && raw !== null && !Array.isArray(raw) ? (raw as Record<string, unknown>) : undefined
  } catch {
    return undefined
  }
}

/** What a person typed, as the value that stands in the file: digits become a number, all else stays words. */
export function typedValue(text: string): Value {
  const plain = text.trim()
  return /^-?(0|[1-9]\d{0,14})(\.\d{1,12})?$/.test(plain) ? Number(plain) : plain
}

/** Puts a value at a path, making the tables on the way to it. */
export function setIn(text: string, path: readonly Key[], value: Value): string {
  const { document } = parsed(text)
  const named = path.length > 1 ? document.getIn(path.slice(0, 1), true) : undefined
  // A machine that is only named becomes a table like it.
  if (isScalar(named) && typeof named.value === 'string') {
    return setIn(setIn(text, path.slice(0, 1), { like: named.value }), path, value)
  }
  const near = replaced(text, document, path, value) ?? inserted(text, document, path, value)
  if (near !== undefined && sameData(near, withValue(plainOf(text), path, value))) return near
  const want = parseDocument(text)
  const node = want.createNode(value)
  const old = want.getIn(path, true) as Node | undefined
  if (old?.comment) node.comment = old.comment
  want.setIn(path, node)
  return checked(want, undefined)
}

/** Plain data with another value at a path, the tables on the way to it made. */
function withValue(data: unknown, path: readonly Key[], value: Value): unknown {
  const [key, ...rest] = path
  if (key === undefined) return value
  if (Array.isArray(data)) return data.map((entry, i) => (i === key ? withValue(entry, rest, value) : entry))
  const table = typeof data === 'object' && data !== null ? (data as Readonly<Record<string, unknown>>) : {}
  return { ...table, [key]: withValue(table[key], rest, value) }
}

/** Does the text say just that? */
function sameData(text: string, data: unknown): boolean {
  return parsed(text).document.errors.length === 0 && JSON.stringify(plainOf(text)) === JSON.stringify(data)
}

/** Takes out what stands at a path, and the tables that are empty without it. */
export function removeIn(text: string, path: readonly Key[]): string {
  const { document } = parsed(text)
  if (!document.hasIn(path)) return text
  let from = path
  while (from.length > 1 && typeof from.at(-2) === 'string') {
    const parent = document.getIn(from.slice(0, -1), true)
    if (!isMap(parent) || parent.items.length > 1) break
    from = from.slice(0, -1)
  }
  const want = parseDocument(text)
  want.deleteIn(from)
  return checked(want, withoutLines(text, document, from))
}

/** Puts an entry at the end of a list. */
export function append(text: string, path: readonly Key[], value: Value): string {
  const { document } = parsed(text)
  const list = document.getIn(path, true)
  if (!isSeq(list)) return setIn(text, path, [value])
  const want = parseDocument(text)
  const own = want.getIn(path, true)
  if (isSeq(own) && own.items.length === 0) own.flow = false
  want.addIn(path, want.createNode(value))
  const last = blockOf(text, list.items.at(-1) as Node | undefined)
  if (!last) return checked(want, undefined)
  const lines = stringify([value], written)
  return checked(want, spliced(text, last.end, last.end, indented(lines, last.indent), true))
}

/** Takes an entry out of a list, with the comments that stand above it. */
export function removeAt(text: string, path: readonly Key[], index: number): string {
  const { document } = parsed(text)
  const list = document.getIn(path, true)
  if (!isSeq(list)) return text
  const want = parseDocument(text)
  want.deleteIn([...path, index])
  const block = blockOf(text, list.items[index] as Node | undefined)
  if (list.items.length > 1) return checked(want, block ? spliced(text, block.start, block.end, '') : undefined)
  want.setIn(path, want.createNode([]))
  return checked(want, undefined)
}

/** Moves an entry of a list to another place in it. */
export function move(text: string, path: readonly Key[], from: number, to: number): string {
  const { document } = parsed(text)
  const list = document.getIn(path, true)
  if (!isSeq(list) || from === to || !list.items[from] || !list.items[to]) return text
  const want = parseDocument(text)
  const own = want.getIn(path, true)
  if (isSeq(own)) own.items.splice(to, 0, ...own.items.splice(from, 1))
  const blocks = list.items.map((item) => blockOf(text, item as Node))
  const own1 = blocks[from]
  const target = blocks[to]
  if (!own1 || !target) return checked(want, undefined)
  const block = text.slice(own1.start, own1.end)
  const at = to > from ? target.end : target.start
  const without = (part: string, start: number) =>
    own1.start >= start && own1.end <= start + part.length
      ? part.slice(0, own1.start - start) + part.slice(own1.end - start)
      : part
  const whole = (part: string) => (part === '' || part.endsWith('\n') ? part : `${part}\n`)
  const before = whole(without(text.slice(0, at), 0))
  return checked(want, before + whole(block) + without(text.slice(at), at))
}

/** Puts a copy of an object behind it, under another name. */
export function duplicateObject(text: string, index: number, name: string): string {
  const { document } = parsed(text)
  const list = document.getIn(['objects'], true)
  if (!isSeq(list)) return text
  const want = parseDocument(text)
  const own = want.getIn(['objects'], true)
  const item = list.items[index] as Node | undefined
  if (!isSeq(own) || !item) return text
  const copy = want.createNode({ ...(item.toJS(document) as object), name })
  own.items.splice(index + 1, 0, copy)
  const block = blockOf(text, item)
  if (!block) return checked(want, undefined)
  const lines = text.slice(block.body, block.end)
  const twice = spliced(text, block.end, block.end, lines, true)
  return checked(want, replaced(twice, parseDocument(twice), ['objects', index + 1, 'name'], name))
}

/** A name that no object has yet, beginning with `wish`. */
export function freeName(text: string, wish: string): string {
  const objects = readText(text)?.objects
  const taken = new Set(
    (Array.isArray(objects) ? objects : []).map((o) =>
      String((o as { name?: unknown } | null)?.name ?? '')
        .trim()
        .toLowerCase(),
    ),
  )
  for (let n = 1; ; n++) {
    const name = n === 1 ? wish : `${wish} ${n}`
    if (!taken.has(name.toLowerCase())) return name
  }
}

/** The edited text where it means what was wanted, else the document written anew. */
function checked(want: Document, edited: string | undefined): string {
  if (edited !== undefined) {
    if (sameData(edited, want.toJS())) return edited
  }
  visit(want, {
    Seq: (_, node) => {
      if (node.items.some((item) => isMap(item)) && node.flow && node.range == null) node.flow = false
    },
  })
  return want.toString(written)
}

/** The text with another scalar at the place of one. */
function replaced(text: string, document: Document, path: readonly Key[], value: Value): string | undefined {
  const node = document.getIn(path, true)
  if (!(isScalar(node) || isPlainList(node)) || !node.range || typeof node !== 'object') return undefined
  const [from, to] = node.range
  if (from === to) return undefined
  const words = inFlow(value)
  return words === undefined ? undefined : text.slice(0, from) + words + text.slice(to)
}

/** A list in brackets, of scalars alone: readings. */
const isPlainList = (node: unknown): node is Node => isSeq(node) && node.flow === true && node.items.every(isScalar)

/** A value on one line, where it can be. */
function inFlow(value: Value): string | undefined {
  if (typeof value === 'object') {
    if (!Array.isArray(value) || value.some((v) => typeof v === 'object')) return undefined
    return `[${value.map((v) => oneLine(v, true)).join(', ')}]`
  }
  return oneLine(value, false)
}

function oneLine(value: Value, inBrackets: boolean): string {
  if (typeof value !== 'string') return String(value)
  const plain = stringify(value, written).trimEnd()
  return plain.includes('\n') || (inBrackets && /^[^"'].*[,[\]{}]/.test(plain)) ? JSON.stringify(value) : plain
}

/** The text with a line for a new field, at the end of the table that it goes into. */
function inserted(text: string, document: Document, path: readonly Key[], value: Value): string | undefined {
  for (let n = path.length - 1; n >= 0; n--) {
    const parent = n === 0 ? document.contents : document.getIn(path.slice(0, n), true)
    if (!isMap(parent)) continue
    const [key, ...rest] = path.slice(n)
    const nested = rest.reduceRight<Value>((inner, k) => ({ [String(k)]: inner }), value)
    return insertedInto(text, parent, String(key), nested)
  }
  return undefined
}

function insertedInto(text: string, map: YAMLMap, key: string, value: Value): string | undefined {
  const [first, last] = [map.items[0]?.key as Node | undefined, map.items.at(-1)?.value as Node | null | undefined]
  if (!first?.range || !last?.range) return undefined
  const end = last.range[1]
  if (map.flow) {
    const words = inFlow(value)
    return words === undefined ? undefined : `${text.slice(0, end)}, ${key}: ${words}${text.slice(end)}`
  }
  const indent = first.range[0] - lineStart(text, first.range[0])
  const words = inFlow(value)
  const line = words === undefined ? stringify({ [key]: value }, written) : `${key}: ${words}\n`
  const at = lineEnd(text, contentEnd(text, end))
  return spliced(text, at, at, indented(line, indent), true)
}

/** The text without the lines of a field that stands on lines of its own. */
function withoutLines(text: string, document: Document, path: readonly Key[]): string | undefined {
  const parent = path.length === 1 ? document.contents : document.getIn(path.slice(0, -1), true)
  if (!isMap(parent) || parent.flow) return undefined
  const pair = parent.items.find(({ key }) => isScalar(key) && key.value === path.at(-1))
  const key = pair?.key as Node | undefined
  if (!key?.range) return undefined
  const start = lineStart(text, key.range[0])
  if (text.slice(start, key.range[0]).trim() !== '') return undefined
  const value = pair?.value as Node | null | undefined
  const end = lineEnd(text, contentEnd(text, Math.max(value?.range?.[1] ?? 0, key.range[1])))
  return spliced(text, start, end, '')
}

interface Block {
  /** where the comments above it begin */
  readonly start: number
  /** where its dash's line begins */
  readonly body: number
  readonly end: number
  readonly indent: number
}

/** The lines of a list's entry, with the comments right above it. */
function blockOf(text: string, item: Node | undefined): Block | undefined {
  if (!item?.range) return undefined
  const body = lineStart(text, item.range[0])
  const head = text.slice(body, item.range[0])
  if (!/^ *- +$/.test(head)) return undefined
  let start = body
  while (start > 0) {
    const above = lineStart(text, start - 1)
    if (!/^\s*#/.test(text.slice(above, start))) break
    start = above
  }
  return { start, body, end: lineEnd(text, contentEnd(text, item.range[1])), indent: head.indexOf('-') }
}

const lineStart = (text: string, at: number) => text.lastIndexOf('\n', at - 1) + 1

/** Behind the line end that follows `at`. */
function lineEnd(text: string, at: number): number {
  const found = text.indexOf('\n', at)
  return found < 0 ? text.length : found + 1
}

/** Back over spaces and line ends. */
function contentEnd(text: string, at: number): number {
  let end = at
  while (end > 0 && /\s/.test(text[end - 1] as string)) end--
  return end
}

function spliced(text: string, from: number, to: number, put: string, ownLine = false): string {
  const before = text.slice(0, from)
  const missing = ownLine && before !== '' && !before.endsWith('\n') ? '\n' : ''
  return before + missing + put + text.slice(to)
}

const indented = (lines: string, by: number) => lines.replace(/^(?=.)/gm, ' '.repeat(by))
