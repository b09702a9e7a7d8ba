import type { Svg } from '@svgdotjs/svg.js'
import type { PiecePreview } from '../../job/preview-data.ts'

export interface PieceHands {
  /** a piece is chosen, by its number in the list */
  readonly onPick: (index: number) => void
  /** it was moved by that, mm to the right and up */
  readonly onMove: (index: number, right: number, up: number) => void
}

/** How far a pointer goes before it drags, px. */
const least = 4

/**
 * Lays the pieces over a drawing of their sheet, so that they can be picked and dragged. A finger must pick a piece
 * before it can drag it, so that the page can be scrolled from anywhere.
 */
export function layPieces(
  drawing: Svg,
  pieces: readonly PiecePreview[],
  picked: number | undefined,
  hands: PieceHands,
): void {
  const layer = drawing.group().addClass('pieces')
  pieces.forEach(({ d, isPinned }, index) => {
    const { node } = layer.path().attr({ d })
    node.setAttribute('class', ['piece', isPinned ? 'pinned' : '', index === picked ? 'picked' : ''].join(' '))
    node.addEventListener('pointerdown', (event) => {
      const isTouch = event.pointerType === 'touch'
      if (event.button !== 0) return
      if (isTouch && index !== picked) {
        node.addEventListener('click', () => hands.onPick(index), { once: true })
        return
      }
      event.stopPropagation()
      event.preventDefault()
      drag(node, event, index, hands)
    })
  })
}

function drag(node: SVGPathElement, down: PointerEvent, index: number, { onPick, onMove }: PieceHands): void {
  const scale = node.getScreenCTM()?.a ?? 1
  let moved = { x: 0, y: 0 }
  let isDragged = false
  node.setPointerCapture(down.pointerId)
  const move = (event: PointerEvent) => {
    const [x, y] = [event.clientX - down.clientX, event.clientY - down.clientY]
    isDragged ||= Math.hypot(x, y) > least
    if (!isDragged) return
    moved = { x: x / scale, y: y / scale }
    node.setAttribute('transform', `translate(${moved.x} ${moved.y})`)
    node.classList.add('dragged')
  }
  const end = (isKept: boolean) => () => {
    stop.abort()
    node.removeAttribute('transform')
    node.classList.remove('dragged')
    if (isKept && isDragged) onMove(index, moved.x, -moved.y)
    else if (isKept) onPick(index)
  }
  const stop = new AbortController()
  const { signal } = stop
  node.addEventListener('pointermove', move, { signal })
  node.addEventListener('pointerup', end(true), { signal })
  node.addEventListener('pointercancel', end(false), { signal })
}
