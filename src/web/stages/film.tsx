import { useState } from 'preact/hooks'
import { Field } from '../fields/field.tsx'
import { handling, jobGroups } from '../handling.ts'
import { LineKey } from '../line-key.tsx'
import { Player } from '../player.tsx'
import { ProblemLinks } from '../problem-links.tsx'
import { goTo, isEmpty, job } from '../state.ts'
import { inWords } from '../values.ts'
import { Viewer } from '../viewer.tsx'

const edges = ['bottom', 'right', 'top', 'left']

/** Where the panels lie on the film, and what film and cutter there are. */
export function FilmStage() {
  if (isEmpty.value) return <p>There is no object yet: pick a shape first.</p>
  return (
    <div class="film">
      <Sheets />
      <form class="fields" onSubmit={(event) => event.preventDefault()} aria-label="Film and cutter">
        {jobGroups.map(({ title, fields, open }) => (
          <details key={title} open={open ?? false}>
            <summary>{title}</summary>
            <div class="grid">
              {fields.map(({ at, spec, label }) => (
                <Field key={at.join()} at={at} spec={spec} label={label} />
              ))}
            </div>
          </details>
        ))}
        <details>
          <summary>Handling of all panels</summary>
          <p class="help">Where an object says nothing of its own.</p>
          {Object.entries(handling(edges)).map(([key, spec]) => (
            <Field key={key} at={['defaults', key]} spec={spec} label={spec.label ?? inWords(key)} />
          ))}
        </details>
        <div class="row">
          <button type="button" class="main" onClick={() => goTo('files')}>
            On to the files
          </button>
        </div>
      </form>
    </div>
  )
}

function Sheets() {
  const [picked, pick] = useState(0)
  const [plays, play] = useState(false)
  const own = job.value
  if (own && own.problems.length > 0) {
    return (
      <div>
        <p>The film is laid out when this is settled:</p>
        <ProblemLinks problems={own.problems} />
      </div>
    )
  }
  const sheets = own?.sheets ?? []
  const sheet = sheets[Math.min(picked, sheets.length - 1)]
  if (!sheet) return <p class="waiting">The film is being laid out.</p>
  return (
    <div>
      <p class="lead">
        {own?.film} of film on {sheets.length === 1 ? 'one sheet' : `${sheets.length} sheets`}.
      </p>
      {sheets.length > 1 && (
        <fieldset class="plain tabs" aria-label="Sheets">
          {sheets.map((each, i) => (
            <button type="button" key={each.number} aria-pressed={each === sheet} onClick={() => pick(i)}>
              Sheet {each.number}
            </button>
          ))}
        </fieldset>
      )}
      {plays ? (
        <Player key={sheet.number} sheet={sheet} onClose={() => play(false)} />
      ) : (
        <Viewer
          key={sheet.number}
          picture={sheet.picture}
          scale={1}
          label={`Sheet ${sheet.number}, ${sheet.length} long and ${sheet.width} wide, ${sheet.pieces} ${sheet.pieces === 1 ? 'piece' : 'pieces'}`}
        >
          <button type="button" onClick={() => play(true)}>
            Play the blade's way
          </button>
        </Viewer>
      )}
      <LineKey styles={sheet.picture.lines.map(({ style }) => style)} />
    </div>
  )
}
