import { type G, SVG, type Svg } from '@svgdotjs/svg.js'
import type { ScreenPicture, ScreenWords } from '../job/preview-data.ts'

/** An empty drawing in `host`. Its looks come from the style sheet, by class, so that they follow light and dark. */
export function openDrawing(host: HTMLElement): Svg {
  const drawing = SVG().addTo(host)
  drawing.addClass('drawing').attr({ preserveAspectRatio: 'xMidYMid meet', role: 'img' })
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
  drawing.attr({ 'aria-label': label })
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

/** About how much of its size a character is wide, and how far a box reaches round words. */
const wide = 0.56
const shares = { start: 0, middle: 0.5, end: 1 } as const

function drawWords(group: G, words: ScreenWords): void {
  const { x, y, text, size, anchor, turn, bold, letters } = words
  const own = group.group().attr({ transform: `translate(${x} ${y})${turn === 0 ? '' : ` rotate(${turn})`}` })
  if (letters.length > 0) {
    const width = text.length * wide * size
    own.addClass('lettered').attr({ 'data-letters': letters.join(' ') })
    own
      .rect(width + size, 1.7 * size)
      .attr({ x: -shares[anchor] * width - size / 2, y: -1.2 * size, rx: size / 3 })
      .addClass('spot')
  }
  const line = own.plain('').attr({ 'font-size': size, 'text-anchor': anchor, 'stroke-width': 0.3 * size })
  if (bold) line.attr({ 'font-weight': 'bold' })
  setWords(line.node, text, letters)
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
