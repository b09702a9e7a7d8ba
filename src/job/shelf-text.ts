import { Document, isMap, isScalar, isSeq, parseDocument, type YAMLSeq } from 'yaml'

/** A new entry as it is written: lengths with their units or as numbers of the shelf's own. */
export type NewEntry = Readonly<Record<string, unknown>>

/** What is to become of a shelf's entries, by their place in the list as it stands. */
export interface ShelfEdit {
  readonly set: readonly { readonly entry: number; readonly field: string; readonly value: number | string }[]
  readonly remove: readonly number[]
  readonly add: readonly NewEntry[]
}

/**
 * A shelf's text with its entries changed: only the places in question where they stand on lines of their own, so that
 * comments and columns stay; else the document written anew, with its comments.
 */
export function editedShelf(text: string, edit: ShelfEdit): string {
  const wanted = rewritten(text, edit)
  const inPlace = editedLines(text, edit)
  return inPlace !== undefined && sameData(inPlace, wanted) ? inPlace : wanted
}

const dataOf = (text: string): string => {
  const document = parseDocument(text)
  return document.errors.length > 0 ? '' : JSON.stringify(document.toJS())
}
const sameData = (a: string, b: string) => dataOf(a) === dataOf(b)

function rewritten(text: string, { set, remove, add }: ShelfEdit): string {
  const document = parseDocument(text)
  for (const { entry, field, value } of set) document.setIn(['stocks', entry, field], value)
  for (const entry of [...remove].sort((a, b) => b - a)) document.deleteIn(['stocks', entry])
  const list = document.get('stocks')
  if (isSeq(list)) {
    if (add.length > 0) list.flow = false
    for (const entry of add) list.add(document.createNode(entry))
  } else document.set('stocks', add)
  return document.toString({ lineWidth: 0 })
}

interface Splice {
  readonly from: number
  readonly to: number
  readonly text: string
}

/** The text changed line by line; undefined where entries do not stand on lines of their own. */
function editedLines(text: string, { set, remove, add }: ShelfEdit): string | undefined {
  const document = parseDocument(text)
  const list = document.get('stocks')
  if (!isSeq(list) || list.flow || list.items.length === 0) return undefined
  const starts = startsOf(text, list)
  if (!starts) return undefined
  const end = list.range?.[1] ?? text.length
  const splices: Splice[] = []
  for (const { entry, field, value } of set) {
    const item = list.items[entry]
    const node = isMap(item) ? item.get(field, true) : undefined
    if (isScalar(node) && node.range) {
      splices.push({ from: node.range[0], to: node.range[1], text: String(value) })
    } else if (isMap(item) && item.range && !item.flow) {
      const [from] = item.range
      const column = from - (text.lastIndexOf('\n', from - 1) + 1)
      splices.push({ from, to: from, text: `${field}: ${value}\n${' '.repeat(column)}` })
    } else return undefined
  }
  for (const entry of remove) {
    splices.push({ from: starts[entry] as number, to: starts[entry + 1] ?? end, text: '' })
  }
  const first = starts[0] as number
  const indent = text.slice(first + (text.slice(first).match(/^([ \t]*#.*\n|[ \t]*\n)*/)?.[0].length ?? 0)).match(/^ */)
  if (add.length > 0) {
    const lines = add.map((entry) => entryLines(entry, indent?.[0] ?? '  ')).join('')
    const before = text.slice(0, end)
    splices.push({ from: end, to: end, text: before.endsWith('\n') ? lines : `\n${lines}` })
  }
  let made = text
  for (const { from, to, text: own } of splices.sort((a, b) => b.from - a.from || b.to - a.to)) {
    made = made.slice(0, from) + own + made.slice(to)
  }
  return made
}

/** Where each entry begins, comments above it included; undefined where two stand on one line. */
function startsOf(text: string, list: YAMLSeq): number[] | undefined {
  const starts: number[] = []
  for (const item of list.items) {
    if (!isMap(item) || !item.range) return undefined
    let start = text.lastIndexOf('\n', item.range[0] - 1) + 1
    if (!/^ *- *$/.test(text.slice(start, item.range[0]))) return undefined
    for (;;) {
      const before = text.lastIndexOf('\n', start - 2) + 1
      if (start === 0 || starts.length === 0 || !/^\s*#/.test(text.slice(before, start))) break
      start = before
    }
    starts.push(start)
  }
  return starts
}

/** An entry on lines of its own, lists of corners and bad spots on one line each. */
function entryLines(entry: NewEntry, indent: string): string {
  const document = new Document(entry)
  if (isMap(document.contents)) {
    for (const { value } of document.contents.items) if (isSeq(value) || isMap(value)) value.flow = true
  }
  const lines = document.toString({ lineWidth: 0 }).trimEnd().split('\n')
  return lines.map((line, i) => `${indent}${i === 0 ? '- ' : '  '}${line}\n`).join('')
}
