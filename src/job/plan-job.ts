import type { Machine } from '../machine/profile.ts'
import { reachOf } from '../machine/profile.ts'
import { writeLength } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import type { Say, Template } from '../panel/template.ts'
import { laySideBySide, type Piece, type Sheet } from '../sheet/sheet.ts'
import type { Stroke } from '../stroke/stroke.ts'
import { crossSpace, filmStrokes, linerStrokes } from '../stroke/strokes.ts'
import { type ReadFile, readNamedFiles } from './named-files.ts'
import { type Built, buildPanels, letterWarnings } from './panels.ts'
import { readJob } from './read-job.ts'
import type { Job } from './schema.ts'

/** A sheet with the strokes of both its sides. */
export interface Cut {
  readonly sheet: Sheet
  readonly film: readonly Stroke[]
  readonly liner: readonly Stroke[]
}

/** Everything about a job that is worked out before a file is written. */
export interface Plan {
  readonly job: Job
  readonly machine: Machine
  readonly objects: readonly Built[]
  readonly cuts: readonly Cut[]
  /** lengths in the job's unit */
  readonly say: Say
}

export interface Planned {
  readonly plan?: Plan
  readonly problems: readonly Problem[]
  readonly warnings: readonly string[]
}

export interface PlanOptions {
  /** the names of all shapes there are, where `templates` holds only those that the job may need */
  readonly shapeIds?: readonly string[]
  /** gives the bytes of a file that the job names, relative to the job; throws where it cannot */
  readonly readFile?: ReadFile
}

/** A job file's text to panels, to sheets and to the strokes of both their sides. */
export async function planJob(
  text: string,
  templates: readonly Template[],
  { shapeIds, readFile }: PlanOptions = {},
): Promise<Planned> {
  const read = readJob(text, templates, shapeIds)
  if (!read.job) return read
  const job = read.job
  const say = (mm: number) => writeLength(mm, job.unit)
  const machine = machineOf(job)
  const named = await readNamedFiles(job, templates, readFile)
  if (named.problems.length > 0) return { problems: named.problems, warnings: read.warnings }
  const { objects, problems } = buildPanels(job, templates, named.files, say)
  if (problems.length > 0) return { problems, warnings: read.warnings }
  const hasPen = machine.pens.pen !== undefined
  const warnings = [...read.warnings, ...(hasPen ? letterWarnings(objects) : [])]
  const panels = objects.flatMap((built) => built.panels)
  const crosses = panels.some(({ panel }) => panel.slits.length > 0)
  const pieces = panels.flatMap(({ panel, copies }) =>
    Array.from({ length: copies }, (_, i): Piece => ({ panel, copy: i + 1, copies })),
  )
  const laid = laySideBySide(pieces, job.stock, reachOf(machine), crosses ? crossSpace : 0)
  if (laid.problems.length > 0) return { problems: laid.problems, warnings }
  const { margin } = job.stock
  const cuts = laid.sheets.map(
    (sheet): Cut => ({
      sheet,
      film: filmStrokes(sheet, { cut: job.cut, hasPen, margin, crosses }),
      liner: linerStrokes(sheet, margin),
    }),
  )
  return { plan: { job, machine, objects, cuts, say }, problems: [], warnings }
}

function machineOf(job: Job): Machine {
  const { name, width, length, unitsPerMm, wideRange, pens } = job.machine
  const { pen, ...rest } = pens
  return {
    name,
    area: { x: length, y: width },
    unitsPerMm,
    wideRange,
    pens: pen === undefined ? rest : { ...rest, pen },
  }
}
