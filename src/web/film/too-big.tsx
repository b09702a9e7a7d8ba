import type { PlacedProblem } from '../../job/preview-data.ts'
import { widestRange } from '../../job/ranges.ts'
import { goToField } from '../go-to-field.ts'
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
      <button type="button" onClick={() => goToField(['machine', 'area', 'along'])}>
        Set how far the cutter reaches
      </button>
      <button type="button" onClick={() => setJobField(['machine', 'like'], 'by-hand')}>
        Mark it out by hand
      </button>
      {film && (
        <button type="button" onClick={() => goToField(['stock', 'width'])}>
          Set how wide the film is
        </button>
      )}
    </div>
  )
}

/** The way out where a cutter is said to reach farther than it is said to count. */
export function CountsTooLittle({ problems }: { readonly problems: readonly PlacedProblem[] }) {
  if (!problems.some(({ code }) => code === 'range_too_small')) return null
  return (
    <div class="row">
      <button type="button" onClick={() => setJobField(['machine', 'range'], widestRange)}>
        It reads HP-GL/2: count as far as that
      </button>
    </div>
  )
}
