import type { Svg } from '@svgdotjs/svg.js'
import type { ComponentChildren } from 'preact'
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import type { ScreenPicture } from '../job/preview-data.ts'
import { CardDialog } from './card.tsx'
import { drawPicture, openDrawing, setPixel } from './draw.ts'
import { isMeasured, pxPerMm } from './screen.ts'

interface ViewerProps {
  readonly picture: ScreenPicture
  /** mm of the picture for a mm of the thing */
  readonly scale: number
  readonly label: string
  readonly allowance?: string
  /** looks at this place of the picture, each time that another one is given */
  readonly look?: View
  /** draws over the picture */
  readonly over?: (drawing: Svg) => void
  readonly children?: ComponentChildren
}

/** What of the picture is seen: its middle, and pixels for a mm of it. */
interface View {
  readonly x: number
  readonly y: number
  readonly zoom: number
}

const nearest = 0.05
const farthest = 200

/** A picture to zoom and to move: by wheel, by drag, by two fingers, by keys and by buttons. */
export function Viewer({ picture, scale, label, allowance, look: goal, over, children }: ViewerProps) {
  const host = useRef<HTMLDivElement>(null)
  const drawing = useRef<Svg>(undefined)
  const view = useRef<View>(undefined)
  const [percent, setPercent] = useState(0)
  const [fits, setFits] = useState(true)
  const [asking, setAsking] = useState(false)
  /** The room that the drawing itself has, inside the host's border; before there is a drawing, nothing is shown. */
  const size = () => drawing.current?.node.getBoundingClientRect() ?? new DOMRect(0, 0, 1, 1)
  const fitted = (): View => {
    const { width, height } = size()
    return {
      x: picture.width / 2,
      y: picture.height / 2,
      zoom: 0.97 * Math.min(width / picture.width, height / picture.height),
    }
  }
  const look = (next: View, isFit = false) => {
    const { width, height } = size()
    const zoom = Math.min(farthest, Math.max(nearest, next.zoom))
    const held = (v: number, most: number, seen: number) => (seen >= most ? most / 2 : Math.min(most, Math.max(0, v)))
    const x = held(next.x, picture.width, width / zoom / 2)
    const y = held(next.y, picture.height, height / zoom / 2)
    view.current = isFit ? undefined : { x, y, zoom }
    drawing.current?.viewbox(x - width / zoom / 2, y - height / zoom / 2, width / zoom, height / zoom)
    if (drawing.current) setPixel(drawing.current, 1 / zoom)
    setPercent(Math.round((100 * zoom * scale) / pxPerMm.value))
    setFits(isFit)
  }
  const fit = () => look(fitted(), true)
  const now = () => view.current ?? fitted()
  /** Zooms about a place of the host, px, its middle where none is given. */
  const zoomBy = (factor: number, at?: { x: number; y: number }) => {
    const { width, height } = size()
    const { x, y, zoom } = now()
    const next = Math.min(farthest, Math.max(nearest, zoom * factor))
    const [dx, dy] = at ? [at.x - width / 2, at.y - height / 2] : [0, 0]
    look({ x: x + dx / zoom - dx / next, y: y + dy / zoom - dy / next, zoom: next })
  }
  const moveBy = (dx: number, dy: number) => {
    const { x, y, zoom } = now()
    look({ x: x + dx / zoom, y: y + dy / zoom, zoom })
  }
  const trueSize = () => look({ ...now(), zoom: pxPerMm.value / scale })

  // before the next frame, so that a key press shows in it
  useLayoutEffect(() => {
    if (!host.current) return
    drawing.current ??= openDrawing(host.current)
    drawPicture(drawing.current, picture, { label, allowance })
    over?.(drawing.current)
    drawing.current.node.style.setProperty('--pen', String(0.7 * scale))
    host.current.style.setProperty('--ratio', String(picture.width / picture.height))
    if (view.current) look(view.current)
    else look(fitted(), true)
  }, [picture, label, allowance, over])

  useEffect(() => {
    if (goal) look(goal)
  }, [goal])

  const steps = useRef({ zoomBy, moveBy, fit, now, look, trueSize })
  steps.current = { zoomBy, moveBy, fit, now, look, trueSize }
  useEffect(() => {
    const own = host.current
    if (!own) return
    own.tabIndex = 0
    const watcher = new ResizeObserver(() => (view.current ? steps.current.look(view.current) : steps.current.fit()))
    watcher.observe(own)
    const stop = listen(
      own,
      (factor, at) => steps.current.zoomBy(factor, at),
      (dx, dy) => steps.current.moveBy(dx, dy),
      () => view.current !== undefined,
    )
    return () => {
      watcher.disconnect()
      stop()
    }
  }, [])

  const onKeyDown = (event: KeyboardEvent) => {
    const run = keys[event.key]
    if (!run || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    run(steps.current)
  }
  return (
    <div class="viewer">
      <div
        ref={host}
        class={`paper view ${fits ? '' : 'zoomed'}`}
        role="application"
        aria-label={`${label}. Plus and minus zoom, arrows move, 0 fits, 1 is true size.`}
        onKeyDown={onKeyDown}
      />
      <fieldset class="plain tools" aria-label="Zoom">
        <button type="button" onClick={() => zoomBy(1 / 1.4)} aria-label="Zoom out">
          −
        </button>
        <output class="percent" aria-label="Size on screen">
          {percent} %
        </output>
        <button type="button" onClick={() => zoomBy(1.4)} aria-label="Zoom in">
          +
        </button>
        <button type="button" onClick={fit} disabled={fits}>
          Fit
        </button>
        <button type="button" onClick={() => (isMeasured.value ? trueSize() : setAsking(true))}>
          True size
        </button>
        <button type="button" class="quiet" onClick={() => setAsking(true)}>
          {isMeasured.value ? 'Measure screen again' : 'Measure screen'}
        </button>
        {children}
      </fieldset>
      {asking && (
        <CardDialog
          onClose={(measured) => {
            setAsking(false)
            if (measured) steps.current.trueSize()
          }}
        />
      )}
    </div>
  )
}

interface Steps {
  readonly zoomBy: (factor: number) => void
  readonly moveBy: (dx: number, dy: number) => void
  readonly fit: () => void
  readonly trueSize: () => void
}

const keys: Readonly<Record<string, (steps: Steps) => void>> = {
  '+': (s) => s.zoomBy(1.4),
  '=': (s) => s.zoomBy(1.4),
  '-': (s) => s.zoomBy(1 / 1.4),
  '0': (s) => s.fit(),
  '1': (s) => s.trueSize(),
  ArrowLeft: (s) => s.moveBy(-60, 0),
  ArrowRight: (s) => s.moveBy(60, 0),
  ArrowUp: (s) => s.moveBy(0, -60),
  ArrowDown: (s) => s.moveBy(0, 60),
}

interface Spot {
  readonly x: number
  readonly y: number
}

/** Wheel, drag and two fingers on an element. A finger alone scrolls the page until the picture is zoomed. */
function listen(
  own: HTMLElement,
  zoom: (factor: number, at: Spot) => void,
  move: (dx: number, dy: number) => void,
  isZoomed: () => boolean,
): () => void {
  const held = new Map<number, Spot>()
  const spotOf = (event: MouseEvent): Spot => {
    const { left, top } = (own.firstElementChild ?? own).getBoundingClientRect()
    return { x: event.clientX - left, y: event.clientY - top }
  }
  const onWheel = (event: WheelEvent) => {
    event.preventDefault()
    zoom(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0015)), spotOf(event))
  }
  const onDown = (event: PointerEvent) => {
    held.set(event.pointerId, spotOf(event))
    own.setPointerCapture(event.pointerId)
  }
  const onMove = (event: PointerEvent) => {
    const before = held.get(event.pointerId)
    if (!before) return
    const now = spotOf(event)
    held.set(event.pointerId, now)
    const other = [...held].find(([id]) => id !== event.pointerId)?.[1]
    if (other) {
      const middle = { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 }
      const apart = (spot: Spot) => Math.max(10, Math.hypot(spot.x - other.x, spot.y - other.y))
      zoom(apart(now) / apart(before), middle)
      move((before.x - now.x) / 2, (before.y - now.y) / 2)
    } else if (isZoomed()) {
      move(before.x - now.x, before.y - now.y)
    }
  }
  const onUp = (event: PointerEvent) => held.delete(event.pointerId)
  own.addEventListener('wheel', onWheel, { passive: false })
  own.addEventListener('pointerdown', onDown)
  own.addEventListener('pointermove', onMove)
  own.addEventListener('pointerup', onUp)
  own.addEventListener('pointercancel', onUp)
  return () => {
    own.removeEventListener('wheel', onWheel)
    own.removeEventListener('pointerdown', onDown)
    own.removeEventListener('pointermove', onMove)
    own.removeEventListener('pointerup', onUp)
    own.removeEventListener('pointercancel', onUp)
  }
}
