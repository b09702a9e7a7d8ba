import { DOMParser, type Element, type Node, onErrorStopParsing, ParseError } from '@xmldom/xmldom'
import type { Path } from '../../geometry/path.ts'
import { type Place, type Problem, Refusal } from '../../measure/problem.ts'
import { readPathData } from './pathdata.ts'

/** The part of SVG that one kind of file is written in. */
export interface Dialect {
  /** what a person calls such a file, as in `the cut file` */
  readonly called: string
  /** every element, with the attributes it may have and the elements that may stand in it */
  readonly elements: Readonly<Record<string, { readonly attributes: readonly string[]; readonly holds: Holds }>>
}

/** `words` where only text stands, which says nothing of lines and is not looked at. */
type Holds = readonly string[] | 'words'

/** A file of a dialect, taken apart as far as its groups. */
export interface Page {
  /** mm; NaN where there is a problem with it */
  readonly width: number
  /** mm; NaN where there is a problem with it */
  readonly height: number
  /** empty where there is none */
  readonly title: string
  readonly groups: readonly Element[]
  /** whatever the dialect does not have, by name and place */
  readonly problems: readonly Problem[]
}

/** The root's size and groups; it must be 1:1 in mm. Throws a Refusal where the text is no SVG at all. */
export function openPage(text: string, dialect: Dialect): Page {
  const root = parsed(text)
  if (root.nodeName !== 'svg') {
    throw new Refusal([notKnown(dialect, root, `<${root.nodeName}>`, 'a drawing starts with <svg>')])
  }
  const width = lengthOf(root, 'width')
  const height = lengthOf(root, 'height')
  const problems = [
    ...elementProblems(root, dialect),
    ...[width, height].flatMap(({ name, value, mm }) =>
      Number.isNaN(mm) ? [{ ...notKnown(dialect, root, JSON.stringify(value), lengthLimit), field: name }] : [],
    ),
    ...viewBoxProblems(root, width.mm, height.mm, dialect),
  ]
  const title = elementsOf(root, 'title')[0]?.textContent ?? ''
  return { width: width.mm, height: height.mm, title, groups: elementsOf(root, 'g'), problems }
}

/** A path element of a group, in mm with y up, or what is wrong with its data. */
export type ReadPath = { readonly path: Path; readonly name: string } | { readonly problems: readonly Problem[] }

/** The paths of a group on a page of `height` mm. */
export function pathsOf(group: Element, height: number): ReadPath[] {
  return elementsOf(group, 'path').map((element) => {
    try {
      const path = readPathData(element.getAttribute('d') ?? '', height, placeOf(element))
      return { path, name: element.getAttribute('data-name') ?? '' }
    } catch (error) {
      if (error instanceof Refusal) return { problems: error.problems }
      throw error
    }
  })
}

function parsed(text: string): Element {
  try {
    const root = new DOMParser({ onError: onErrorStopParsing }).parseFromString(text, 'text/xml')
    if (root.doctype) throw new ParseError('a document type may not be given')
    if (root.documentElement) return root.documentElement
    throw new ParseError('no root element')
  } catch (error) {
    if (!(error instanceof ParseError)) throw error
    const { lineNumber: line, columnNumber: column } = error.locator ?? {}
    const place = line > 0 && column > 0 ? { place: { line, column } } : {}
    const value = `not readable: ${error.message.split('\n')[0]?.trim()}`
    const cure = 'Write the file again; it was probably cut off or changed.'
    throw new Refusal([
      { code: 'not_xml', field: 'the SVG file', value, limit: 'it must be well-formed XML', cure, ...place },
    ])
  }
}

/** Every element, attribute and text from `element` down that the dialect does not have. */
function elementProblems(element: Element, dialect: Dialect): Problem[] {
  const rule = dialect.elements[element.nodeName]
  if (!rule) return []
  const { attributes, holds } = rule
  const strange = [...element.attributes].flatMap(({ name }) =>
    attributes.includes(name)
      ? []
      : [notKnown(dialect, element, `attribute ${name} of <${element.nodeName}>`, `it may have ${list(attributes)}`)],
  )
  if (holds === 'words') return strange
  const inside = [...element.childNodes].flatMap((node) => {
    if (isElement(node)) {
      if (holds.includes(node.nodeName)) return elementProblems(node, dialect)
      return [notKnown(dialect, node, `<${node.nodeName}>`, `<${element.nodeName}> may hold ${list(holds)}`)]
    }
    if (node.nodeType === node.COMMENT_NODE || (node.nodeValue ?? '').trim() === '') return []
    return [notKnown(dialect, node, `text in <${element.nodeName}>`, `a ${dialect.called} holds no text there`)]
  })
  return [...strange, ...inside]
}

const list = (names: readonly string[]) => (names.length > 0 ? names.join(', ') : 'nothing')
const isElement = (node: Node): node is Element => node.nodeType === node.ELEMENT_NODE

function elementsOf(parent: Element, name: string): Element[] {
  return [...parent.childNodes].filter(isElement).filter((element) => element.nodeName === name)
}

function placeOf(node: Node): Place | undefined {
  const { lineNumber: line, columnNumber: column } = node
  return line !== undefined && column !== undefined ? { line, column } : undefined
}

/** The refusal of something at `node` that the dialect does not have. */
export function notKnown(dialect: Dialect, node: Node, value: string, limit: string): Problem {
  const place = placeOf(node)
  const cure = `Take it out, or write the ${dialect.called} again.`
  return { code: 'not_in_dialect', field: `the ${dialect.called}`, value, limit, cure, ...(place ? { place } : {}) }
}

const plain = '(?:\\d+\\.?\\d*|\\.\\d+)'
const lengthForm = new RegExp(`^${plain}mm$`)
const boxForm = new RegExp(`^\\s*0[\\s,]+0[\\s,]+(${plain})[\\s,]+(${plain})\\s*$`)
const lengthLimit = 'a length in mm is needed, such as 300mm'

/** A length of the root, NaN where it is none in mm. */
function lengthOf(root: Element, name: string): { name: string; value: string; mm: number } {
  const value = root.getAttribute(name) ?? ''
  return { name, value, mm: lengthForm.test(value) ? Number.parseFloat(value) : Number.NaN }
}

function viewBoxProblems(root: Element, width: number, height: number, dialect: Dialect): Problem[] {
  if (Number.isNaN(width + height)) return []
  const value = root.getAttribute('viewBox') ?? ''
  const found = boxForm.exec(value)
  if (found && Number(found[1]) === width && Number(found[2]) === height) return []
  const limit = `1:1 needs "0 0 ${width} ${height}"`
  return [{ ...notKnown(dialect, root, JSON.stringify(value), limit), code: 'not_full_size', field: 'viewBox' }]
}
