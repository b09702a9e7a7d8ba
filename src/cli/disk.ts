import { randomBytes } from 'node:crypto'
import { open, rename, rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'

/** What the system calls an error, such as ENOENT; its words where it has no name. */
export const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : String(error)

const words: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
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
}

/** Why the system refused a file or a folder, in words. */
export const why = (error: unknown): string => words[codeOf(error)] ?? codeOf(error)

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
