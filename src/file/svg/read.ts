import { DOMParser, type Element, type Node, onErrorStopParsing, ParseError } from '@xmldom/xmldom'
import { type Place, type Problem, Refusal } from '../../measure/problem.ts'
import { operations, type Stroke } from '../../stroke/stroke.ts'
import { readPathData } from './pathdata.ts'

export interface CutSvg {
  /** mm */
  readonly width: number
  /** mm */
  readonly height: number
  readonly strokes: readonly Stroke[]
}

/** Elements of a cut file, each with the attributes it may have and the elements that may stand in it. */
const dialect: Readonly<
  Record<string, { readonly attributes: readonly string[]; readonly children: readonly string[] }>
> = {
  svg: { attributes: ['xmlns', 'width', 'height', 'viewBox'], children: ['g'] },
  g: {
    attributes: ['id', 'data-operation', 'fill', 'stroke', 'stroke-width', 'stroke-dasharray'],
    children: ['path', 'title'],
  },
  path: { attributes: ['d', 'data-name'], children: [] },
  title: { attributes: [], children: [] },
}

/**
 * Reads back what `writeCutSvg` writes. Whatever else SVG has would change what is cut (a transform, a style, a use),
 * so it is refused by name and place, all of it at once.
 */
export function readCutSvg(text: string): CutSvg {
  const root = parsed(text)
  const problems: Problem[] = []
  if (root.nodeName !== 'svg') throw new Refusal([notKnown(root, `<${root.nodeName}>`, 'a drawing starts with <svg>')])
  checkElement(root, problems)
  const width = millimetres(root, 'width', problems)
  const height = millimetres(root, 'height', problems)
  checkViewBox(root, width, height, problems)
  const strokes: Stroke[] = []
  for (const group of elementsOf(root, 'g')) {
    const word = group.getAttribute('data-operation')
    const operation = operations.find((each) => each === word)
    if (operation === undefined) {
      problems.push(
        notKnown(group, `data-operation ${JSON.stringify(word ?? '')}`, `it is one of ${operations.join(', ')}`),
      )
      continue
    }
    for (const element of elementsOf(group, 'path')) {
      try {
        const path = readPathData(element.getAttribute('d') ?? '', height, placeOf(element))
        strokes.push({ operation, path, name: element.getAttribute('data-name') ?? '' })
      } catch (error) {
        if (!(error instanceof Refusal)) throw error
        problems.push(...error.problems)
      }
    }
  }
  if (problems.length > 0) throw new Refusal(problems)
  return { width, height, strokes }
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

/** Collects every element, attribute and text below `element` that a cut file does not have. */
function checkElement(element: Element, problems: Problem[]): void {
  const rule = dialect[element.nodeName]
  if (!rule) return
  for (const { name } of element.attributes) {
    if (!rule.attributes.includes(name)) {
      problems.push(
        notKnown(element, `attribute ${name} of <${element.nodeName}>`, `it may have ${list(rule.attributes)}`),
      )
    }
  }
  if (element.nodeName === 'title') return
  for (const node of element.childNodes) {
    if (isElement(node)) {
      if (rule.children.includes(node.nodeName)) {
        checkElement(node, problems)
      } else {
        problems.push(notKnown(node, `<${node.nodeName}>`, `<${element.nodeName}> may hold ${list(rule.children)}`))
      }
    } else if (node.nodeType !== node.COMMENT_NODE && (node.nodeValue ?? '').trim() !== '') {
      problems.push(notKnown(node, `text in <${element.nodeName}>`, 'a cut file holds no text'))
    }
  }
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

function notKnown(node: Node, value: string, limit: string): Problem {
  const place = placeOf(node)
  const cure = 'Take it out, or write the cut file again.'
  return { code: 'not_in_dialect', field: 'the cut file', value, limit, cure, ...(place ? { place } : {}) }
}

const plain = '(?:\\d+\\.?\\d*|\\.\\d+)'
const lengthForm = new RegExp(`^${plain}mm$`)
const boxForm = new RegExp(`^\\s*0[\\s,]+0[\\s,]+(${plain})[\\s,]+(${plain})\\s*$`)

/** A length of the root in mm, NaN with a problem where it is none. */
function millimetres(root: Element, name: string, problems: Problem[]): number {
  const value = root.getAttribute(name) ?? ''
  if (lengthForm.test(value)) return Number.parseFloat(value)
  problems.push({ ...notKnown(root, JSON.stringify(value), 'a length in mm is needed, such as 300mm'), field: name })
  return Number.NaN
}

function checkViewBox(root: Element, width: number, height: number, problems: Problem[]): void {
  if (Number.isNaN(width + height)) return
  const value = root.getAttribute('viewBox') ?? ''
  const found = boxForm.exec(value)
  if (found && Number(found[1]) === width && Number(found[2]) === height) return
  const limit = `1:1 needs "0 0 ${width} ${height}"`
  problems.push({ ...notKnown(root, JSON.stringify(value), limit), code: 'not_full_size', field: 'viewBox' })
}
