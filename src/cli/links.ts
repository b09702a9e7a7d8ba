import { readdir } from 'node:fs/promises'
import type { Command } from 'commander'
import type { Voice } from './run.ts'
import { Stop } from './stop.ts'

/** A link that this computer has, as it is named after --to. */
export interface LinkFound {
  readonly to: string
  readonly what: string
}

const usbPrinters = '/dev/usb'

/** Serial lines, USB printers and print queues that are there now, and a sentence for each kind that cannot be listed. */
export async function linksHere(): Promise<{
  readonly links: readonly LinkFound[]
  readonly notes: readonly string[]
}> {
  const [{ serialPaths }, { queueNames }] = await Promise.all([import('../link/serial.ts'), import('../link/queue.ts')])
  const notes: string[] = []
  const tried = async (list: () => Promise<readonly string[]>, kind: string, what: string): Promise<LinkFound[]> => {
    try {
      return (await list()).map((name) => ({ to: `${kind}:${name}`, what }))
    } catch (error) {
      notes.push(error instanceof Error ? error.message : String(error))
      return []
    }
  }
  const devices = async () => {
    const names = await readdir(usbPrinters).catch(() => [])
    return names.filter((name) => /^lp\d+$/.test(name)).map((name) => `${usbPrinters}/${name}`)
  }
  const links = [
    ...(await tried(serialPaths, 'serial', 'serial line')),
    ...(await tried(devices, 'device', 'USB printer device')),
    ...(await tried(() => queueNames({ server: undefined, port: undefined }), 'queue', 'print queue')),
  ]
  return { links, notes }
}

/** Adds the commands that show where a job can be sent, and what waits in the print queues. */
export function addLinks(program: Command, voice: Voice): void {
  program
    .command('links')
    .description('the serial lines, devices and print queues of this computer, as send takes them')
    .action(async () => {
      const { links, notes } = await linksHere()
      const wide = Math.max(0, ...links.map(({ to }) => to.length)) + 2
      for (const { to, what } of links) voice.out(`${to.padEnd(wide)}${what}\n`)
      if (links.length === 0) voice.out('There are none. A machine in the network is tcp:ADDRESS:PORT.\n')
      for (const note of notes) voice.err(`${note}\n`)
    })
  program
    .command('queue')
    .option('--server <host>', 'print server, with :port if it has its own (default: this computer)')
    .option('--cancel <job>', 'take a waiting job out')
    .description('what waits in the print queues')
    .action(async ({ server: named, cancel }: { server?: string; cancel?: string }) => {
      const { cancelJob, waitingJobs } = await import('../link/queue.ts')
      const [, server, port] = /^([^\s:/-][^\s:/]*)(?::(\d{1,5}))?$/.exec(named ?? '') ?? []
      if (named !== undefined && server === undefined) throw new Stop(`${named} is no server such as printer:631.`, 2)
      const at = { server, port: port === undefined ? undefined : Number(port) }
      if (cancel !== undefined) {
        if (!/^[^\s-]\S*-\d+$/.test(cancel)) throw new Stop(`${cancel} is no job such as cutter-12.`, 2)
        await cancelJob(cancel, at)
        voice.out(`${cancel} is taken out.\n`)
        return
      }
      const jobs = await waitingJobs(at)
      for (const { id, owner, bytes, since } of jobs) voice.out(`${id}  ${owner}  ${bytes} bytes  ${since}\n`)
      if (jobs.length === 0) voice.out('Nothing waits.\n')
    })
}
