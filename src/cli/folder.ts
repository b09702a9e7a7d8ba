import { randomBytes } from 'node:crypto'
import { existsSync } from 'node:fs'
import { readdir, readFile, rename, rm } from 'node:fs/promises'
import { basename, dirname, join, resolve } from 'node:path'
import { codeOf, makeFolder, why, writeThrough } from './disk.ts'

export interface FileToWrite {
  readonly name: string
  readonly bytes: Uint8Array
}

/**
 * Writes a folder whole or not at all: everything goes to a folder beside it, which then takes its place.
 * A folder that holds anything but an earlier result is refused, so nothing of a person's own is lost.
 */
export async function writeFolder(folder: string, files: readonly FileToWrite[]): Promise<void> {
  const goal = resolve(folder)
  const strangers = await strangersIn(goal)
  if (strangers.length > 0) {
    throw new Error(
      `${folder} holds ${strangers.length} other file(s), such as ${strangers[0]}; only a folder written by an earlier run is replaced. Choose another folder with --out.`,
    )
  }
  const mark = randomBytes(6).toString('hex')
  const fresh = join(dirname(goal), `.${basename(goal)}.${mark}.new`)
  const old = join(dirname(goal), `.${basename(goal)}.${mark}.old`)
  try {
    await makeFolder(fresh)
    await Promise.all(files.map(({ name, bytes }) => writeThrough(join(fresh, name), bytes)))
    if (existsSync(goal)) await rename(goal, old)
    try {
      await rename(fresh, goal)
    } catch (error) {
      if (existsSync(old)) await rename(old, goal)
      throw error
    }
  } catch (error) {
    await rm(fresh, { recursive: true, force: true }).catch(() => undefined)
    throw new Error(
      `${folder} cannot be written: ${why(error)}. What was there before is as it was; choose another folder with --out, or see to that.`,
    )
  }
  await rm(old, { recursive: true, force: true })
}

/** Files in the folder that the report of an earlier run does not name. */
async function strangersIn(folder: string): Promise<string[]> {
  if (!existsSync(folder)) return []
  const found = await readdir(folder).catch((error) => {
    const reason = codeOf(error) === 'ENOTDIR' ? 'it is a file, and a folder is written' : why(error)
    throw new Error(`${folder} cannot be written: ${reason}. It is as it was; choose another folder with --out.`)
  })
  if (found.length === 0) return []
  let ours: unknown = []
  try {
    const report: unknown = JSON.parse(await readFile(join(folder, 'report.json'), 'utf8'))
    if (typeof report === 'object' && report !== null && 'midtick' in report && 'files' in report) ours = report.files
  } catch {
    return found
  }
  const known = new Set(Array.isArray(ours) ? ours : [])
  return found.filter((name) => !known.has(name))
}
