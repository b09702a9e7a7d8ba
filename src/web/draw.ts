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
export function showAll(drawing: Svg, host: HTMLElement, { words }: ScreenPicture): void {
  // inside the host's border and padding
  const { width, height } = drawing.node.getBoundingClientRect()
  if (width === 0) return
  const looks = getComputedStyle(drawing.node)
  const most = Number.parseFloat(looks.maxHeight) || Number.POSITIVE_INFINITY
  const least = Number.parseFloat(looks.getPropertyValue('--least')) || leastWords
  const drawn = [...drawing.node.children].filter((own) => !own.classList.contains('words'))
  const lines = union(drawn.map((own) => (own as SVGGraphicsElement).getBBox()))
  const texts = drawing.node.querySelectorAll<SVGTextElement>('.words text')
  const isBare = host.classList.contains('bare-words')
  const seen = isBare ? [] : words.map((own) => ({ ...own, wide: wideness(own, looks.fontFamily), least }))
  let [pixel, box] = [0, lines]
  // words keep a least size on screen, so what they take up depends on what it is worked out from
  for (let pass = 0; pass < 3; pass++) {
    box = union([lines, ...seen.map((own) => wordsBox(own, own.wide, Math.max(own.size, own.least * pixel)))])
    if (box.width <= 0) return
    const [wide, high] = [box.width + 2 * rim, box.height + 2 * rim]
    pixel = Math.max(wide / width, high / Math.min(most, Math.max(height, (width * high) / wide)))
    if (pass > 0) continue
    for (const own of seen) {
      const share = (own.wide * own.size) / box.width
      // a line as long as the drawing is wide stays as small as it was drawn
      if (share > 0.8) own.least = (0.8 * least) / share
    }
  }
  drawing.viewbox(box.x - rim, box.y - rim, box.width + 2 * rim, box.height + 2 * rim)
  setPixel(drawing, pixel)
  seen.forEach((own, i) => {
    if (own.least < least) texts[i]?.style.setProperty('--least', String(own.least))
    else texts[i]?.style.removeProperty('--least')
  })
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

type Box = Pick<DOMRect, 'x' | 'y' | 'width' | 'height'>

/** The box round boxes; those of what is not shown are empty, and count for nothing. */
function union(boxes: readonly Box[]): Box {
  const [seen, first] = [boxes.filter(({ width, height }) => width + height > 0), boxes[0]]
  if (seen.length === 0) return first ?? { x: 0, y: 0, width: 0, height: 0 }
  const x = Math.min(...seen.map((box) => box.x))
  const y = Math.min(...seen.map((box) => box.y))
  const width = Math.max(...seen.map((box) => box.x + box.width)) - x
  const height = Math.max(...seen.map((box) => box.y + box.height)) - y
  return { x, y, width, height }
}

/** How far words reach above and below their line, as shares of their size. */
const [above, below] = [0.95, 0.25]

/** The box round words of a width, as a share of their size, without a layout of the page. */
function wordsBox({ x, y, anchor, turn }: ScreenWords, wide: number, size: number): Box {
  const long = wide * size
  const from = anchor === 'start' ? 0 : anchor === 'middle' ? -long / 2 : -long
  const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)]
  const corners = [from, from + long].flatMap((u) =>
    [-above * size, below * size].map((v) => ({ x: x + u * cos - v * sin, y: y + u * sin + v * cos })),
  )
  const [xs, ys] = [corners.map((corner) => corner.x), corners.map((corner) => corner.y)]
  const [left, top] = [Math.min(...xs), Math.min(...ys)]
  return { x: left, y: top, width: Math.max(...xs) - left, height: Math.max(...ys) - top }
}

const measuring = document.createElement('canvas').getContext('2d')
/** A letter that names a field is set larger and bolder, by about this share of the size. */
const letterMore = 0.3

/** Width of words as a share of their size. */
function wideness({ text, bold, letters }: ScreenWords, family: string): number {
  if (!measuring) return 0.6 * text.length
  measuring.font = `${bold ? 'bold ' : ''}100px ${family}`
  return measuring.measureText(plainNames(text)).width / 100 + letterMore * letters.length
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
