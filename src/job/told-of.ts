import type { LineNames } from '../machine/send/parts.ts'
import type { FilmSide } from './as-planned.ts'
import type { SendReport } from './send-report.ts'

/** What the report of the run that wrote a cut file, and the file's name, tell of it. */
export interface Told {
  readonly side?: FilmSide
  /** the film that it is cut from */
  readonly film?: string
  /** HP-GL alone: strokes in the file, and what they are called in order */
  readonly strokes?: number
  readonly names?: LineNames
  /** panels of the pieces on its sheet, one for each piece */
  readonly pieces?: readonly string[]
}

/** A file by its name alone, without folders. */
export function toldOf(file: string, report: SendReport | undefined): Told {
  const name = file.replace(/^.*[\\/]/, '')
  const own = report?.checks.find((check) => check.file === name)
  const [, number, turned] = /^sheet-(\d+)(\.liner-up)?\./.exec(name) ?? []
  const sent = own?.sent ?? report?.checks.find((check) => check.sent && sameSheet(check.file, name))?.sent
  const side = sent?.side ?? (number === undefined ? undefined : turned ? 'liner' : 'film')
  if (!own) return side ? { side } : {}
  const lines = own.sent?.lines
  const sheet = report?.material?.sheets.find((each) => `${each.sheet}` === number)
  return {
    ...(side ? { side } : {}),
    ...(sent?.film === undefined ? {} : { film: sent.film }),
    ...(lines ? { names: lines, strokes: lines.reduce((sum, each) => sum + each.lines, 0) } : {}),
    ...(sheet ? { pieces: sheet.pieces.map(({ panel }) => panel) } : {}),
  }
}

/** The HP-GL and the SVG of one side of a sheet. */
const sameSheet = (a: string, b: string) => stem(a) === stem(b)
const stem = (name: string) => name.replace(/(\.cut\.svg|\.hpgl)$/, '')
