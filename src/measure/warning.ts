import type { Unit } from './length.ts'

/** Something that a person shall look at again before film is cut; the job goes on. */
export interface Warning {
  /** one or two whole sentences */
  readonly text: string
  /** the field that a person typed, such as `objects[0].girth`; none where it is about no single field */
  readonly field?: string
  /** the unit that bare numbers of the job may be meant in, where that is the doubt */
  readonly readAs?: Unit
}

/** Warnings without those that say the same twice, in their order. */
export function withoutRepeats(warnings: readonly Warning[]): Warning[] {
  const seen = new Set<string>()
  return warnings.filter(({ text }) => !seen.has(text) && seen.add(text))
}
