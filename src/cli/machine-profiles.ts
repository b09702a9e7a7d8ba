import { readdir } from 'node:fs/promises'
import { homedir } from 'node:os'
import { basename, dirname, extname, join, posix } from 'node:path'
import type { OwnProfile } from '../job/machine-lookup.ts'
import type { MachineFrom } from '../job/machine-words.ts'
import { codeOf, why } from './disk.ts'
import { Stop } from './stop.ts'

/** Bytes of a profile; more than `readProfile` takes, so that it is told there. */
const mostBytes = 200_000

const endings: readonly string[] = ['.yaml', '.yml']
export const isProfileName = (name: string) => endings.includes(extname(name))

/** A folder whose profiles are read, and what is told of a file in it. */
export interface ProfileFolder {
  /** the folder that no link may lead out of */
  readonly top: string
  /** the folder in there, with / between its parts; '' for `top` itself */
  readonly inside: string
  readonly from: (file: string) => MachineFrom
}

/**
 * Where the profiles of a job's machines are looked for, the first before the others: `machines` beside the job, then
 * the user's configuration folder. The folder that a command is run from does not count.
 */
export const besideJob = (job: string): ProfileFolder[] => [
  { top: dirname(job), inside: 'machines', from: (file) => ({ where: 'beside', file: `machines/${file}` }) },
  configuration(),
]

/** The same where there is no job at hand: a folder that was named or stands where the command is run comes first. */
export const inFolder = (folder: string): ProfileFolder[] => [plainFolder(folder), configuration()]

/** The same for a cut file, which may lie anywhere: `machines` beside it, then where the command is run. */
export const forCutFile = (file: string): ProfileFolder[] => {
  const folders = [...new Set([join(dirname(file), 'machines'), 'machines'])]
  return [...folders.map(plainFolder), configuration()]
}

const plainFolder = (folder: string): ProfileFolder => ({
  top: folder,
  inside: '',
  from: (file) => ({ where: 'folder', file: join(folder, file) }),
})

function configuration(): ProfileFolder {
  const top = process.env.XDG_CONFIG_HOME || join(homedir(), '.config')
  const inside = 'midtick/machines'
  return { top, inside, from: (file) => ({ where: 'configuration', file: `${inside}/${file}` }) }
}

/** The plain files with profiles in these folders, in order of folders and names; one that cannot be read says why. */
export async function profilesIn(folders: readonly ProfileFolder[]): Promise<OwnProfile[]> {
  const all: OwnProfile[] = []
  for (const folder of folders) {
    for (const file of await filesIn(join(folder.top, folder.inside))) all.push(await profileOf(folder, file))
  }
  return all
}

async function profileOf({ top, inside, from }: ProfileFolder, file: string): Promise<OwnProfile> {
  const own = { name: basename(file, extname(file)), from: from(file) }
  const { readInside } = await import('./inside.ts')
  try {
    return { ...own, text: new TextDecoder().decode(await readInside(top, posix.join(inside, file), mostBytes)) }
  } catch (error) {
    return { ...own, unreadable: error instanceof Error ? error.message : String(error) }
  }
}

async function filesIn(folder: string): Promise<string[]> {
  try {
    const entries = await readdir(folder, { withFileTypes: true })
    return entries
      .filter((entry) => !entry.isDirectory() && isProfileName(entry.name) && !entry.name.startsWith('.'))
      .map((entry) => entry.name)
      .sort()
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return []
    throw new Stop(`${folder} cannot be read: ${codeOf(error) === 'ENOTDIR' ? 'it is a file' : why(error)}.`, 3)
  }
}
