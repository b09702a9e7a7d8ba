import { resolve } from 'node:path'
import { type Command, InvalidArgumentError } from 'commander'
import picocolors from 'picocolors'
import { progressLine } from './progress-line.ts'
import type { Voice } from './run.ts'
import { type Address, type Checked, linkFor, sendable } from './sendable.ts'
import { Stop } from './stop.ts'

interface SendFlags {
  readonly to?: string
  readonly machine?: string
  readonly side?: 'film' | 'liner'
  readonly from?: string
  readonly frame?: boolean
  readonly yes?: boolean
}

/** Adds the command that sends a cut file to its machine. */
export function addSend(program: Command, voice: Voice): void {
  program
    .command('send')
    .argument('<file>', 'cut file (HP-GL)')
    .option('--to <link>', 'where to: serial:, tcp:, device:, queue: or file: (default: the link of the machine)')
    .option('--machine <name>', 'machine that it is cut on (default: the one the file was made for)')
    .option('--side <side>', 'side of the sheet that faces the tool: film or liner', side)
    .option(
      '--from <place>',
      'begin with this piece, such as "lid, copy 2, kiss"; or at "lid, copy 2, kiss, line 3" of it',
    )
    .option('--frame', 'only go once round the job with the tool up, to see that it lies on the film')
    .option('--yes', 'do not ask before it begins')
    .description('send a cut file to its machine, and watch, pause, stop and go on')
    .action((file: string, flags: SendFlags) => send(file, flags, voice))
}

function side(text: string): 'film' | 'liner' {
  if (text === 'film' || text === 'liner') return text
  throw new InvalidArgumentError(`${text} is not film or liner.`)
}

async function send(file: string, flags: SendFlags, voice: Voice): Promise<void> {
  const { check, machine, whence } = await sendable(file, flags)
  const address = await linkFor(flags.to, machine)
  if (address.kind === 'file' && resolve(address.to) === resolve(file)) {
    throw new Stop(`${file} cannot be sent to itself. Name another file.`, 2)
  }
  const sending = await import('../job/send.ts')
  const { plan } = check
  const course = await courseOf(check, flags)
  const sent = flags.frame ? sending.framePlan(plan) : plan
  await showCheck(file, check, { address, course, whence }, flags, voice)
  if (!flags.yes) await ask(flags.from === undefined || flags.frame ? check.question : check.onward, voice)
  const [{ openLink }, { runSend }, { LinkError }] = await Promise.all([
    import('../link/open-link.ts'),
    import('../link/run-send.ts'),
    import('../link/link.ts'),
  ])
  const link = await openLink(address, file).catch((error) => {
    throw error instanceof LinkError ? new Stop(`Nothing was sent. ${error.message}`, 3) : error
  })
  const running = runSend(link, { plan: sent, course, address })
  const stopWatching = await watch(running, voice)
  const { sender, note } = await running.finished
  stopWatching()
  const ending = sending.endingOf(sender, running.now(), (place) => `--from ${quoted(place)}`, note)
  for (const line of ending.words) voice.out(`${line}\n`)
  const how = sender.outcome?.how
  if (how === 'stopped' || how === 'left') throw new Stop('Not all of the job was sent.', 4)
  if (how !== 'done') throw new Stop('The run did not come to its end.', how === 'too far' ? 1 : 3)
  if (sender.errors.length > 0) throw new Stop('The machine reports an error.', 3)
  if (check.next && !flags.frame) voice.out(`${check.next.words}\n`)
}

async function courseOf({ plan }: Checked, { from, frame }: SendFlags) {
  const { courseFrom, readMark, refusalLines, Refusal, wholeFile } = await import('../job/send.ts')
  if (from === undefined || frame) return wholeFile
  try {
    const mark = readMark(from, plan)
    if ('code' in mark) throw new Refusal([mark])
    return courseFrom(plan, mark)
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    throw new Stop(`Nothing was sent. ${refusalLines(error).join('\n')}`, 2)
  }
}

/** A text as a shell takes it for one. */
const quoted = (text: string) => (/["$`\\!]/.test(text) ? `'${text.replaceAll("'", "'\\''")}'` : `"${text}"`)

/** Parts that are listed before the rest is only counted. */
const mostListed = 30

async function showCheck(
  file: string,
  check: Checked,
  {
    address,
    course,
    whence,
  }: {
    readonly address: Address
    readonly course: Awaited<ReturnType<typeof courseOf>>
    readonly whence: string | undefined
  },
  flags: SendFlags,
  voice: Voice,
): Promise<void> {
  const { beginningLines, linkWords, partWords, timeWords } = await import('../job/send.ts')
  const { bold, dim } = picocolors.createColors(voice.colour)
  const { parts } = check.plan
  voice.out(`${bold(file)} to ${linkWords(address)}\n`)
  if (whence !== undefined) voice.out(`  ${whence}\n`)
  for (const line of check.lines) voice.out(`  ${line}\n`)
  for (const part of parts.slice(0, mostListed)) {
    const lines = part.lines.length
    const what = `${lines} ${lines === 1 ? 'line' : 'lines'}, ${(part.down / 1000).toFixed(2)} m, ${timeWords(part.seconds)}`
    voice.out(`  ${dim(`${partWords(part)}: ${what}`)}\n`)
  }
  if (parts.length > mostListed) voice.out(`  ${dim(`and ${parts.length - mostListed} more`)}\n`)
  if (flags.frame) voice.out('Only its outline is traced now, with the tool up.\n')
  else if (flags.from !== undefined) voice.out(`It begins with ${flags.from}; what stands before is taken as done.\n`)
  for (const line of beginningLines(check.plan, course)) voice.out(`${line}\n`)
}

async function ask(question: string, voice: Voice): Promise<void> {
  if (!voice.ask) throw new Stop('Nothing was sent: there is nobody to ask. Say --yes where all is ready.', 2)
  if (!(await voice.ask(`${question} Begin? [y/N] `))) throw new Stop('Nothing was sent.', 4)
}

/** ms between looks at the progress. */
const lookEvery = 200

type Running = ReturnType<Awaited<typeof import('../link/run-send.ts')>['runSend']>

/** Shows what the machine is doing, and passes on what the person wants; gives what ends that. */
async function watch(running: Running, voice: Voice): Promise<() => void> {
  const { progressOf, ...words } = await import('../job/send.ts')
  let told = ''
  let stops = 0
  const stop = () => {
    stops++
    running.tell(stops === 1 ? 'stop' : 'leave')
  }
  const keys = (key: string) => {
    if (key === 'p' || key === 'P') running.tell('pause')
    else if (key === 'r' || key === 'R') running.tell('resume')
    else if (key === 's' || key === 'S' || key === '\u0003') stop()
  }
  const endKeys = voice.keys?.(keys)
  process.on('SIGINT', stop)
  if (endKeys)
    voice.err('p pauses, r goes on, s or Ctrl-C stops with the tool up and parked; once more leaves at once.\n')
  const look = () => {
    const progress = progressOf(running.state(), running.now())
    const columns = voice.live ? (process.stderr.columns || 80) - 1 : Number.POSITIVE_INFINITY
    const text = progressLine(progress, words, columns)
    const key = progress.state === 'stopping' ? progress.state : `${progress.state} ${progress.under}`
    if (voice.live) voice.err(`\r\u001b[K${text}`)
    else if (key !== told && text !== '') voice.err(`${text}\n`)
    told = key
  }
  look()
  const timer = setInterval(look, lookEvery)
  return () => {
    clearInterval(timer)
    endKeys?.()
    process.off('SIGINT', stop)
    if (voice.live) voice.err('\r\u001b[K')
  }
}
