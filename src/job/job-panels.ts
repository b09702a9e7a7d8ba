import type { Machine } from '../machine/profile.ts'
import { writeLength } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import type { Say, Template } from '../panel/template.ts'
import { shippedMachine } from './machines.ts'
import { type ReadFile, readNamedFiles } from './named-files.ts'
import { type Built, buildPanels } from './panels.ts'
import type { ReadJob } from './read-job.ts'
import type { Job } from './schema.ts'
import { largeDoubts } from './unit-doubts.ts'

export interface PanelOptions {
  /** the machine to cut on, in place of the one that the job names */
  readonly machine?: Machine
  /** the machine of that name, where the job names one instead of telling about it */
  readonly findMachine?: (name: string) => Machine | Problem
  /** gives the bytes of a file that the job names, relative to the job; throws where it cannot */
  readonly readFile?: ReadFile
}

/** A job with its panels and the machine that they are cut on, or what stands in the way. */
type JobPanels =
  | {
      readonly job: Job
      readonly machine: Machine
      readonly objects: readonly Built[]
      /** lengths in the job's unit */
      readonly say: Say
      readonly problems: readonly []
      readonly warnings: readonly Warning[]
      readonly bare: ReadJob['bare']
    }
  | { readonly job?: undefined; readonly problems: readonly Problem[]; readonly warnings: readonly Warning[] }

/** Works out every panel of a job that was read. */
export async function panelsOf(
  { job, problems, warnings, bare }: ReadJob,
  templates: readonly Template[],
  { readFile, machine: chosen, findMachine = shippedMachine }: PanelOptions = {},
): Promise<JobPanels> {
  if (!job) return { problems, warnings }
  const say: Say = (mm) => writeLength(mm, job.unit)
  const machine = chosen ?? machineOf(job, findMachine)
  if ('code' in machine) return { problems: [machine], warnings }
  const named = await readNamedFiles(job, templates, readFile)
  if (named.problems.length > 0) return { problems: named.problems, warnings }
  const built = buildPanels(job, templates, named.files, hasPen(machine), say)
  if (built.problems.length > 0) return { problems: built.problems, warnings }
  const { objects } = built
  const large = bare ? largeDoubts(job, objects, bare, say) : []
  return { job, machine, objects, say, problems: [], warnings: [...warnings, ...large], bare }
}

/** Without a pen nothing is drawn on the film. */
export const hasPen = ({ tools }: Machine): boolean => tools.pen !== undefined

/** The machine of a job that names none. */
const standardMachine = 'plain-roll'

/** The machine that a job tells about or names. */
function machineOf({ machine = standardMachine }: Job, findMachine: NonNullable<PanelOptions['findMachine']>) {
  return typeof machine === 'string' ? findMachine(machine) : machine
}
