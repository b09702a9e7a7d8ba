import { availableParallelism } from 'node:os'
import { basename, dirname, extname, join } from 'node:path'
import { type Command, InvalidArgumentError } from 'commander'
import { areaWords } from '../job/area-words.ts'
import { writeWhole } from './disk.ts'
import { jobFile } from './job-file.ts'
import { planFile } from './plan-file.ts'
import type { Voice } from './run.ts'
import { Stop } from './stop.ts'

interface LayoutFlags {
  readonly seconds: number
  readonly rounds?: number
  readonly seed?: number
  readonly lanes: number
  readonly own?: string
}

/** Rounds from one seed before the next is tried, where no number is given. */
const manyRounds = 2000

/** Adds the command that looks longer for a better layout. */
export function addLayout(program: Command, voice: Voice): void {
  program
    .command('layout')
    .argument('<job>', 'job file (YAML)')
    .option('--seconds <n>', 'how long to look', above0, 10)
    .option('--rounds <n>', 'look from one seed a core for so many rounds instead, however long it takes', whole)
    .option('--seed <n>', 'the first seed (default: that of the job)', whole)
    .option('--lanes <n>', 'how many seeds at once', whole, availableParallelism())
    .option('--own <folder>', 'folder of shapes of your own (default: shapes, beside the job file)')
    .description('look longer for a layout that takes less film, and keep it for make; Ctrl-C keeps the best so far')
    .action((job: string, flags: LayoutFlags) => layout(job, flags, voice))
}

function above0(text: string): number {
  const value = Number(text)
  if (!(value > 0 && value < 1e7)) throw new InvalidArgumentError(`${text} is not a number above 0.`)
  return value
}

function whole(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError(`${text} is not a whole number from 0.`)
  return Number(text)
}

async function layout(file: string, flags: LayoutFlags, voice: Voice): Promise<void> {
  const { plan, problems } = await planFile(file, flags.own, voice, true)
  const [
    { formatProblem },
    { machineLine },
    { layoutFile, namingPlaces, filmArea },
    { materialLines, materialOf },
    { searchLanes },
  ] = await Promise.all([
    import('../job/problems.ts'),
    import('../job/machine-words.ts'),
    import('../job/search.ts'),
    import('../job/material.ts'),
    import('./lanes.ts'),
  ])
  const refuse = (found: typeof problems) => {
    const n = found.length
    const lines = found.map((p) => `  ${formatProblem(p)}`)
    return new Stop(`${file}: ${n} ${n === 1 ? 'problem' : 'problems'}, nothing was written.\n${lines.join('\n')}`, 1)
  }
  if (!plan) throw refuse(problems)
  const { request, job, say } = plan
  const film = filmArea(request)
  const interrupt = new AbortController()
  const end = () => interrupt.abort()
  process.once('SIGINT', end)
  const lanes = Math.max(1, flags.lanes)
  let least = Infinity
  const found = await searchLanes({
    request,
    seed: flags.seed ?? job.layout.seed,
    rounds: flags.rounds ?? manyRounds,
    seeds: flags.rounds === undefined ? undefined : lanes,
    seconds: flags.rounds === undefined ? flags.seconds : Infinity,
    lanes,
    signal: interrupt.signal,
    onProgress: ({ paid, atLeast, unplaced }, seconds) => {
      if (unplaced === 0) least = Math.min(least, paid)
      if (!voice.live || !Number.isFinite(least)) return
      voice.err(`\r\u001b[K${seconds.toFixed(0)} s: ${progressWords(least, atLeast, film, job.unit)}. Ctrl-C keeps it.`)
    },
  }).finally(() => process.removeListener('SIGINT', end))
  if (voice.live) voice.err('\r\u001b[K')
  if (found.laid.problems.length > 0) throw refuse(found.laid.problems)
  const stem = basename(file, extname(file))
  const name = `${stem}.layout.yaml`
  await writeWhole(join(dirname(file), name), layoutFile(request, found.laid.sheets, found))
  await nameInJob(file, (text) => namingPlaces(text, name))
  voice.out(`${machineLine(plan.found)}\n`)
  for (const line of materialLines(job.film.name, materialOf(found.laid, job.layout.keep), say, job.unit))
    voice.out(`${line}\n`)
  voice.out(`Found from seed ${found.seed} in ${found.rounds} rounds.\n`)
  voice.out(
    `Places written to ${join(dirname(file), name)}, which ${basename(file)} names; midtick make keeps to them.\n`,
  )
}

/** New film so far, how much of it is waste, and how much better it could be at the most. */
function progressWords(paid: number, atLeast: number, film: number, unit: string): string {
  if (paid <= 0) return 'no new film'
  const percent = (share: number) => `${(100 * Math.max(0, share)).toFixed(1)} %`
  const waste = film < paid ? `, ${percent(1 - film / paid)} waste` : ''
  const bound = atLeast > 0 ? `, at most ${percent(paid / atLeast - 1)} over the best there can be` : ''
  return `${areaWords(paid, unit)} of new film${waste}${bound}`
}

/** Writes the job's text where it changes; refused where somebody else changed it at the same time. */
async function nameInJob(path: string, change: (text: string) => string): Promise<void> {
  const file = jobFile(path)
  const { text, saved } = await file.read()
  const made = change(text)
  if (made === text) return
  const { written } = await file.save(made, saved)
  if (!written)
    throw new Stop(`${path} was changed meanwhile; the layout file is there, but the job does not name it.`, 3)
}
