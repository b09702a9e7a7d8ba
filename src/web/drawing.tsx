import type { Svg } from '@svgdotjs/svg.js'
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks'
import type { ScreenPicture } from '../job/preview-data.ts'
import { drawPicture, openDrawing, showAll } from './draw.ts'
import { lit } from './state.ts'

interface DrawingProps {
  readonly picture: ScreenPicture
  readonly label: string
  readonly allowance?: string
  readonly class?: string
  /** is told of a letter that is pressed */
  readonly onLetter?: (letter: string) => void
}

/** A picture that fills the width it is given. */
export function Drawing({ picture, label, allowance, class: name, onLetter }: DrawingProps) {
  const host = useRef<HTMLDivElement>(null)
  const drawing = useRef<Svg>(undefined)
  const shown = useRef(picture)
  shown.current = picture
  // before the next frame, so that a key press shows in it
  useLayoutEffect(() => {
    if (!host.current) return
    drawing.current ??= openDrawing(host.current)
    drawPicture(drawing.current, picture, { label, allowance })
    showAll(drawing.current, host.current, picture)
    if (onLetter) light(host.current, lit.value)
  }, [picture, label, allowance, onLetter])
  useEffect(() => {
    if (!onLetter || !host.current) return
    const own = host.current
    return lit.subscribe((letter) => light(own, letter))
  }, [onLetter])
  useEffect(() => {
    if (!host.current) return
    const own = host.current
    let wide = own.clientWidth
    const watcher = new ResizeObserver(() => {
      if (own.clientWidth === wide) return
      wide = own.clientWidth
      if (drawing.current) showAll(drawing.current, own, shown.current)
    })
    watcher.observe(own)
    return () => watcher.disconnect()
  }, [])
  const letterAt = (target: EventTarget | null): string | undefined => {
    const words = target instanceof Element ? target.closest('[data-letters]') : null
    const letters = words?.getAttribute('data-letters')?.split(' ') ?? []
    return letters.includes(lit.value ?? '') ? lit.value : letters[0]
  }
  const pointing = onLetter
    ? {
        onPointerOver: (event: PointerEvent) => {
          const letter = letterAt(event.target)
          if (letter) lit.value = letter
        },
        onPointerOut: (event: PointerEvent) => {
          if (letterAt(event.target)) lit.value = undefined
        },
        onClick: (event: MouseEvent) => {
          const letter = letterAt(event.target)
          if (letter) onLetter(letter)
        },
      }
    : {}
  return <div ref={host} class={`paper ${name ?? ''}`} {...pointing} />
}

function light(host: HTMLElement, letter: string | undefined): void {
  for (const words of host.querySelectorAll('[data-letters]')) {
    const own = words.getAttribute('data-letters')?.split(' ') ?? []
    words.classList.toggle('lit', letter !== undefined && own.includes(letter))
  }
}
