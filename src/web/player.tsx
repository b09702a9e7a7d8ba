import type { Svg } from '@svgdotjs/svg.js'
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { BladeWay, ScreenPicture, SheetPreview } from '../job/preview-data.ts'
import { askBlade } from './ask.ts'
import { bladeDrawing, partsOf } from './blade-play.ts'
import { text } from './state.ts'
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
/** Pixels a mm at which the worst place is shown: a hundredth of a mm is one. */
const closeUp = 100
const noWay: BladeWay = { strokes: [] }

interface PlayerProps {
  readonly sheet: SheetPreview
  readonly onClose: () => void
}

/** The way of the tool's tip over a sheet, read back from the cut file, over the lines that were asked for. */
export function Player({ sheet, onClose }: PlayerProps) {
  const [side, setSide] = useState<'film' | 'liner'>('film')
  const [ways, setWays] = useState<Awaited<ReturnType<typeof askBlade>>>()
  const [at, setAt] = useState(0)
  const [runs, setRuns] = useState(false)
  const [pace, setPace] = useState(100)
  const [look, setLook] = useState<{ readonly x: number; readonly y: number; readonly zoom: number }>()
  const { picture } = sheet
  const asked = sheet[side]
  useEffect(() => {
    let isWanted = true
    askBlade(text.value, sheet.number).then(
      (got) => isWanted && setWays(got),
      () => undefined,
    )
    return () => {
      isWanted = false
    }
  }, [sheet])
  const { strokes, worst } = ways?.[side] ?? noWay
  const parts = useMemo(() => partsOf(strokes, { x: 0, y: picture.height }), [strokes, picture.height])
  const last = parts.at(-1)
  const whole = last ? last.from + last.travel + last.length : 0
  const ground = useMemo((): ScreenPicture => {
    const stock = picture.lines.filter(({ style }) => style === 'stock')
    return {
      ...picture,
      areas: [],
      words: [],
      lines: [...stock, ...asked.map(({ operation, d }) => ({ style: styles[operation], d }))],
    }
  }, [picture, asked])
  const draw = useRef<(at: number) => void>(undefined)

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
      if (worst) drawing.path(`M ${worst.x} ${worst.y} l 0 0.001`).addClass('worst')
      draw.current = bladeDrawing(drawing.group().addClass('blade').node, parts)
    },
    [parts, worst],
  )
  const now = parts.findLast((part) => part.from <= at) ?? parts[0]
  useLayoutEffect(() => draw.current?.(at), [parts, at, ground])

  const stepTo = (by: number) => {
    const i = now ? parts.indexOf(now) + by : 0
    const next = parts[Math.max(0, Math.min(parts.length - 1, i))]
    setRuns(false)
    if (next) setAt(by > 0 && i >= parts.length ? whole : next.from)
  }
  const showWorst = () => {
    if (!worst) return
    const own = parts.find(({ stroke }) => stroke.name === worst.stroke)
    setRuns(false)
    if (own) setAt(Math.max(at, own.from + own.travel + own.length))
    setLook({ x: worst.x, y: worst.y, zoom: closeUp })
  }
  return (
    <div class="player">
      <Viewer
        picture={ground}
        scale={1}
        label={`Sheet ${sheet.number}, ${side} side up, strokes in order`}
        over={over}
        {...(look ? { look } : {})}
      >
        <button type="button" onClick={onClose}>
          Back to the layout
        </button>
      </Viewer>
      <fieldset class="plain tools" aria-label="The blade's way">
        <button
          type="button"
          class="main"
          disabled={whole === 0}
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
            ? `stroke ${parts.indexOf(now) + 1} of ${parts.length}: ${works[now.stroke.operation]}, ${now.stroke.name}`
            : 'The cut file is being read back.'}
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
      {worst && (
        <p class="worst-place">
          The strong line is the way of the tip, read back from the cut file; pale is what was asked for. They are
          farthest apart at the round spot: {worst.distance.toFixed(3)} mm, in {worst.stroke}.{' '}
          <button type="button" class="link" onClick={showWorst}>
            Show it close up
          </button>
        </p>
      )}
    </div>
  )
}
