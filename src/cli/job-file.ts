import { createHash, randomBytes } from 'node:crypto'
import { access, constants, readFile, rename, rm, stat } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { HTTPException } from 'hono/http-exception'
import { codeOf, why, writeThrough } from './disk.ts'

/** One job file, edited in place. */
export interface JobFile {
  readonly name: string
  /** its text, and the hash of its bytes by which a later save knows whether the file is still the same */
  readonly read: () => Promise<{ readonly text: string; readonly saved: string }>
  /**
   * Writes it whole or not at all, and only if it still is what `basedOn` says; null stands for no file at all.
   * Saves wait for each other, so that of two based on the same text one is refused.
   */
  readonly save: (text: string, basedOn: string | null) => Promise<Saved>
}

/** `saved` is the hash of what now is on the disk, null where no file is. */
export type Saved =
  | { readonly written: true; readonly saved: string }
  | { readonly written: false; readonly saved: string | null }

/** @param path the file itself, no link to it */
export function jobFile(path: string): JobFile {
  const name = basename(path)
  let last: Promise<unknown> = Promise.resolve()
  return {
    name,
    read: async () => {
      const bytes = await bytesOf(path)
      if (!bytes) {
        throw new HTTPException(404, {
          message: `${name} cannot be read: it is no longer there. Save to write it again, or put it back.`,
        })
      }
      return { text: textOf(name, bytes), saved: hashOf(bytes) }
    },
    save: (text, basedOn) => {
      const save = last.then(() => saveNow(path, text, basedOn))
      last = save.catch(() => undefined)
      return save
    },
  }
}

async function saveNow(path: string, text: string, basedOn: string | null): Promise<Saved> {
  const changed = async () => {
    const bytes = await bytesOf(path)
    const saved = bytes ? hashOf(bytes) : null
    return saved === basedOn ? undefined : { written: false as const, saved }
  }
  const before = await changed()
  if (before) return before
  const fresh = join(dirname(path), `.midtick-${randomBytes(6).toString('hex')}.new`)
  const bytes = new TextEncoder().encode(text)
  try {
    await writeThrough(fresh, bytes, basedOn === null ? undefined : await modeOf(path))
    const meanwhile = await changed()
    if (meanwhile) {
      await rm(fresh, { force: true })
      return meanwhile
    }
    await rename(fresh, path)
  } catch (error) {
    await rm(fresh, { force: true }).catch(() => undefined)
    if (error instanceof HTTPException) throw error
    throw new HTTPException(500, {
      message: `${basename(path)} cannot be written (${why(error)}); the file on the disk is as it was. You must be allowed to write in its folder, and the disk must have room: see to that and save again.`,
    })
  }
  return { written: true, saved: hashOf(bytes) }
}

/** The mode bits of a file that may be written; a read-only one could be replaced all the same, so it is refused here. */
async function modeOf(path: string): Promise<number> {
  const { mode } = await stat(path)
  const denied =
    (mode & 0o222) === 0 ||
    (await access(path, constants.W_OK).then(
      () => false,
      () => true,
    ))
  if (denied) {
    throw new HTTPException(403, {
      message: `${basename(path)} is read-only; only a file that you may write is saved. Allow writing to it, or download the job.`,
    })
  }
  return mode & 0o7777
}

async function bytesOf(path: string): Promise<Uint8Array | undefined> {
  try {
    return await readFile(path)
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return undefined
    throw new HTTPException(500, {
      message: `${basename(path)} cannot be read (${why(error)}); it must be a file that you may read. Look at it on the disk.`,
    })
  }
}

/** The text with its byte-order mark, if it has one, so that saving it gives the same bytes. */
function textOf(name: string, bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
  } catch {
    throw new HTTPException(422, {
      message: `${name} is not UTF-8 text, and saving it would lose what it holds; a job file is UTF-8. Save it as UTF-8 in your editor first.`,
    })
  }
}

const hashOf = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex')
