import { useState } from 'preact/hooks'
import type { PanelPreview } from '../../job/preview-data.ts'
import { Drawing } from '../drawing.tsx'
import { LineKey } from '../line-key.tsx'
import { ProblemLinks } from '../problem-links.tsx'
import { current, goTo, listUnfolded, objectProblems, shown, stale } from '../state.ts'
import { Viewer } from '../viewer.tsx'

/** The flat panel true to scale, and what belongs to it. */
export function PanelStage() {
  const [picked, pick] = useState(0)
  const own = shown.value
  const panels = own?.panels ?? []
  const panel = panels[Math.min(picked, panels.length - 1)]
  if (!current.value) return <p>There is no object yet: pick a shape first.</p>
  if (!panel) {
    return (
      <>
        <p>There is no panel yet.</p>
        <ProblemLinks problems={objectProblems.value} />
        <button type="button" class="main" onClick={() => goTo('measure')}>
          Back to the measures
        </button>
      </>
    )
  }
  return (
    <>
      {stale.value && <p class="doubt">This is the panel before the last change, which cannot be made.</p>}
      {panels.length > 1 && (
        <fieldset class="plain tabs" aria-label="Panels of this object, in the order they go on">
          {panels.map((each, i) => (
            <button type="button" key={each.name} aria-pressed={each === panel} onClick={() => pick(i)}>
              {each.name.startsWith(current.value?.name ?? ' ')
                ? each.name.slice(current.value?.name.length).trim() || each.name
                : each.name}
            </button>
          ))}
        </fieldset>
      )}
      <div class="panel">
        <div>
          <Viewer
            key={panel.name}
            picture={panel.picture}
            scale={panel.scale}
            allowance={panel.allowance}
            label={`Panel ${panel.name}, ${panel.width} by ${panel.height} over all`}
          />
          <LineKey styles={panel.picture.lines.map(({ style }) => style)} allowance />
        </div>
        <About panel={panel} />
      </div>
    </>
  )
}

function About({ panel }: { readonly panel: PanelPreview }) {
  const { table, lines = [] } = panel.markOut ?? {}
  const sketch = shown.value?.sketch
  return (
    <div class="about">
      <dl class="facts">
        <div>
          <dt>Over all</dt>
          <dd>
            {panel.width} × {panel.height}
          </dd>
        </div>
        <div>
          <dt>To cut</dt>
          <dd>{panel.copies === 1 ? 'one piece' : `${panel.copies} pieces`}</dd>
        </div>
        <div>
          <dt>Ticks</dt>
          <dd>made as {panel.ticks}</dd>
        </div>
      </dl>
      {panel.notes.map((note) => (
        <p key={note} class="note">
          {note}
        </p>
      ))}
      <h3>Marks to make on the object</h3>
      {sketch && <Drawing picture={sketch} label="The object and its measures" class="sketch" />}
      <ol class="marks">
        {panel.marks.map((mark) => (
          <li key={mark}>{mark}</li>
        ))}
      </ol>
      {panel.strain && (
        <details>
          <summary>How much the film must give</summary>
          <Drawing picture={panel.strain} label="Where the film must stretch or shrink" class="coloured" />
        </details>
      )}
      <details
        open={listUnfolded.value}
        onToggle={({ currentTarget }) => {
          listUnfolded.value = currentTarget.open
        }}
      >
        <summary>Marking it out by hand</summary>
        <ol class="steps">
          {lines.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ol>
        {table && (
          <div class="held">
            <table>
              <thead>
                <tr>
                  {table.columns.map((name) => (
                    <th key={name} scope="col">
                      {name}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {table.rows.map((row) => (
                  <tr key={row.join()}>
                    {row.map((cell, i) => (
                      <td key={table.columns[i]}>{cell}</td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        )}
      </details>
      <div class="row">
        <button type="button" class="main" onClick={() => goTo('film')}>
          On to the film
        </button>
      </div>
    </div>
  )
}
