import { type Machine, reachOf } from '../machine/profile.ts'
import { writeLength } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import type { Say, Template } from '../panel/template.ts'
import { laySideBySide, type Piece, type Sheet } from '../sheet/sheet.ts'
import { type Side, sideOf } from '../stroke/side.ts'
import { crossSpace, filmStrokes, linerStrokes } from '../stroke/strokes.ts'
import { shippedMachine } from './machines.ts'
import { type ReadFile, readNamedFiles } from './named-files.ts'
import { type Built, buildPanels, letterWarnings } from './panels.ts'
import { readJob } from './read-job.ts'
import type { Job } from './schema.ts'

/** A sheet with what is cut on both its sides. */
export interface Cut {
  readonly sheet: Sheet
  readonly film: Side
  readonly liner: Side
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
  /** the machine to cut on, in place of the one that the job names */
  readonly machine?: Machine
  /** the machine of that name, where the job names one instead of telling about it */
  readonly findMachine?: (name: string) => Machine | Problem
  /** gives the bytes of a file that the job names, relative to the job; throws where it cannot */
  readonly readFile?: ReadFile
}

/** A job file's text to panels, to sheets and to the strokes of both their sides. */
export async function planJob(
  text: string,
  templates: readonly Template[],
  { shapeIds, readFile, machine: chosen, findMachine = shippedMachine }: PlanOptions = {},
): Promise<Planned> {
  const read = readJob(text, templates, shapeIds)
  if (!read.job) return read
  const job = read.job
  const say = (mm: number) => writeLength(mm, job.unit)
  const found = chosen ?? machineOf(job, findMachine)
  if ('code' in found) return { problems: [found], warnings: read.warnings }
  const machine = found
  const named = await readNamedFiles(job, templates, readFile)
  if (named.problems.length > 0) return { problems: named.problems, warnings: read.warnings }
  const hasPen = machine.tools.pen !== undefined
  const { objects, problems } = buildPanels(job, templates, named.files, hasPen, say)
  if (problems.length > 0) return { problems, warnings: read.warnings }
  const warnings = [...read.warnings, ...(hasPen ? letterWarnings(objects) : [])]
  const panels = objects.flatMap((built) => built.panels)
  // Where no tool slits the liner it is slit by hand, and there is no second side to line up.
  const crosses = machine.tools.slit !== undefined && panels.some(({ panel }) => panel.slits.length > 0)
  const pieces = panels.flatMap(({ panel, copies }) =>
    Array.from({ length: copies }, (_, i): Piece => ({ panel, copy: i + 1, copies })),
  )
  const margin = Math.max(job.stock.margin, ...deadEdges(machine))
  const laid = laySideBySide(pieces, { ...job.stock, margin }, reachOf(machine), crosses ? crossSpace : 0)
  if (laid.problems.length > 0) return { problems: laid.problems, warnings }
  const cuts = laid.sheets.map((sheet): Cut => {
    const film = filmStrokes(sheet, { cut: job.cut, hasPen, margin, crosses })
    return {
      sheet,
      film: sideOf(film, machine, margin),
      liner: sideOf(crosses ? linerStrokes(sheet, margin) : [], machine, margin),
    }
  })
  return { plan: { job, machine, objects, cuts, say }, problems: [], warnings }
}

/** The machine that a job tells about or names. */
export const machineOf = (job: Job, findMachine: NonNullable<PlanOptions['findMachine']> = shippedMachine) =>
  typeof job.machine === 'string' ? findMachine(job.machine) : job.machine

const deadEdges = ({ margins: { low, high } }: Machine) => [low.x, low.y, high.x, high.y]
