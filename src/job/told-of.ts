import type { LineNames } from '../machine/send/parts.ts'
import type { Operation } from '../stroke/stroke.ts'
import { isOutline } from '../stroke/strokes.ts'
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
  /** of its bytes, as they were written */
  readonly crc32?: string
  /** panels of the pieces on its sheet, one for each piece; none where another file of the sheet has the outlines */
  readonly pieces?: readonly string[]
  /** what is done on the same side of the sheet by another file alone */
  readonly elsewhere: readonly Operation[]
}

/** A file by its name alone, without folders. */
export function toldOf(file: string, report: SendReport | undefined): Told {
  const name = file.replace(/^.*[\\/]/, '')
  const own = report?.checks.find((check) => check.file === name)
  const [, number, turned] = sheetOf(name)
  const sent = own?.sent ?? report?.checks.find((check) => check.sent && sameSheet(check.file, name))?.sent
  const side = sent?.side ?? (number === undefined ? undefined : turned ? 'liner' : 'film')
  if (!own) return { ...(side ? { side } : {}), elsewhere: [] }
  const lines = own.sent?.lines
  const sheet = report?.material?.sheets.find((each) => `${each.sheet}` === number)
  const others = report?.checks.filter((each) => {
    const [, sheetToo] = sheetOf(each.file)
    return each.sent && each.sent.side === side && sheetToo === number && !sameSheet(each.file, name)
  })
  const done = (all: LineNames = []) => new Set(all.map(({ operation }) => operation))
  const here = done(sent?.lines)
  const hasOutlines = sent?.lines.some(isOutline)
  return {
    elsewhere: [...new Set(others?.flatMap((each) => [...done(each.sent?.lines)]))].filter((each) => !here.has(each)),
    ...(side ? { side } : {}),
    ...(own.crc32 === undefined ? {} : { crc32: own.crc32 }),
    ...(sent?.film === undefined ? {} : { film: sent.film }),
    ...(lines ? { names: lines, strokes: lines.reduce((sum, each) => sum + each.lines, 0) } : {}),
    ...(sheet ? { pieces: hasOutlines ? sheet.pieces.map(({ panel }) => panel) : [] } : {}),
  }
}

/** The number of a sheet in a file's name, and whether it is turned over. */
const sheetOf = (name: string) => /^sheet-(\d+)(\.liner-up)?\./.exec(name) ?? []

/** The HP-GL and the SVG of one side of a sheet. */
const sameSheet = (a: string, b: string) => stem(a) === stem(b)
const stem = (name: string) => name.replace(/(\.cut\.svg|\.hpgl)$/, '')
