import { hpglBytes } from '../file/hpgl/write.ts'
import { writeDrawing } from '../file/svg/draw.ts'
import type { Machine } from '../machine/profile.ts'
import { readProfile } from '../machine/read-profile.ts'
import { shipped } from '../machine/shipped.ts'
import { testFiles } from '../machine/test-files.ts'
import { testPiece } from '../machine/test-piece.ts'
import { nearestWord } from '../measure/nearest.ts'
import type { Problem } from '../measure/problem.ts'
import { letter } from '../panel/lettering.ts'
import { strokesPicture } from '../picture/strokes-picture.ts'
import { hpglOf } from './hpgl-of.ts'
import type { OutFile } from './out-file.ts'

export { calibrate, changedProfile } from '../machine/calibrate.ts'
export { readProfile } from '../machine/read-profile.ts'
export { profileJsonSchema } from '../machine/schema.ts'
export { shipped } from '../machine/shipped.ts'
export { readTestReadings } from '../machine/test-readings.ts'
export { nearestWord } from '../measure/nearest.ts'
export { formatProblem } from '../measure/problem.ts'

/** Profiles that were read once; they never change. */
const readBefore = new Map<string, Machine>()

/** One of the machines that come with the tool, by its name, or what stands in the way. */
export function shippedMachine(name: string): Machine | Problem {
  const names = shipped.map((each) => each.name)
  const found = shipped.find((each) => each.name === name)
  if (!found) {
    const near = nearestWord(name, names)
    return {
      code: 'unknown_machine',
      field: 'machine',
      value: `"${name}"`,
      limit: `the machines that come with midtick are ${names.join(', ')}`,
      cure: near ? `Did you mean ${near}?` : 'Put its profile into a folder called machines beside the job.',
    }
  }
  const known = readBefore.get(name)
  if (known) return known
  const { machine, problems } = readProfile(found.text)
  if (!machine) throw new Error(`${name}: ${problems.map((p) => p.limit).join('; ')}`)
  readBefore.set(name, machine)
  return machine
}

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
