import type { LengthSpec } from '../src/panel/template.ts'

/** How far film laps at a seam where nothing else is said, mm (common practice, no source). */
export const standardOverlap = 6

/** The overlap of a seam that is always there. */
export const overlapSpec = (help: string) =>
  ({
    kind: 'length',
    min: 0,
    max: 100,
    standard: standardOverlap,
    help: `${help}; 0 for a butt seam`,
  }) as const satisfies LengthSpec

/** The overlap of a seam that only a full wrap has. */
export const wrapOverlapSpec = {
  kind: 'length',
  min: 0,
  max: 100,
  optional: true,
  help: `how far a full wrap laps over itself; ${standardOverlap} mm if left out, 0 for a butt seam`,
} as const satisfies LengthSpec
