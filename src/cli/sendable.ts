import { forCutFile } from './machine-profiles.ts'
import { findMachine } from './machines.ts'
import { reportBeside } from './report-beside.ts'
import { Stop } from './stop.ts'
import { bytesOf } from './text-of-file.ts'

const load = () => import('../job/send.ts')
type Sending = Awaited<ReturnType<typeof load>>
export type Checked = ReturnType<Sending['checkSend']>
export type Address = Exclude<ReturnType<Sending['readLinkAddress']>, { code: string }>
type Machine = NonNullable<Parameters<Sending['checkSend']>[0]['machine']>

/** Bytes of a cut file and of a report. */
const mostBytes = 200_000_000

/** A cut file with what lies beside it, looked at for sending, and which machine it is for. Throws a `Stop`. */
export async function sendable(
  file: string,
  wanted: { readonly machine?: string | undefined; readonly side?: 'film' | 'liner' | undefined },
): Promise<{ readonly check: Checked; readonly machine: Machine | undefined; readonly whence: string | undefined }> {
  const { checkSend, machineLine, refusalLines, Refusal } = await load()
  const bytes = await bytesOf(file)
  if (bytes.length > mostBytes) throw new Stop(`${file} holds ${bytes.length} bytes; the most is ${mostBytes}.`, 1)
  const report = await reportBeside(file)
  const named = wanted.machine === undefined ? undefined : await findMachine(wanted.machine, forCutFile(file))
  const machine = named?.machine ?? report?.machine
  const found = named ?? (report && { machine: report.machine, from: { where: 'report' as const } })
  try {
    return {
      check: checkSend({ file, bytes, side: wanted.side, machine, report }),
      machine,
      whence: found && machineLine(found),
    }
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    const lines = refusalLines(error).map((line) => `  ${line}`)
    throw new Stop(`Nothing was sent.\n${lines.join('\n')}`, 1)
  }
}

/** The link that was named, or the machine's own. */
export async function linkFor(to: string | undefined, machine: Machine | undefined): Promise<Address> {
  const { addressForms, readLinkAddress, refusalLines, Refusal } = await load()
  const text = to ?? machine?.link
  if (text === undefined) {
    const own = machine ? `, or write it as link into the profile of ${machine.name}` : ''
    throw new Stop(`No link is named. Say --to with one of ${addressForms.join(', ')}${own}.`, 2)
  }
  const read = readLinkAddress(text)
  if (!('code' in read)) return read
  throw new Stop(refusalLines(new Refusal([read])).join('\n'), 2)
}
