import type { LinkAddress } from '../machine/link-address.ts'
import { type Link, LinkError, messageOf, Teller, within } from './link.ts'

/** ms for a port to close; one that is stopped by its machine may not. */
const closesWithin = 2000

/** A serial line, through a native module that is loaded only here. */
export async function openSerial(link: LinkAddress): Promise<Link> {
  const { to, baud, bits, parity, stop, handshake } = link
  const what = `The serial line ${to}`
  const { SerialPort } = await library(what)
  const port = new SerialPort({
    path: to,
    baudRate: baud,
    dataBits: bits,
    parity,
    stopBits: stop,
    rtscts: handshake === 'hardwire',
    // Stopped by the operating system, which is quicker than any program: bytes that wait in it wait too.
    xon: handshake === 'xon-xoff',
    xoff: handshake === 'xon-xoff',
    autoOpen: false,
  })
  await new Promise<void>((resolve, reject) => {
    port.open((error) => (error ? reject(refused(what, error)) : resolve()))
  })
  const teller = new Teller()
  const closed = new Promise<void>((resolve) => port.on('close', () => resolve()))
  port.on('data', (bytes: Uint8Array) => teller.heard(bytes))
  port.on('error', (error) => teller.broken(`${to} failed (${messageOf(error)})`))
  port.on('close', () => teller.broken(`${to} is not there any more`))
  const close = async () => {
    teller.quiet()
    if (port.isOpen) port.close(() => undefined)
    await within(closesWithin, closed)
  }
  return {
    answers: true,
    drains: true,
    listen: (listener) => teller.listen(listener),
    write: (bytes) =>
      new Promise((resolve) => {
        port.write(Buffer.from(bytes))
        port.drain((error) => {
          if (error) teller.broken(`${to} failed (${messageOf(error)})`)
          else resolve()
        })
      }),
    finish: async () => {
      await close()
      return undefined
    },
    abandon: async () => {
      if (port.isOpen) await within(closesWithin, new Promise<void>((resolve) => port.flush(() => resolve())))
      await close()
    },
  }
}

/** Serial ports that the computer has now. */
export async function serialPaths(): Promise<string[]> {
  const { SerialPort } = await library('The serial line')
  return (await SerialPort.list()).map(({ path }) => path)
}

async function library(what: string): Promise<typeof import('serialport')> {
  try {
    return await import('serialport')
  } catch {
    const cure = 'Install it with: npm install serialport. All other links work without it.'
    throw new LinkError(what, 'the module serialport is not installed, or not for this computer', cure)
  }
}

function refused(what: string, error: Error): LinkError {
  const said = messageOf(error)
  if (/no such file|cannot find|not found/i.test(said)) {
    return new LinkError(what, 'there is none of that name', 'Is the cable in? midtick links shows what there is.')
  }
  if (/permission|access denied/i.test(said)) {
    return new LinkError(
      what,
      'this user may not',
      'Add the user to the group dialout, log in again, and try once more.',
    )
  }
  if (/lock|busy|in use|temporarily/i.test(said)) {
    return new LinkError(what, 'another program uses it', 'End that program first.')
  }
  if (/baud|bitrate|custom/i.test(said)) {
    return new LinkError(what, 'it cannot run at that speed', 'Give a usual speed, such as 9600.')
  }
  return new LinkError(
    what,
    said.replace(/^Error:? ?/i, '').replace(/\.$/, ''),
    'Look at its name, cable and settings.',
  )
}
