import { execFile } from 'node:child_process'
import { readdir } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { promisify } from 'node:util'
import type { loadShapes } from '../job/catalogue.ts'

type Templates = Awaited<ReturnType<typeof loadShapes>>

export interface OwnShapes {
  readonly templates: Templates
  /** a sentence for each folder whose shape cannot be used: file, line where known, reason */
  readonly refused: readonly string[]
}

const fileName = 'template.mjs'

/** The shapes in the folders below `folder`, each in its `template.mjs`; a folder that is not there has none. */
export async function ownShapes(folder: string): Promise<OwnShapes> {
  const names = await subfolders(folder)
  const templates: Templates = []
  const refused: string[] = []
  if (names.length === 0) return { templates, refused }
  const [{ shapeIds }, { ownShape }] = await Promise.all([import('../job/catalogue.ts'), import('../job/own-shape.ts')])
  for (const name of names) {
    const file = join(folder, name, fileName)
    try {
      const module: { default?: unknown } = await import(pathToFileURL(resolve(file)).href)
      templates.push(ownShape(module.default, [...shapeIds, ...templates.map(({ id }) => id)]))
    } catch (error) {
      refused.push(
        `${await placeIn(file, error)}: this shape cannot be used: ${reasonOf(error)}. Other shapes still work.`,
      )
    }
  }
  return { templates, refused }
}

/** The names of the folders in a folder, links and hidden ones left out; none where it is not there. */
export async function subfolders(folder: string): Promise<string[]> {
  try {
    const entries = await readdir(folder, { withFileTypes: true })
    return entries
      .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
      .map((entry) => entry.name)
      .sort()
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return []
    throw error
  }
}

/** The file with the line the engine blames, where it names one of this file. */
async function placeIn(file: string, error: unknown): Promise<string> {
  const stack = error instanceof SyntaxError ? await syntaxReport(file) : error instanceof Error ? error.stack : ''
  const line = [pathToFileURL(resolve(file)).href, resolve(file)]
    .map((name) => stack?.split(name)[1]?.match(/^:(\d+)/)?.[1])
    .find((found) => found !== undefined)
  return line === undefined ? file : `${file}, line ${line}`
}

/** What Node says of a file that it cannot parse; the error of an import does not name the line. */
async function syntaxReport(file: string): Promise<string> {
  try {
    await promisify(execFile)(process.execPath, ['--check', resolve(file)])
    return ''
  } catch (error) {
    return error instanceof Error && 'stderr' in error ? String(error.stderr) : ''
  }
}

function reasonOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  if ((error as NodeJS.ErrnoException).code === 'ERR_MODULE_NOT_FOUND')
    return `there is no ${fileName}, or it imports what is not there`
  return error.message.replace(/\.$/, '')
}
