import { dirname, resolve } from 'node:path'
import type { Plan } from '../job/plan-job.ts'
import { planFile } from './plan-file.ts'
import type { Voice } from './run.ts'
import { changeShelfFile } from './shelf-file.ts'
import { Stop } from './stop.ts'
import { textOfFile } from './text-of-file.ts'

/** What booking a cut job changes on its shelf. */
export interface Booking {
  /** as the job names it */
  readonly shelf: string
  /** a sentence each; none where nothing of the shelf is taken */
  readonly changes: readonly string[]
  /** Does it, unless the shelf was changed meanwhile. */
  readonly book: () => Promise<void>
}

/** A job file worked out as far as where its pieces lie; a `Stop` where it is refused. */
export async function planOf(job: string, own: string | undefined, voice: Pick<Voice, 'err'>): Promise<Plan> {
  const { plan, problems, warnings } = await planFile(job, own, voice)
  for (const { text } of warnings) voice.err(`Look again: ${text}\n`)
  if (plan) return plan
  const { formatProblem } = await import('../job/problems.ts')
  const n = problems.length
  const lines = problems.map((p) => `  ${formatProblem(p)}`)
  throw new Stop(`${job}: ${n} ${n === 1 ? 'problem' : 'problems'}.\n${lines.join('\n')}`, 1)
}

/** Looks at what a job that has been cut takes off its shelf and what it leaves there. */
export async function bookingOf(job: string, own: string | undefined, voice: Pick<Voice, 'err'>): Promise<Booking> {
  const { job: read, material } = await planOf(job, own, voice)
  const { shelf, title } = read
  if (shelf === undefined) throw new Stop(`${job} names no shelf. Add a line such as shelf: shelf.yaml.`, 1)
  const file = resolve(dirname(job), shelf)
  const { booked } = await import('../job/shelf.ts')
  const { changes } = await shelfKept(file, async () => booked(await textOfFile(file), title, material))
  const book = () =>
    changeShelfFile(file, async (text) => {
      if (text === undefined) throw new Stop(`${file} is no longer there; nothing is booked.`, 3)
      const now = await shelfKept(file, () => booked(text, title, material))
      if (now.changes.join('\n') === changes.join('\n')) return now.text
      throw new Stop(`${shelf} was changed meanwhile; nothing is booked. Look at it and book again.`, 1)
    })
  return { shelf, changes, book }
}

/** What `work` makes of a shelf file; where it is refused, a `Stop` with every problem. */
export async function shelfKept<T>(file: string, work: () => T | Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof Error) || error.name !== 'Refusal') throw error
    const lines = error.message.split('\n')
    const n = lines.length
    throw new Stop(`${file}: ${n} ${n === 1 ? 'problem' : 'problems'}, it stays as it is.\n  ${lines.join('\n  ')}`, 1)
  }
}
