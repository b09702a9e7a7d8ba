import { availableParallelism } from 'node:os'
import { basename, dirname, extname, join } from 'node:path'
import { type Command, InvalidArgumentError } from 'commander'
import { areaWords } from '../job/area-words.ts'
import type { Plan } from '../job/plan-job.ts'
import type { Found } from '../job/search.ts'
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
  const { plan, problems } = await planToBeat(file, flags.own, voice)
  const [
    { formatProblem },
    { machineLine },
    { beatsPlan, layoutFile, namingPlaces, filmArea },
    { materialLines, materialOf },
    { searchLanes },
  ] = await Promise.all([
    import('../job/problems.ts'),
    import('../job/machine-words.ts'),
    import('../job/search.ts'),
    import('../job/material.ts'),
    import('./lanes.ts'),
  ])
  if (!plan) {
    const n = problems.length
    const lines = problems.map((p) => `  ${formatProblem(p)}`)
    throw new Stop(`${file}: ${n} ${n === 1 ? 'problem' : 'problems'}, nothing was written.\n${lines.join('\n')}`, 1)
  }
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
  const stem = basename(file, extname(file))
  const name = `${stem}.layout.yaml`
  const isBetter = beatsPlan(found, plan)
  const how = isBetter ? found : { seed: job.layout.seed, rounds: job.layout.effort }
  const sheets = isBetter ? found.laid.sheets : plan.cuts.map(({ sheet }) => sheet)
  if (isBetter || plan.keptIn === undefined) {
    await writeWhole(join(dirname(file), name), layoutFile(request, sheets, how))
    await nameInJob(file, (text) => namingPlaces(text, name))
  }
  voice.out(`${machineLine(plan.found)}\n`)
  const material = isBetter ? materialOf(found.laid, job.layout.keep) : plan.material
  for (const line of materialLines(job.film.name, material, say, job.unit)) voice.out(`${line}\n`)
  if (isBetter) voice.out(`Found from seed ${found.seed} in ${found.rounds} rounds.\n`)
  else voice.out(`${notBetter(found, plan)}\n`)
  if (!isBetter && plan.keptIn !== undefined) return
  voice.out(
    `Places written to ${join(dirname(file), name)}, which ${basename(file)} names; midtick make keeps to them.\n`,
  )
}

/** The job with the layout that it has, which a search is to beat; laid anew where its layout file cannot be read. */
async function planToBeat(file: string, own: string | undefined, voice: Voice) {
  const planned = await planFile(file, own, voice)
  for (const { text } of planned.warnings) voice.err(`Look again: ${text}\n`)
  return planned.plan ? planned : planFile(file, own, voice, true)
}

/** What is told where the layout that the job has stays. */
function notBetter({ laid, seed, rounds }: Found, { keptIn, material, cuts, job }: Plan): string {
  const takes = (paid: number, sheets: number) =>
    `${paid > 0 ? `${areaWords(paid, job.unit)} of new film` : 'no new film'} and ${sheets} ${sheets === 1 ? 'sheet' : 'sheets'}`
  const kept = keptIn === undefined ? 'The layout that the job has already' : `The layout in ${keptIn}`
  const stays = keptIn === undefined ? '' : `; it stays. Delete ${keptIn} to begin anew`
  const other =
    laid.problems.length > 0
      ? 'The search ended before it had laid every piece; give it more seconds'
      : `Nothing better was found: ${takes(laid.paid, laid.sheets.length)} from seed ${seed} in ${rounds} rounds`
  return `${kept} takes ${takes(material.paid, cuts.length)}. ${other}${stays}.`
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
