import type { LinkAddress } from '../../job/send-run.ts'
import { type Link, messageOf, Teller } from '../../link/link.ts'

/** What of the browser's serial interface is used, where a browser has it. */
interface SerialPort {
  open(options: {
    readonly baudRate: number
    readonly dataBits: 7 | 8
    readonly stopBits: 1 | 2
    readonly parity: 'none' | 'even' | 'odd'
    readonly flowControl: 'none' | 'hardware'
  }): Promise<void>
  close(): Promise<void>
  readonly readable: ReadableStream<Uint8Array>
  readonly writable: WritableStream<Uint8Array>
}
interface Serial {
  requestPort(): Promise<SerialPort>
}

const serial = () => (navigator as { readonly serial?: Serial }).serial

/** Can this browser open a serial line itself? */
export const hasSerial = (): boolean => serial() !== undefined

/** Lets the person choose a line of this computer and opens it; undefined where they think better of it. */
export async function openSerial({ baud, bits, stop, parity, handshake }: LinkAddress): Promise<Link | undefined> {
  const port = await serial()
    ?.requestPort()
    .catch((error: unknown) => {
      if (error instanceof DOMException && error.name === 'NotFoundError') return undefined
      throw error
    })
  if (!port) return undefined
  await port.open({
    baudRate: baud,
    dataBits: bits,
    stopBits: stop,
    parity,
    flowControl: handshake === 'hardwire' ? 'hardware' : 'none',
  })
  const teller = new Teller()
  const reader = port.readable.getReader()
  const writer = port.writable.getWriter()
  const listens = (async () => {
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return
      teller.heard(value)
    }
  })().catch((error) => teller.broken(`the line failed (${messageOf(error)})`))
  const close = async () => {
    teller.quiet()
    await reader.cancel().catch(() => undefined)
    await listens
    reader.releaseLock()
    writer.releaseLock()
    await port.close().catch(() => undefined)
  }
  return {
    answers: true,
    // what a write hands over may wait in the browser
    drains: false,
    listen: (listener) => teller.listen(listener),
    write: async (bytes) => {
      try {
        await writer.ready
        await writer.write(bytes)
      } catch (error) {
        teller.broken(`the line failed (${messageOf(error)})`)
        await new Promise(() => undefined)
      }
    },
    finish: async () => {
      await close()
      return undefined
    },
    abandon: async () => {
      await writer.abort().catch(() => undefined)
      await close()
    },
  }
}
