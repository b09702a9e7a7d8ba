import { useEffect, useRef } from 'preact/hooks'
import { Conflict } from './conflict.tsx'
import { useSaid } from './fields/said.ts'
import { Header } from './header.tsx'
import { Objects } from './objects.tsx'
import { UnderWay } from './send/under-way.tsx'
import { FilesStage } from './stages/files.tsx'
import { FilmStage } from './stages/film.tsx'
import { MeasureStage } from './stages/measure.tsx'
import { PanelStage } from './stages/panel.tsx'
import { ShapeStage } from './stages/shape.tsx'
import { current, goTo, isEmpty, raw, sending, stage, stages } from './state.ts'
import { Voice } from './voice.tsx'

const rooms = { shape: ShapeStage, measure: MeasureStage, panel: PanelStage, film: FilmStage, files: FilesStage }

export function App() {
  const title = useRef<HTMLHeadingElement>(null)
  const first = useRef(true)
  const isReadable = useSaid(() => raw.value !== undefined)
  const own = stages.find(({ id }) => id === stage.value) ?? stages[0]
  const Room = rooms[own.id]
  useEffect(() => {
    if (!first.current) {
      title.current?.focus({ preventScroll: true })
      scrollTo(0, 0)
    }
    first.current = false
  }, [own.id])
  return (
    <>
      <a class="skip" href="#stage">
        To the work
      </a>
      <Header />
      <Steps />
      <Conflict />
      {sending.value === undefined && <UnderWay />}
      {!isEmpty.value && <Objects />}
      <main id="stage">
        <h2 ref={title} tabIndex={-1}>
          <Heading />
        </h2>
        {isReadable ? (
          <Room />
        ) : (
          <p class="refusal">The job's text cannot be read. Undo the last change, or open another file.</p>
        )}
      </main>
      <Voice />
    </>
  )
}

/** What the stage asks, of which object. */
function Heading() {
  const { id, asks } = stages.find((own) => own.id === stage.value) ?? stages[0]
  const name = useSaid(() => current.value && (current.value.name || 'no name'))
  const ofObject = id === 'measure' || id === 'panel'
  return <>{ofObject && name !== undefined ? `${name}: ${asks}` : asks}</>
}

/** The order of the work along a tape; the stage at hand has its ticks at both edges. */
function Steps() {
  return (
    <nav class="tape" aria-label="Order of the work">
      <ol>
        {stages.map(({ id, title }) => (
          <li key={id}>
            <button type="button" aria-current={stage.value === id ? 'step' : undefined} onClick={() => goTo(id)}>
              {title}
            </button>
          </li>
        ))}
      </ol>
    </nav>
  )
}
