import type { PlacedProblem } from '../../job/preview-data.ts'
import { idOf } from '../fields/spec.ts'
import type { Key } from '../job-text.ts'
import { raw, setJobField } from '../state.ts'

/** Ways out for a panel that is bigger than film and cutter. */
export function TooBig({ problems }: { readonly problems: readonly PlacedProblem[] }) {
  if (!problems.some(({ code }) => code === 'panel_too_big')) return null
  const own = raw.value?.stock
  const film = own === undefined || (typeof own === 'object' && !Array.isArray(own))
  return (
    <div class="row">
      <button type="button" onClick={() => setJobField(['layout', 'tile'], true)}>
        Cut it in parts that overlap
      </button>
      <button type="button" onClick={() => lookAt(['machine', 'area', 'along'])}>
        Set how far the cutter reaches
      </button>
      <button type="button" onClick={() => setJobField(['machine', 'like'], 'by-hand')}>
        Mark it out by hand
      </button>
      {film && (
        <button type="button" onClick={() => lookAt(['stock', 'width'])}>
          Set how wide the film is
        </button>
      )}
    </div>
  )
}

/** Opens the fold that a field is in, and goes there. */
function lookAt(at: readonly Key[]): void {
  const field = document.getElementById(idOf(at))
  field?.closest('details')?.setAttribute('open', '')
  field?.focus()
}
