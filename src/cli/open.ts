import { spawn } from 'node:child_process'
import { stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Command, InvalidArgumentError } from 'commander'
import { why } from './disk.ts'
import type { Voice } from './run.ts'

/** Adds the command that shows the page on this computer. */
export function addOpen(program: Command, voice: Voice): void {
  program
    .command('open')
    .argument('[job]', 'job file (YAML) to edit in place')
    .option('--port <n>', 'port of this computer to use (default: a free one)', portNumber)
    .option('--own <folder>', 'folder of shapes of your own (default: shapes, beside the job file)')
    .option('--no-browser', 'only print the address')
    .description('show the page in the browser, from this computer and for it only')
    .action((job: string | undefined, flags: OpenFlags) => open(job, flags, voice))
}

interface OpenFlags {
  readonly port?: number
  readonly own?: string
  readonly browser: boolean
}

/** Ends when the person interrupts it. */
async function open(job: string | undefined, flags: OpenFlags, voice: Voice): Promise<void> {
  if (job !== undefined) await refuseNoFile(job)
  const { listen } = await import('./listen.ts')
  const own = flags.own ?? join(job === undefined ? '.' : dirname(job), 'shapes')
  const server = await listen({ page: pageFolder(), job, own, port: flags.port })
  const interrupted = new Promise<void>((resolve) => {
    process.once('SIGINT', () => resolve())
    process.once('SIGTERM', () => resolve())
  })
  voice.out(`${job ?? 'The page'} is open at\n${server.address}\nfor this computer only. Ctrl-C ends it.\n`)
  if (flags.browser) openBrowser(server.addressOnce)
  await interrupted
  await server.close()
}

function portNumber(text: string): number {
  const value = Number(text)
  if (!(Number.isInteger(value) && value >= 1 && value <= 65_535)) {
    throw new InvalidArgumentError(`${text} is not a whole number from 1 to 65535.`)
  }
  return value
}

async function refuseNoFile(job: string): Promise<void> {
  const found = await stat(job).catch(why)
  if (typeof found === 'object' && found.isFile()) return
  const reason = typeof found === 'object' ? 'it is not a file' : found
  throw new Error(`${job} cannot be read: ${reason}. Name a job file, or none to start a new job on the page.`)
}

/** The static page lies beside the bundled command; from the source it is where the build puts it. */
function pageFolder(): string {
  const here = dirname(fileURLToPath(import.meta.url))
  return import.meta.url.endsWith('/src/cli/open.ts') ? join(here, '..', '..', 'dist', 'page') : join(here, 'page')
}

/** What opens an address in the person's browser. */
export function browserCommand(platform: NodeJS.Platform, address: string): readonly [string, ...string[]] {
  if (platform === 'win32') return ['cmd', '/c', 'start', '', address]
  return [platform === 'darwin' ? 'open' : 'xdg-open', address]
}

/** Where there is none, the printed address has to do. */
function openBrowser(address: string): void {
  const [command, ...rest] = browserCommand(process.platform, address)
  const child = spawn(command, rest, { stdio: 'ignore', detached: true })
  child.on('error', () => undefined)
  child.unref()
}
