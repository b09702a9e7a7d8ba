import { type Document, LineCounter, parseDocument } from 'yaml'
import type { Place, Problem } from './problem.ts'

/** A YAML text as plain data, and where in the text each of its values stands. */
export interface YamlTable {
  readonly raw: unknown
  /** the value at a path, or the nearest table round it */
  readonly place: (path: readonly PropertyKey[]) => Place | undefined
  /** with its comments, for writing it back changed */
  readonly document: Document
}

/**
 * Reads a text as YAML, or says every place that is none.
 * @param what what the text is called in problems: `job file`
 * @param most longest text that is looked at, characters
 * @param tooLong what to do about a longer one, as a sentence
 */
export function readYamlTable(
  text: string,
  what: string,
  most: number,
  tooLong: string,
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
    return {
      problems: document.errors.map((e) => ({
        code: 'yaml',
        field: what,
        value: `not readable here (${e.message.split('\n')[0]?.replace(/:$/, '') ?? e.code})`,
        limit: `a ${what} is YAML`,
        cure: 'Check indentation, colons and quotes on this line.',
        place: placeAt(e.pos[0]),
      })),
    }
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
