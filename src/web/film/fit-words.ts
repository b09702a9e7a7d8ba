import type { Svg } from '@svgdotjs/svg.js'
import type { ScreenPicture } from '../../job/preview-data.ts'

/** Width of a letter beside the size of the words, somewhat more than of most. */
const letterWidth = 0.6

/**
 * Words grow as a drawing shrinks, so that they can be read; those of a sheet grow no farther than there is room: the
 * name of a piece to its edges, all else to those of the sheet. The pieces lie in the drawing already.
 */
export function fitWords(drawing: Svg, picture: ScreenPicture, pieces: readonly { readonly name: string }[]): void {
  const shapes = drawing.node.querySelectorAll<SVGPathElement>('.piece')
  const boxes = new Map(pieces.map(({ name }, i) => [name, shapes[i]?.getBBox()]))
  const texts = drawing.node.querySelectorAll<SVGTextElement>('.words text')
  picture.words.forEach(({ text, x, y, turn, anchor }, i) => {
    const box = boxes.get(text) ?? { x: 0, y: 0, width: picture.width, height: picture.height }
    const isUpright = Math.abs(turn) % 180 === 90
    const before = isUpright ? y - box.y : x - box.x
    const after = (isUpright ? box.height : box.width) - before
    const room = anchor === 'middle' ? 2 * Math.min(before, after) : anchor === 'end' ? before : after
    texts[i]?.style.setProperty('--most', String(Math.max(1, (0.95 * room) / (letterWidth * text.length))))
  })
}
