import { type Dom, Svg, withWindow } from '@svgdotjs/svg.js'
import { DOMImplementation, Element, Node, XMLSerializer } from '@xmldom/xmldom'
import { decimal } from '../number.ts'

const svgNamespace = 'http://www.w3.org/2000/svg'

/** Decimals of a mm in a drawing: 0.1 micrometre. */
export const svgPlaces = 4

/**
 * Text of an SVG document of `width` x `height` mm whose user unit is 1 mm, filled in by `fill`.
 * svg.js works on an own document here and gets its former window back, so a page that draws with it is left alone.
 */
export function svgDocument(width: number, height: number, fill: (root: Svg) => void): string {
  const w = decimal(width, svgPlaces)
  const h = decimal(height, svgPlaces)
  const document = new DOMImplementation().createDocument(svgNamespace, 'svg', null)
  const window = { document, Node, Element, SVGElement: Element, XMLSerializer }
  Object.assign(document, { defaultView: window })
  withWindow<void>(window, () => {
    const root = new Svg(document.documentElement)
    // svg.js adds both of these; neither says anything here.
    for (const name of ['version', 'xmlns:xlink']) root.node.removeAttribute(name)
    setAttributes(root, { width: `${w}mm`, height: `${h}mm`, viewBox: `0 0 ${w} ${h}` })
    fill(root)
    breakLines(root)
  })
  const text = new XMLSerializer().serializeToString(document)
  return `${text.replace(notXml, '\uFFFD')}\n`
}

/** Characters that XML 1.0 cannot hold (section 2.2). */
const notXml = /[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu

/** A new last child. Attributes go to the node as they are: svg.js would make `1e5` of `100000` and parse path data. */
export function addChild(parent: Dom, name: string, attributes: Readonly<Record<string, string>> = {}): Dom {
  return setAttributes(parent.element(name), attributes)
}

function setAttributes(element: Dom, attributes: Readonly<Record<string, string>>): Dom {
  for (const [name, value] of Object.entries(attributes)) element.node.setAttribute(name, value)
  return element
}

/** One line an element, as far as that changes no text. */
function breakLines(parent: Dom): void {
  const { node } = parent
  const document = node.ownerDocument
  for (const child of [...parent.children()]) {
    node.insertBefore(document.createTextNode('\n'), child.node)
    if (child.type === 'g') breakLines(child)
  }
  if (node.hasChildNodes()) node.appendChild(document.createTextNode('\n'))
}
