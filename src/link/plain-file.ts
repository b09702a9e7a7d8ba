import { type FileHandle, open, rm } from 'node:fs/promises'
import type { LinkAddress } from '../machine/link-address.ts'
import { codeOf, type Link, LinkError, messageOf, Teller } from './link.ts'

/** A new plain file, on the disk when it is finished and gone when it is abandoned. */
export async function openPlainFile({ to }: LinkAddress): Promise<Link> {
  const handle: FileHandle = await open(to, 'wx').catch((error) => {
    const [why, cure] = refusals[codeOf(error)] ?? [messageOf(error), 'Name another file.']
    throw new LinkError(`The file ${to}`, why, cure)
  })
  const teller = new Teller()
  return {
    answers: false,
    drains: false,
    listen: (listener) => teller.listen(listener),
    write: async (bytes) => {
      try {
        await handle.appendFile(bytes)
      } catch (error) {
        teller.broken(`${to} cannot be written further: ${messageOf(error)}`)
        await new Promise(() => undefined)
      }
    },
    finish: async () => {
      await handle.sync()
      await handle.close()
      return `Written to ${to}.`
    },
    abandon: async () => {
      await handle.close().catch(() => undefined)
      await rm(to, { force: true })
    },
  }
}

const refusals: Readonly<Record<string, readonly [string, string]>> = {
  EEXIST: ['there is one of that name', 'Name a new file, or take the old one away first.'],
  ENOENT: ['its folder is not there', 'Make the folder first, or name another.'],
  EACCES: ['this user may not write there', 'Name a file in a folder of your own.'],
  EISDIR: ['it is a folder', 'Name a file in it.'],
  ENOSPC: ['the disk is full', 'Make room, or name a file on another disk.'],
}
