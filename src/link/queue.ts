import { spawn } from 'node:child_process'
import type { LinkAddress } from '../machine/link-address.ts'
import { codeOf, type Link, LinkError, messageOf, Teller } from './link.ts'

/** ms that a command of the printing system may take. */
const commandWithin = 30_000

/** A job that waits or is being printed. */
export interface WaitingJob {
  /** as the printing system numbers it, such as `cutter-12` */
  readonly id: string
  readonly owner: string
  readonly bytes: number
  readonly since: string
}

type Server = Pick<LinkAddress, 'server' | 'port'>

/** A standard print queue: the whole job goes there as it is, once it is complete. */
export async function openQueue({ to, server, port }: LinkAddress, title: string): Promise<Link> {
  const names = await queueNames({ server, port })
  if (!names.includes(to)) {
    const cure = names.length > 0 ? `There are ${names.join(', ')}.` : 'Set one up first, with the raw driver.'
    throw new LinkError(`The print queue ${to}`, 'there is none of that name', cure)
  }
  const kept: Uint8Array[] = []
  return {
    answers: false,
    drains: false,
    listen: (listener) => new Teller().listen(listener),
    write: async (bytes) => {
      kept.push(bytes.slice())
    },
    finish: async () => {
      const args = [...serverOf({ server, port }), '-d', to, '-o', 'raw', '-t', title.slice(0, 100)]
      const said = await call('lp', args, Buffer.concat(kept))
      const id = /\b(\S+-\d+)\b/.exec(said)?.[1] ?? said.trim()
      return `The queue has it as ${id}. midtick queue shows what waits; midtick queue --cancel ${id} takes it out.`
    },
    abandon: async () => undefined,
  }
}

/** The print queues that there are. */
export async function queueNames(server: Server): Promise<string[]> {
  const said = await call('lpstat', [...serverOf(server), '-e']).catch((error) => {
    // Without a single queue it says so and fails.
    if (error instanceof LinkError && /no destinations/i.test(error.message)) return ''
    throw error
  })
  return said.split('\n').flatMap((line) => line.trim() || [])
}

/** What waits in all queues. */
export async function waitingJobs(server: Server): Promise<WaitingJob[]> {
  const said = await call('lpstat', [...serverOf(server), '-o'])
  return said.split('\n').flatMap((line) => {
    const [, id, owner, bytes, since] = /^(\S+-\d+)\s+(\S+)\s+(\d+)\s+(.*)$/.exec(line) ?? []
    return id && owner && since !== undefined ? [{ id, owner, bytes: Number(bytes), since: since.trim() }] : []
  })
}

export async function cancelJob(id: string, server: Server): Promise<void> {
  await call('cancel', [...serverOf(server), id])
}

const serverOf = ({ server, port }: Server): string[] =>
  server === undefined ? [] : ['-h', port === undefined ? server : `${server}:${port}`]

/** Runs a command of the printing system, which POSIX names lp and CUPS brings along. */
function call(command: string, args: readonly string[], input?: Uint8Array): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, {
      stdio: ['pipe', 'pipe', 'pipe'],
      env: { ...process.env, LC_ALL: 'C' },
      timeout: commandWithin,
    })
    let [out, err] = ['', '']
    child.stdout.on('data', (bytes) => {
      out += String(bytes)
    })
    child.stderr.on('data', (bytes) => {
      err += String(bytes)
    })
    child.on('error', (error) => {
      const isMissing = codeOf(error) === 'ENOENT'
      const why = isMissing ? `the command ${command} is not installed` : messageOf(error)
      const cure = isMissing ? 'Install cups-client, or send to the machine itself.' : 'Try again.'
      reject(new LinkError('The print queue', why, cure))
    })
    child.on('close', (code, signal) => {
      if (code === 0) return resolve(out)
      const why =
        signal === null
          ? err
              .trim()
              .replace(/^\w+: /, '')
              .replace(/\.$/, '')
          : `${command} did not answer in time`
      reject(
        new LinkError(
          'The print queue',
          why || `${command} failed`,
          'Is the printing system running? lpstat -r tells.',
        ),
      )
    })
    child.stdin.on('error', () => undefined)
    child.stdin.end(input)
  })
}
