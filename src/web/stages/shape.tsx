import { Drawing } from '../drawing.tsx'
import { addObject, catalogue, isEmpty } from '../state.ts'

/** The catalogue as line drawings. */
export function ShapeStage() {
  const entries = catalogue.value
  return (
    <>
      <p class="lead">
        {!isEmpty.value
          ? 'Pick a shape to put one more object into the job.'
          : 'Pick the shape that comes nearest. What to measure comes next.'}
      </p>
      <ul class="catalogue">
        {entries.map((entry) => (
          <li key={entry.id}>
            <button type="button" class="shape" onClick={() => addObject(entry)} aria-describedby={`when-${entry.id}`}>
              <strong>{entry.title}</strong>
              <Drawing picture={entry.sketch} label="" class="bare-words" />
            </button>
            <p id={`when-${entry.id}`}>{entry.when}</p>
          </li>
        ))}
      </ul>
    </>
  )
}
