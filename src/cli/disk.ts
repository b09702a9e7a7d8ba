import { randomBytes } from 'node:crypto'
import { mkdir, open, rename, rm, stat } from 'node:fs/promises'
import { basename, dirname, join, resolve } from 'node:path'

/** What the system calls an error, such as ENOENT; its words where it has no name. */
export const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : String(error)

const words: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EEXIST: 'something of that name is there already',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of its path is a file',
  EACCES: 'this user may not',
  EPERM: 'this user may not',
  EROFS: 'the disk takes no changes',
  ENOSPC: 'the disk is full',
  EDQUOT: 'this user has no room left on the disk',
  EMFILE: 'too many files are open',
  EBUSY: 'another program uses it',
  ENAMETOOLONG: 'its name is too long',
  ELOOP: 'its links lead round in a circle',
}

/** Why something cannot be done on the disk, as words that follow a colon. */
class Reason extends Error {}

/** Why the system refused a file or a folder, in words. */
export const why = (error: unknown): string =>
  error instanceof Reason ? error.message : (words[codeOf(error)] ?? codeOf(error))

/**
 * Makes a folder and those above it that are not there. Each is asked for once: Node's own way of making many (20.20)
 * never ends where the system says that there is no such place although the folder above is there, as /proc does.
 * Throws a `Reason` or what the system said.
 */
export async function makeFolder(folder: string): Promise<void> {
  const missing: string[] = []
  let there = resolve(folder)
  while (!(await isFolder(there))) {
    missing.unshift(there)
    there = dirname(there)
  }
  for (const each of missing) {
    await mkdir(each).catch(async (error) => {
      // made by another run meanwhile, perhaps
      if (codeOf(error) === 'EEXIST' && (await isFolder(each))) return
      throw codeOf(error) === 'ENOENT' ? new Reason(`no folder can be made in ${dirname(each)}`) : error
    })
  }
}

/** Is there a folder? A file in its place, or above it, is no place for one. */
async function isFolder(path: string): Promise<boolean> {
  const found = await stat(path).catch((error) => {
    if (['ENOENT', 'ENOTDIR'].includes(codeOf(error)) && dirname(path) !== path) return undefined
    throw error
  })
  if (found && !found.isDirectory()) throw new Reason(`${path} is a file, not a folder`)
  return found !== undefined
}

/** Writes a file that is not there yet and waits until it is on the disk. With a `mode` nobody else sees it before it is whole. */
export async function writeThrough(path: string, bytes: Uint8Array | string, mode?: number): Promise<void> {
  const handle = await open(path, 'wx', mode === undefined ? 0o666 : 0o600)
  try {
    await handle.writeFile(bytes)
    if (mode !== undefined) await handle.chmod(mode)
    await handle.sync()
  } finally {
    await handle.close()
  }
}

/** Puts a file in place whole, whatever was there before; where that cannot be done, that is left as it was. */
export async function writeWhole(path: string, text: string): Promise<void> {
  const fresh = join(dirname(path), `.${basename(path)}.${randomBytes(6).toString('hex')}.new`)
  try {
    await writeThrough(fresh, text)
    await rename(fresh, path)
  } catch (error) {
    await rm(fresh, { force: true }).catch(() => undefined)
    throw new Error(`${path} cannot be written: ${why(error)}. It is as it was.`)
  }
}
