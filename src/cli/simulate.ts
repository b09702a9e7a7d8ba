import { writeFile } from 'node:fs/promises'
import { type Command, InvalidArgumentError } from 'commander'
import { why } from './disk.ts'
import type { ProfileFolder } from './machine-profiles.ts'
import { findMachine } from './machines.ts'
import type { Voice } from './run.ts'
import { Stop } from './stop.ts'

interface SimulateFlags {
  readonly socket?: number
  readonly terminal?: string
  readonly device?: string
  readonly machine?: string
  readonly baud: number
  readonly buffer: number
  readonly drain: number
  readonly draw?: string
  readonly slow?: number
  readonly silent?: true
  readonly babbles?: true
  readonly drops?: number
  readonly garbles?: number
  readonly resets?: number
  readonly full?: number
  readonly disappears?: number
}

/** Adds the machine that is none, for trying without one. */
export function addSimulate(machines: Command, folders: () => ProfileFolder[], voice: Voice): void {
  machines
    .command('simulate')
    .description('start a machine that is none, to try sending without one; it draws what it would have cut')
    .option('--socket <port>', 'be reached at this port of this computer; 0 for a free one', whole(0, 65_535))
    .option('--terminal <path>', 'be reached as a serial line at this path (needs socat)')
    .option('--device <path>', 'be reached as a device file at this path, which only takes')
    .option('--machine <name>', 'whose axes, film and pace it has')
    .option('--baud <n>', 'speed of the serial line', whole(50, 4_000_000), 9600)
    .option('--buffer <bytes>', 'what its buffer holds', whole(1, 1e9), 1024)
    .option('--drain <bytes>', 'how many bytes it carries out in a second', whole(1, 1e9), 200)
    .option('--draw <file>', 'drawing of what was cut (SVG), written whenever it is through with what it has')
    .option('--slow <n>', 'misbehave: take so many times as long', whole(1, 10_000))
    .option('--silent', 'misbehave: answer nothing')
    .option('--babbles', 'misbehave: answer other bytes than it should')
    .option('--drops <n>', 'misbehave: lose every so many-th byte', whole(2, 1e9))
    .option('--garbles <n>', 'misbehave: get every so many-th byte wrong', whole(2, 1e9))
    .option('--resets <n>', 'misbehave: forget everything after so many bytes, and hang up', whole(1, 1e9))
    .option('--full <n>', 'misbehave: carry out so many bytes and then no more', whole(1, 1e9))
    .option('--disappears <n>', 'misbehave: hang up after so many bytes', whole(1, 1e9))
    .action((flags: SimulateFlags) => start(flags, folders(), voice))
}

/** Runs until it is interrupted. */
async function start(flags: SimulateFlags, folders: readonly ProfileFolder[], voice: Voice): Promise<void> {
  const { buffer, drain, baud, draw } = flags
  const { slow, silent, babbles, drops, garbles, resets, full, disappears } = flags
  const [{ simulate }, { usualSimulated }, { drawnSvg }] = await Promise.all([
    import('../link/simulate.ts'),
    import('../job/send.ts'),
    import('../job/drawn.ts'),
  ])
  const machine = flags.machine === undefined ? undefined : (await findMachine(flags.machine, folders)).machine
  const where = [
    ...(flags.socket === undefined ? [] : [{ kind: 'socket' as const, port: flags.socket }]),
    ...(flags.terminal === undefined ? [] : [{ kind: 'terminal' as const, path: flags.terminal, baud }]),
    ...(flags.device === undefined ? [] : [{ kind: 'device' as const, path: flags.device }]),
  ]
  const [at, ...more] = where
  if (!at || more.length > 0) {
    throw new Stop('A simulated machine is reached one way: give one of --socket, --terminal and --device.', 2)
  }
  const given = { slow, silent, babbles, drops, garbles, resets, full, disappears }
  const misbehaviour = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined))
  const started = await simulate(at, { ...usualSimulated, buffer, drain, misbehaviour }, (simulated) => {
    voice.out(`Through with ${simulated.done.length} bytes: ${simulated.drawn.length} lines in all.\n`)
    if (draw === undefined) return
    writeFile(draw, drawnSvg(simulated.done, machine)).catch((error) =>
      voice.err(`${draw} cannot be written: ${why(error)}.\n`),
    )
  })
  voice.out(`A simulated machine waits. Send to it with: --to ${started.address}\nCtrl-C ends it.\n`)
  await new Promise<void>((resolve) => {
    process.once('SIGINT', () => resolve())
    process.once('SIGTERM', () => resolve())
  })
  await started.close()
}

function whole(low: number, high: number): (text: string) => number {
  return (text) => {
    const value = Number(text)
    if (Number.isInteger(value) && value >= low && value <= high) return value
    throw new InvalidArgumentError(`${text} is not a whole number from ${low} to ${high}.`)
  }
}
