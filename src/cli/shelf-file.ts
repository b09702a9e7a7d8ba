import { createHash, randomBytes } from 'node:crypto'
import { link, open, readdir, readFile, rename, rm, stat } from 'node:fs/promises'
import { hostname } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { codeOf, why, writeThrough } from './disk.ts'
import { textOfFile } from './text-of-file.ts'

/** Why a shelf file was left as it is. */
class ShelfBusy extends Error {}

/** How long a second writer waits for the first, ms, and how often it looks. */
const patience = 10_000
const look = 25
/** A lock that was taken over is one's own if it still is after this long, ms. */
const settle = 60

/** Who holds a lock. */
interface Holder {
  readonly pid: number
  readonly host: string
  readonly token: string
}

/**
 * Changes a shelf file whole or not at all, while no other run changes it: `change` gets its text, undefined where
 * there is no file, and gives the new one, undefined to leave it. A lock beside the file keeps others out; one whose
 * process is gone is taken over. The new text is on the disk before it takes the old one's name.
 * @param wait ms to wait for another run; then a `ShelfBusy` is thrown
 */
export async function changeShelfFile(
  file: string,
  change: (text: string | undefined) => Promise<string | undefined>,
  wait = patience,
): Promise<void> {
  try {
    await changeLocked(file, change, wait)
  } catch (error) {
    if (!(error instanceof Error && 'syscall' in error)) throw error
    const reason = codeOf(error) === 'ENOENT' ? 'its folder is not there' : why(error)
    throw new Error(`${file} cannot be changed: ${reason}. It is as it was.`)
  }
}

async function changeLocked(
  file: string,
  change: (text: string | undefined) => Promise<string | undefined>,
  wait: number,
): Promise<void> {
  const lock = `${file}.lock`
  const token = await locked(lock, file, wait)
  try {
    const before = await shelfText(file)
    const after = await change(before)
    if (after === undefined || after === before) return
    const fresh = join(dirname(file), `.${basename(file)}.new`)
    // one that was killed may have left its own
    await rm(fresh, { force: true })
    await writeThrough(fresh, after, before === undefined ? undefined : (await stat(file)).mode & 0o777)
    const holder = await holderOf(lock)
    if (holder?.token !== token || (await textOf(file)) !== before) {
      throw new ShelfBusy(`${file} was changed by another run meanwhile; it is as that left it. Try again.`)
    }
    await rename(fresh, file)
    await syncFolder(dirname(file))
  } finally {
    if ((await holderOf(lock))?.token === token) await rm(lock, { force: true })
  }
}

/** Takes the lock, or waits for it; its token comes back. */
async function locked(lock: string, file: string, wait: number): Promise<string> {
  const token = randomBytes(8).toString('hex')
  const mine = `${lock}.${thisHost()}.${process.pid}.${token}`
  const until = Date.now() + wait
  await writeThrough(mine, JSON.stringify({ pid: process.pid, host: hostname(), token } satisfies Holder))
  try {
    for (;;) {
      if (await linked(mine, lock)) break
      const holder = await holderOf(lock)
      if (holder && isGone(holder)) {
        if (await takenOver(lock, mine, token)) break
        continue
      }
      if (Date.now() >= until) throw busy(file, lock, holder, wait)
      await new Promise((resolve) => setTimeout(resolve, look))
    }
  } finally {
    await rm(mine, { force: true })
  }
  await removeStrays(lock)
  return token
}

function busy(file: string, lock: string, holder: Holder | undefined, wait: number): ShelfBusy {
  const who = holder ? `process ${holder.pid} on ${holder.host}` : 'it does not say which'
  return new ShelfBusy(
    `${file} is being changed by another run (${who}); waited ${wait / 1000} s. Let it end, or remove ${lock} if there is no such run.`,
  )
}

/** A lock appears whole: it is written under a name of its own, and linking fails where there is one. */
async function linked(mine: string, lock: string): Promise<boolean> {
  try {
    await link(mine, lock)
    return true
  } catch (error) {
    if (codeOf(error) === 'EEXIST') return false
    throw error
  }
}

/**
 * Puts one's own lock in the place of one whose process is gone, and looks after a while whether another run did so
 * too: the last one has it.
 */
async function takenOver(lock: string, mine: string, token: string): Promise<boolean> {
  const copy = `${mine}.over`
  await link(mine, copy)
  await rename(copy, lock)
  await new Promise((resolve) => setTimeout(resolve, settle))
  return (await holderOf(lock))?.token === token
}

/** This computer, short and fit for a file name. */
const thisHost = () => createHash('sha256').update(hostname()).digest('hex').slice(0, 8)

/** Locks that were being made on this computer by runs that are gone; their names tell, for they may be cut short. */
async function removeStrays(lock: string): Promise<void> {
  const stem = `${basename(lock)}.${thisHost()}.`
  for (const name of await readdir(dirname(lock))) {
    const pid = Number(name.slice(stem.length).split('.')[0])
    if (name.startsWith(stem) && isGone({ pid, host: hostname() })) await rm(join(dirname(lock), name), { force: true })
  }
}

/** The holder that a lock names; none of one that is not there or says nothing. */
async function holderOf(lock: string): Promise<Holder | undefined> {
  const text = await textOf(lock)
  if (text === undefined) return undefined
  try {
    return JSON.parse(text) as Holder
  } catch {
    return undefined
  }
}

/** Is the process of a lock on this computer no more? */
function isGone({ pid, host }: Omit<Holder, 'token'>): boolean {
  if (host !== hostname()) return false
  try {
    process.kill(pid, 0)
    return false
  } catch (error) {
    return codeOf(error) === 'ESRCH'
  }
}

async function syncFolder(folder: string): Promise<void> {
  try {
    const handle = await open(folder, 'r')
    try {
      await handle.sync()
    } finally {
      await handle.close()
    }
  } catch (error) {
    // some systems do not let a folder be opened; the file itself is on the disk
    if (codeOf(error) !== 'EISDIR' && codeOf(error) !== 'EPERM' && codeOf(error) !== 'EINVAL') throw error
  }
}

/** A shelf file's text with its byte-order mark, if it has one; what is no UTF-8 would lose letters when it is written back. */
async function shelfText(path: string): Promise<string | undefined> {
  const text = await textOf(path)
  if (text?.includes(noLetter)) await textOfFile(path)
  return text
}

/** What stands in a text for bytes that are no letter of its encoding. */
const noLetter = '\ufffd'

async function textOf(path: string): Promise<string | undefined> {
  try {
    return await readFile(path, 'utf8')
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return undefined
    throw error
  }
}
