import type { Svg } from '@svgdotjs/svg.js'
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { ScreenPicture, ScreenStroke, SheetPreview } from '../job/preview-data.ts'
import { Viewer } from './viewer.tsx'

const works: Readonly<Record<string, string>> = {
  pen: 'pen draws',
  kiss: 'blade cuts the film',
  through: 'blade cuts film and liner',
  slit: 'blade slits the liner',
}
const styles = { pen: 'tick', kiss: 'outline', through: 'through', slit: 'slit' } as const
/** mm a second */
const paces = [20, 50, 100, 200, 400, 800]

/** A stroke with its length and the tool's way to it, mm. */
interface Part {
  readonly stroke: ScreenStroke
  readonly path: SVGPathElement
  readonly way: number
  readonly length: number
  /** where it begins along the whole way */
  readonly from: number
  readonly start: DOMPoint
  readonly before: DOMPoint
}

function partsOf(strokes: readonly ScreenStroke[], height: number): Part[] {
  let from = 0
  let before = new DOMPoint(0, height)
  return strokes.map((stroke): Part => {
    const path = document.createElementNS('http://www.w3.org/2000/svg', 'path')
    path.setAttribute('d', stroke.d)
    const length = path.getTotalLength()
    const start = path.getPointAtLength(0)
    const way = Math.hypot(start.x - before.x, start.y - before.y)
    const part = { stroke, path, way, length, from, start, before }
    from += way + length
    before = path.getPointAtLength(length)
    return part
  })
}

/** The strokes of a sheet done in order, at a pace of choice. */
export function Player({ sheet, onClose }: { readonly sheet: SheetPreview; readonly onClose: () => void }) {
  const [side, setSide] = useState<'film' | 'liner'>('film')
  const [at, setAt] = useState(0)
  const [runs, setRuns] = useState(false)
  const [pace, setPace] = useState(100)
  const { picture } = sheet
  const strokes = sheet[side]
  const parts = useMemo(() => partsOf(strokes, picture.height), [strokes, picture.height])
  const last = parts.at(-1)
  const whole = last ? last.from + last.way + last.length : 0
  const ground = useMemo((): ScreenPicture => {
    const stock = picture.lines.filter(({ style }) => style === 'stock')
    return {
      ...picture,
      areas: [],
      words: [],
      lines: [...stock, ...strokes.map(({ operation, d }) => ({ style: styles[operation], d }))],
    }
  }, [picture, strokes])
  const layer = useRef<SVGGElement>(undefined)

  useEffect(() => {
    if (!runs) return
    let before = performance.now()
    let handle = requestAnimationFrame(function next(now) {
      const moved = ((now - before) / 1000) * pace
      before = now
      setAt((old) => Math.min(whole, old + moved))
      handle = requestAnimationFrame(next)
    })
    return () => cancelAnimationFrame(handle)
  }, [runs, pace, whole])
  useEffect(() => {
    if (at >= whole) setRuns(false)
  }, [at, whole])

  const over = useMemo(
    () => (drawing: Svg) => {
      drawing.addClass('played')
      layer.current = drawing.group().addClass('blade').node
    },
    [],
  )
  const now = parts.findLast((part) => part.from <= at) ?? parts[0]
  useLayoutEffect(() => {
    if (layer.current) drawBlade(layer.current, parts, at)
  }, [parts, at, ground])

  const stepTo = (by: number) => {
    const i = now ? parts.indexOf(now) + by : 0
    const next = parts[Math.max(0, Math.min(parts.length - 1, i))]
    setRuns(false)
    if (next) setAt(by > 0 && i >= parts.length ? whole : next.from)
  }
  return (
    <div class="player">
      <Viewer picture={ground} scale={1} label={`Sheet ${sheet.number}, ${side} side up, strokes in order`} over={over}>
        <button type="button" onClick={onClose}>
          Back to the layout
        </button>
      </Viewer>
      <fieldset class="plain tools" aria-label="The blade's way">
        <button
          type="button"
          class="main"
          onClick={() => {
            if (at >= whole) setAt(0)
            setRuns(!runs)
          }}
        >
          {runs ? 'Stop' : 'Play'}
        </button>
        <button type="button" onClick={() => stepTo(-1)} aria-label="Stroke before">
          ‹
        </button>
        <button type="button" onClick={() => stepTo(1)} aria-label="Next stroke">
          ›
        </button>
        <label>
          Pace{' '}
          <select value={pace} onChange={(event) => setPace(Number(event.currentTarget.value))}>
            {paces.map((each) => (
              <option key={each} value={each}>
                {each} mm/s
              </option>
            ))}
          </select>
        </label>
        {sheet.liner.length > 0 && (
          <label>
            Side{' '}
            <select
              value={side}
              onChange={(event) => {
                setSide(event.currentTarget.value as 'film' | 'liner')
                setAt(0)
              }}
            >
              <option value="film">film up</option>
              <option value="liner">liner up</option>
            </select>
          </label>
        )}
      </fieldset>
      <label class="slider">
        <span>
          {now
            ? `${parts.indexOf(now) + 1} of ${parts.length}: ${works[now.stroke.operation]}, ${now.stroke.name}`
            : ''}
        </span>
        <input
          type="range"
          min="0"
          max={whole}
          step="any"
          value={at}
          aria-label="Place along the way"
          aria-valuetext={now ? `stroke ${parts.indexOf(now) + 1} of ${parts.length}, ${now.stroke.name}` : ''}
          onInput={(event) => {
            setRuns(false)
            setAt(Number(event.currentTarget.value))
          }}
        />
      </label>
    </div>
  )
}

/** What is done, as strong lines, and the tool where it is. */
function drawBlade(layer: SVGGElement, parts: readonly Part[], at: number): void {
  const nodes: SVGElement[] = []
  const make = (name: string, attributes: Readonly<Record<string, string>>) => {
    const node = document.createElementNS('http://www.w3.org/2000/svg', name)
    for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value)
    nodes.push(node)
  }
  let tip = new DOMPoint(0, 0)
  let down = false
  for (const part of parts) {
    if (part.from > at) break
    const way = Math.min(part.way, at - part.from)
    const share = part.way > 0 ? way / part.way : 1
    const { before, start } = part
    tip = new DOMPoint(before.x + (start.x - before.x) * share, before.y + (start.y - before.y) * share)
    make('path', { class: 'travel', d: `M ${before.x} ${before.y} L ${tip.x} ${tip.y}` })
    const done = at - part.from - part.way
    down = done > 0
    if (!down) continue
    if (done >= part.length) {
      make('path', { class: `done ${part.stroke.operation}`, d: part.stroke.d })
      tip = part.path.getPointAtLength(part.length)
    } else {
      // as points, because dashes cannot be measured in mm on lines that keep their width
      const count = Math.max(2, Math.ceil(done / 1.5))
      const points = Array.from({ length: count + 1 }, (_, i) => part.path.getPointAtLength((done * i) / count))
      make('path', {
        class: `done ${part.stroke.operation}`,
        d: `M ${points.map(({ x, y }) => `${x.toFixed(2)} ${y.toFixed(2)}`).join(' L ')}`,
      })
      tip = points.at(-1) ?? tip
    }
  }
  make('path', { class: `tool ${down ? 'down' : 'up'}`, d: `M ${tip.x} ${tip.y} l 0 0.01` })
  layer.replaceChildren(...nodes)
}
