import { idOf } from './fields/spec.ts'
import type { Key } from './job-text.ts'

/** Opens the fold that a field is in, and goes there; false where the page shows no such field. */
export function goToField(at: readonly Key[]): boolean {
  const field = document.getElementById(idOf(at))
  field?.closest('details')?.setAttribute('open', '')
  field?.focus()
  return field !== null
}
