import { useSignalEffect } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { isMissing } from './field.tsx'
import { forgetFile, openJob, saveJob, takeFile } from './files.ts'
import { duplicateObject, emptyJob, freeName, move, removeAt } from './job-text.ts'
import { FilesStage } from './stages/files.tsx'
import { FilmStage } from './stages/film.tsx'
import { MeasureStage } from './stages/measure.tsx'
import { PanelStage } from './stages/panel.tsx'
import { ShapeStage } from './stages/shape.tsx'
import {
  choose,
  chosen,
  current,
  edit,
  fileName,
  goTo,
  history,
  job,
  loadServed,
  notice,
  objectProblems,
  objects,
  raw,
  saveServed,
  say,
  served,
  setJobField,
  stage,
  stages,
  step,
  take,
  text,
  unsaved,
} from './state.ts'

const rooms = { shape: ShapeStage, measure: MeasureStage, panel: PanelStage, film: FilmStage, files: FilesStage }

export function App() {
  const title = useRef<HTMLHeadingElement>(null)
  const first = useRef(true)
  const own = stages.find(({ id }) => id === stage.value) ?? stages[0]
  const Room = rooms[own.id]
  useEffect(() => {
    if (!first.current) {
      title.current?.focus({ preventScroll: true })
      scrollTo(0, 0)
    }
    first.current = false
  }, [own.id])
  useEffect(() => {
    addEventListener('keydown', onKey)
    addEventListener('dragover', onDrag)
    addEventListener('drop', onDrop)
    return () => {
      removeEventListener('keydown', onKey)
      removeEventListener('dragover', onDrag)
      removeEventListener('drop', onDrop)
    }
  }, [])
  const ofObject = own.id === 'measure' || own.id === 'panel'
  return (
    <>
      <a class="skip" href="#stage">
        To the work
      </a>
      <Header />
      <Steps />
      <Conflict />
      {objects.value.length > 0 && <Objects />}
      <main id="stage">
        <h2 ref={title} tabIndex={-1}>
          {ofObject && current.value ? `${current.value.name || 'no name'}: ${own.asks}` : own.asks}
        </h2>
        {raw.value ? (
          <Room />
        ) : (
          <p class="refusal">The job's text cannot be read. Undo the last change, or open another file.</p>
        )}
      </main>
      <Voice />
    </>
  )
}

function Header() {
  const { past, future } = history.value
  return (
    <header>
      <h1>
        <Mark />
        midtick
      </h1>
      <label class="title">
        <span class="soft">Job</span>
        <input
          value={String(raw.value?.title ?? '')}
          maxLength={100}
          onInput={(event) => setJobField(['title'], event.currentTarget.value || 'New job')}
        />
      </label>
      <fieldset class="plain row" aria-label="Job">
        <button type="button" onClick={() => step(true)} disabled={past.length === 0} aria-keyshortcuts="Control+Z">
          Undo
        </button>
        <button type="button" onClick={() => step(false)} disabled={future.length === 0} aria-keyshortcuts="Control+Y">
          Redo
        </button>
        <button
          type="button"
          onClick={() => {
            forgetFile()
            take(emptyJob, undefined)
            say('A new job. Undo brings the last one back.')
          }}
        >
          New
        </button>
        <button type="button" onClick={() => void openJob()} aria-keyshortcuts="Control+O">
          Open
        </button>
        <button type="button" onClick={() => void saveJob()} aria-keyshortcuts="Control+S">
          Save
          {unsaved.value && (
            <span class="dot" title="changed since it was saved">
              {' '}
              •
            </span>
          )}
        </button>
      </fieldset>
      {fileName.value && (
        <p class="soft file-name">
          {fileName.value}
          {unsaved.value ? ', changed' : ''}
        </p>
      )}
    </header>
  )
}

const Mark = () => (
  <svg class="mark" viewBox="0 0 32 32" width="32" height="32" aria-hidden="true">
    <rect x="3" y="8" width="26" height="16" />
    <path class="tick" d="M16 3v8M16 21v8" />
    <path class="slit" d="M16 13v7" />
  </svg>
)

/** The file on the disk is no longer what this page began with: the person says which of the two stays. */
function Conflict() {
  const own = served.value
  if (!own?.conflict) return null
  return (
    <div class="conflict" role="alert">
      <p>
        <strong>{own.name}</strong>{' '}
        {own.conflict.saved === null ? 'is gone from the disk.' : 'was changed on the disk by someone else.'} Nothing
        was written.
      </p>
      <div class="row">
        {own.conflict.saved !== null && (
          <button type="button" onClick={() => void loadServed()}>
            Take what is on the disk
          </button>
        )}
        <button type="button" onClick={() => void saveServed(true)}>
          Write mine over it
        </button>
      </div>
    </div>
  )
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

/** The objects of the job, and what can be done with the one at hand. */
function Objects() {
  const all = objects.value
  const index = chosen.value
  const wrong = (i: number) => (job.value?.problems ?? []).some((p) => p.object === i)
  const remove = () => {
    const name = current.value?.name
    edit(removeAt(text.value, ['objects'], index), 'remove')
    choose(Math.max(0, index - 1))
    if (objects.value.length === 0) goTo('shape')
    say(`${name} is removed. Undo brings it back.`)
  }
  const twice = () => {
    edit(duplicateObject(text.value, index, freeName(text.value, current.value?.name || 'object')), 'twice')
    choose(index + 1)
  }
  const shift = (by: number) => {
    edit(move(text.value, ['objects'], index, index + by), 'move')
    choose(index + by)
  }
  const handled = stage.value === 'measure' || stage.value === 'panel'
  return (
    <section class="objects" aria-label="Objects of this job">
      <ul>
        {all.map((object, i) => (
          <li key={`${i} ${object.name}`}>
            <button
              type="button"
              aria-pressed={i === index && handled}
              onClick={() => {
                choose(i)
                if (!handled) goTo('measure')
              }}
            >
              {object.name || 'no name'}
              {object.copies > 1 && <span class="soft"> × {object.copies}</span>}
              {wrong(i) && <span class="flag"> to do</span>}
            </button>
          </li>
        ))}
        <li>
          <button type="button" class="quiet" onClick={() => goTo('shape')}>
            + object
          </button>
        </li>
      </ul>
      {handled && (
        <fieldset class="plain row small" aria-label={`With ${current.value?.name ?? 'the object'}`}>
          <button type="button" class="quiet" onClick={twice}>
            Double
          </button>
          {all.length > 1 && (
            <button type="button" class="quiet" disabled={index === 0} onClick={() => shift(-1)}>
              Earlier
            </button>
          )}
          {all.length > 1 && (
            <button type="button" class="quiet" disabled={index === all.length - 1} onClick={() => shift(1)}>
              Later
            </button>
          )}
          <button type="button" class="quiet" onClick={remove}>
            Remove
          </button>
        </fieldset>
      )}
    </section>
  )
}

/** Says notices and refusals to whoever listens, and shows notices for a while. */
function Voice() {
  const spoken = useRef<HTMLDivElement>(null)
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined)
  useSignalEffect(() => {
    const words = objectProblems.value.filter((p) => !isMissing(p)).map((p) => p.text)
    clearTimeout(timer.current)
    // typing is not interrupted
    timer.current = setTimeout(() => {
      if (spoken.current) spoken.current.textContent = words.join(' ')
    }, 700)
  })
  return (
    <>
      <div ref={spoken} class="unseen" role="status" aria-live="polite" id="refusals" />
      <div class={`notice ${notice.value ? 'on' : ''}`} role="status" aria-live="polite">
        {notice.value}
      </div>
    </>
  )
}

function onKey(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return
  const key = event.key.toLowerCase()
  const run = {
    z: () => step(!event.shiftKey),
    y: () => step(false),
    s: () => void saveJob(),
    o: () => void openJob(),
  }[key]
  if (!run) return
  event.preventDefault()
  run()
}

const onDrag = (event: DragEvent) => event.preventDefault()

function onDrop(event: DragEvent): void {
  event.preventDefault()
  const file = [...(event.dataTransfer?.files ?? [])].find(({ name }) => /\.ya?ml$/.test(name))
  if (file) void takeFile(file)
}
