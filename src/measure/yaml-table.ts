import { type Document, isScalar, LineCounter, parseDocument, type YAMLParseError } from 'yaml'
import type { Place, Problem } from './problem.ts'

/** A YAML text as plain data, and where in the text each of its values stands. */
export interface YamlTable {
  readonly raw: unknown
  /** the value at a path, or the nearest table round it */
  readonly place: (path: readonly PropertyKey[]) => Place | undefined
  /** with its comments, for writing it back changed */
  readonly document: Document
}

/** A kind of file that is written as YAML. */
export interface TableKind {
  /** what it is called in problems: `job file` */
  readonly what: string
  /** longest text that is looked at, characters, and what to do about a longer one, as a sentence */
  readonly most: number
  readonly tooLong: string
  /** a line that such a file may begin with */
  readonly begin: string
}

/** Reads a text as YAML, or says every place that is none. */
export function readYamlTable(
  text: string,
  { what, most, tooLong, begin }: TableKind,
): YamlTable | { readonly problems: readonly Problem[] } {
  if (text.length > most) {
    const size = {
      code: 'too_big',
      field: what,
      value: `${text.length} characters`,
      limit: `the most is ${most} characters`,
    }
    return { problems: [{ ...size, cure: tooLong }] }
  }
  const lines = new LineCounter()
  const document = parseDocument(text, { lineCounter: lines, uniqueKeys: true })
  const placeAt = (offset: number): Place => {
    const { line, col } = lines.linePos(offset)
    return { line, column: col }
  }
  if (document.errors.length > 0) {
    const tabs = document.errors.filter(({ code }) => code === 'TAB_AS_INDENT')
    // One tab makes nonsense of the lines after it too, and who sets in with tabs does so on every line.
    const errors = tabs.length > 0 ? tabs.slice(0, 1) : document.errors
    return {
      problems: errors.map((e) => {
        return { code: 'yaml', field: what, ...faultAt(text, e, what, tabs.length), place: placeAt(e.pos[0]) }
      }),
    }
  }
  if (document.contents === null || (isScalar(document.contents) && document.contents.value === null)) {
    const cure = `Write its fields on lines of their own, beginning with ${begin}.`
    return { problems: [{ code: 'empty', field: what, value: 'empty', limit: `a ${what} is a table of fields`, cure }] }
  }
  const place = (path: readonly PropertyKey[]): Place | undefined => {
    for (let n = path.length; n >= 0; n--) {
      const node = document.getIn(path.slice(0, n), true) as { range?: [number, number, number] | null } | undefined
      if (node?.range) return placeAt(node.range[0])
    }
    return undefined
  }
  // References that lead nowhere, or swell the document, only show here.
  try {
    return { raw: document.toJS({ maxAliasCount: 100 }), place, document }
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/\.$/, '') : 'a reference that cannot be followed'
    const value = `not readable (${why})`
    const limit = 'every * needs its & above it, and 100 uses are the most'
    return { problems: [{ code: 'yaml', field: what, value, limit, cure: 'Write the values out.' }] }
  }
}

/** What is wrong at a place that YAML stumbles over, in words for a person. */
function faultAt(text: string, { code, message, pos: [from] }: YAMLParseError, what: string, tabs: number): Words {
  if (code === 'TAB_AS_INDENT') {
    return {
      value:
        tabs > 1
          ? `set in with tabs here and in ${tabs - 1} more ${tabs === 2 ? 'place' : 'places'}`
          : 'set in with a tab here',
      limit: 'YAML sets lines in with blanks alone',
      cure: 'Put blanks in place of every tab.',
    }
  }
  if (code === 'DUPLICATE_KEY') {
    const key = /^[^:\s]*/.exec(text.slice(from))?.[0] ?? ''
    return { value: `told ${key} twice`, limit: 'a field stands once in its table', cure: 'Take one of the two out.' }
  }
  return {
    value: `not readable here (${message.split('\n')[0]?.replace(/:$/, '') ?? code})`,
    limit: `a ${what} is YAML`,
    cure: 'Check indentation, colons and quotes on this line.',
  }
}

type Words = Pick<Problem, 'value' | 'limit' | 'cure'>
