import { openJob, saveJob } from './files.ts'
import { emptyJob } from './job-text.ts'
import { once } from './once.ts'
import { canRedo, canUndo, fileName, say, setJobField, step, take, title, unsaved } from './state.ts'

/** Whose job it is, what can be done with it as a whole, and where it stands. */
export function Header() {
  return (
    <header>
      <h1>
        <Mark />
        midtick
      </h1>
      <label class="title">
        <span class="soft">Job</span>
        <input
          value={title.value}
          maxLength={100}
          onInput={(event) => setJobField(['title'], event.currentTarget.value || 'New job')}
        />
      </label>
      <fieldset class="plain row" aria-label="Job">
        <button type="button" onClick={() => step(true)} disabled={!canUndo.value} aria-keyshortcuts="Control+Z">
          Undo
        </button>
        <button type="button" onClick={() => step(false)} disabled={!canRedo.value} aria-keyshortcuts="Control+Y">
          Redo
        </button>
        <button
          type="button"
          onClick={once(() => {
            take(emptyJob, undefined)
            say('A new job, in no file yet. Undo brings the last one back.')
          })}
        >
          New
        </button>
        <button type="button" onClick={once(() => void openJob())} aria-keyshortcuts="Control+O">
          Open
        </button>
        <button type="button" onClick={once(() => void saveJob())} aria-keyshortcuts="Control+S">
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
