import { hpglBytes } from '../file/hpgl/write.ts'
import { writeDrawing } from '../file/svg/draw.ts'
import type { Machine } from '../machine/profile.ts'
import { testFiles } from '../machine/test-files.ts'
import { testPiece } from '../machine/test-piece.ts'
import type { Problem } from '../measure/problem.ts'
import { letter } from '../panel/lettering.ts'
import { strokesPicture } from '../picture/strokes-picture.ts'
import { hpglOf } from './hpgl-of.ts'
import type { OutFile } from './out-file.ts'

export { calibrate, changedProfile } from '../machine/calibrate.ts'
export { readProfile } from '../machine/read-profile.ts'
export { profileJsonSchema } from '../machine/schema.ts'
export { readTestReadings } from '../machine/test-readings.ts'
export { formatProblem } from '../measure/problem.ts'
export { machineLookup, withShipped } from './machine-lookup.ts'
export { machineLine, placeWords } from './machine-words.ts'

/** The files of a machine's test piece, or why it has none. */
export function writeTestPiece(
  machine: Machine,
): { readonly files: readonly OutFile[] } | { readonly problems: readonly Problem[] } {
  const piece = testPiece(machine, letter)
  if ('problems' in piece) return piece
  const encoder = new TextEncoder()
  const files = testFiles(machine, piece, {
    hpgl: (strokes, own) => hpglOf(strokes, own),
    drawing: (strokes, size, title) => writeDrawing(strokesPicture(strokes, size, title)),
  })
  return {
    files: files.map(({ name, text }) => ({
      name,
      bytes: name.endsWith('.hpgl') ? hpglBytes(text) : encoder.encode(text),
    })),
  }
}
