import { type G, SVG, type Svg } from '@svgdotjs/svg.js'
import type { ScreenPicture, ScreenWords } from '../job/preview-data.ts'
import { plainNames } from './values.ts'

/** An empty drawing in `host`. Its looks come from the style sheet, by class, so that they follow light and dark. */
export function openDrawing(host: HTMLElement): Svg {
  const drawing = SVG().addTo(host)
  drawing.addClass('drawing').attr({ preserveAspectRatio: 'xMidYMid meet' })
  return drawing
}

export interface DrawOptions {
  /** area between the measured edge and the cut */
  readonly allowance?: string | undefined
  /** what a reader hears of the drawing */
  readonly label: string
}

/** Puts a picture in place of what was drawn. */
export function drawPicture(drawing: Svg, picture: ScreenPicture, { allowance, label }: DrawOptions): void {
  drawing.clear()
  // beside words that say the same, a drawing is not read out
  drawing.attr(label === '' ? { 'aria-hidden': 'true', role: null } : { 'aria-label': label, role: 'img' })
  if (picture.areas.length > 0) {
    const areas = drawing.group().addClass('areas')
    for (const { d, colour } of picture.areas) areas.path().attr({ d, fill: colour })
  }
  if (allowance) drawing.path().attr({ d: allowance }).addClass('allowance')
  const groups = new Map<string, G>()
  for (const { style, d } of picture.lines) {
    const group = groups.get(style) ?? drawing.group().addClass(`line ${style}`)
    groups.set(style, group)
    group.path().attr({ d })
  }
  const words = drawing.group().addClass('words')
  for (const one of picture.words) drawWords(words, one)
}

function drawWords(group: G, words: ScreenWords): void {
  const { x, y, text, size, anchor, turn, bold, letters } = words
  const own = group.group().attr({ transform: `translate(${x} ${y})${turn === 0 ? '' : ` rotate(${turn})`}` })
  if (letters.length > 0)
    own
      .addClass('lettered')
      .attr({ 'data-letters': letters.join(' ') })
      .rect(0, 0)
      .addClass('spot')
  const line = own.plain('').attr({ 'text-anchor': anchor })
  if (bold) line.attr({ 'font-weight': 'bold' })
  line.node.style.setProperty('--size', String(size))
  setWords(line.node, plainNames(text), letters)
}

/** Tells the style sheet how many mm a pixel is, so that lines and words have a size on screen. */
export function setPixel(drawing: Svg, mm: number): void {
  drawing.node.style.setProperty('--u', String(mm))
}

/** Least height of words on screen, px, where the style sheet has no other. */
const leastWords = 12
/** mm round what is drawn */
const rim = 2

/** Brings all that is seen of the picture into view, and makes room for pointing at words. */
export function showAll(drawing: Svg, host: HTMLElement): void {
  const { width, height } = host.getBoundingClientRect()
  if (width === 0) return
  const most = Number.parseFloat(getComputedStyle(drawing.node).maxHeight) || Number.POSITIVE_INFINITY
  const texts = [...drawing.node.querySelectorAll<SVGTextElement>('text')]
  for (const text of texts) text.style.removeProperty('--least')
  setPixel(drawing, 0)
  // words keep a least size on screen, so what they take up depends on what it is worked out from
  for (let pass = 0; pass < 3; pass++) {
    const box = drawing.node.getBBox()
    if (box.width === 0) return
    const [wide, high] = [box.width + 2 * rim, box.height + 2 * rim]
    drawing.viewbox(box.x - rim, box.y - rim, wide, high)
    setPixel(drawing, Math.max(wide / width, high / Math.min(most, Math.max(height, (width * high) / wide))))
    if (pass > 0) continue
    const least = Number.parseFloat(getComputedStyle(drawing.node).getPropertyValue('--least')) || leastWords
    for (const text of texts) {
      const share = text.getBBox().width / box.width
      // a line as long as the drawing is wide stays as small as it was drawn
      if (share > 0.8) text.style.setProperty('--least', String((0.8 * least) / share))
    }
  }
  for (const spot of drawing.node.querySelectorAll<SVGRectElement>('.spot')) {
    const own = (spot.nextElementSibling as SVGGraphicsElement | null)?.getBBox()
    if (!own) continue
    const room = own.height * 0.25
    for (const [name, value] of Object.entries({
      x: own.x - room,
      y: own.y - room / 2,
      width: own.width + 2 * room,
      height: own.height + room,
      rx: room,
    })) {
      spot.setAttribute(name, value.toFixed(2))
    }
  }
}

/** Sets words, the letters among them strong. */
function setWords(node: SVGElement, text: string, letters: readonly string[]): void {
  const parts = text.split(/(?<=^|[(,] ?)([A-Z])(?=[ :]|$)/)
  for (const part of parts) {
    if (!letters.includes(part)) {
      node.append(part)
      continue
    }
    const strong = document.createElementNS('http://www.w3.org/2000/svg', 'tspan')
    strong.setAttribute('class', 'letter')
    strong.textContent = part
    node.append(strong)
  }
}
