import { constants } from 'node:fs'
import { type FileHandle, open, stat } from 'node:fs/promises'
import { setTimeout as pause } from 'node:timers/promises'
import type { LinkAddress } from '../machine/link-address.ts'
import { codeOf, type Link, LinkError, messageOf, Teller } from './link.ts'

/** ms between looks at a device that takes nothing, or says nothing, just now. */
const lookAgain = 10

/**
 * A device that is written like a file: a USB printer-class device, or a named pipe. It is opened so that neither
 * opening nor writing can wait for ever.
 */
export async function openDevice({ to, answers, handshake }: LinkAddress): Promise<Link> {
  const what = `The device ${to}`
  const kind = await stat(to).catch((error) => {
    throw refused(what, error)
  })
  if (!kind.isCharacterDevice() && !kind.isFIFO()) {
    const why = kind.isFile()
      ? 'it is a plain file'
      : kind.isDirectory()
        ? 'it is a folder'
        : 'it is no device that takes bytes'
    throw new LinkError(what, why, kind.isFile() ? 'Write it as file:PATH.' : 'Name the device, such as /dev/usb/lp0.')
  }
  if (kind.isFIFO() && (answers.length > 0 || handshake !== 'none')) {
    throw new LinkError(what, 'it is a pipe, which only takes', 'Leave handshake and answers out.')
  }
  const isRead = kind.isCharacterDevice() && (answers.length > 0 || handshake !== 'none')
  const way = isRead ? constants.O_RDWR : constants.O_WRONLY
  const handle = await open(to, way | constants.O_NONBLOCK | constants.O_NOCTTY).catch((error) => {
    throw refused(what, error)
  })
  const teller = new Teller()
  const state = { open: true }
  if (isRead) readOn(handle, teller, state)
  const close = async () => {
    if (!state.open) return
    state.open = false
    teller.quiet()
    await handle.close().catch(() => undefined)
  }
  return {
    answers: isRead,
    drains: false,
    listen: (listener) => teller.listen(listener),
    write: async (bytes) => {
      for (let at = 0; at < bytes.length && state.open; ) {
        try {
          at += (await handle.write(bytes, at)).bytesWritten
        } catch (error) {
          if (codeOf(error) === 'EAGAIN') await pause(lookAgain)
          else {
            teller.broken(wordsFor(to, error))
            await new Promise(() => undefined)
          }
        }
      }
    },
    finish: async () => {
      await close()
      return undefined
    },
    abandon: close,
  }
}

async function readOn(handle: FileHandle, teller: Teller, state: { readonly open: boolean }): Promise<void> {
  const bytes = new Uint8Array(256)
  while (state.open) {
    try {
      const { bytesRead } = await handle.read(bytes, 0, bytes.length)
      if (bytesRead > 0) teller.heard(bytes.slice(0, bytesRead))
      else await pause(lookAgain)
    } catch (error) {
      if (codeOf(error) !== 'EAGAIN') return
      await pause(lookAgain)
    }
  }
}

function refused(what: string, error: unknown): LinkError {
  const [why, cure] = refusals[codeOf(error)] ?? [messageOf(error), 'Look at its name and cable.']
  return new LinkError(what, why, cure)
}

const refusals: Readonly<Record<string, readonly [string, string]>> = {
  ENOENT: ['there is none of that name', 'Is the machine on and its cable in? ls /dev/usb shows USB printers.'],
  EACCES: ['this user may not', 'Add the user to the group lp, log in again, and try once more.'],
  EBUSY: ['another program uses it', 'End that program, or send to its print queue.'],
  ENXIO: ['nobody reads from it', 'Start what reads it, or switch the machine on.'],
  ENODEV: ['the machine is not there', 'Is it on and its cable in?'],
}

const wordsFor = (to: string, error: unknown): string => {
  const said: Readonly<Record<string, string>> = {
    EPIPE: 'is not read any more',
    ENODEV: 'is not there any more',
    EIO: 'does not take bytes any more',
  }
  return `${to} ${said[codeOf(error)] ?? `failed (${messageOf(error)})`}`
}
