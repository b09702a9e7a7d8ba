import type { Problem } from '../measure/problem.ts'
import type { Template } from '../panel/template.ts'
import { valuesOf } from './read-job.ts'
import type { Job } from './schema.ts'

/** Gives the bytes of a file by the name that stands in the job; throws an Error that says why it cannot. */
export type ReadFile = (name: string) => Promise<Uint8Array>

/** The bytes of a file that the job names, at most so many, or why there are none. */
export async function namedBytes(
  field: string,
  name: string,
  readFile: ReadFile | undefined,
  most: number,
): Promise<{ readonly bytes: Uint8Array } | { readonly problem: Problem }> {
  const refuse = (why: string, limit: string, cure: string) => ({
    problem: { code: 'file_unreadable', field, value: `${name}, ${why}`, limit, cure },
  })
  if (!readFile)
    return refuse('which is out of reach here', 'this run reads no files', 'Run midtick make on the job file.')
  try {
    const bytes = await readFile(name)
    if (bytes.length <= most) return { bytes }
    return refuse(`which holds ${bytes.length} bytes`, `the most is ${most} bytes`, 'Choose a smaller file.')
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    return refuse(`which cannot be read (${why})`, 'it must be a readable file', 'Give its path from the job file.')
  }
}

/** The most that a font or the like may hold, bytes. */
const mostBytes = 30_000_000

/** Reads every file that the measures of the objects name. */
export async function readNamedFiles(
  job: Job,
  templates: readonly Template[],
  readFile: ReadFile | undefined,
): Promise<{ readonly files: ReadonlyMap<string, Uint8Array>; readonly problems: readonly Problem[] }> {
  const files = new Map<string, Uint8Array>()
  const problems: Problem[] = []
  for (const object of job.objects) {
    const specs = templates.find((t) => t.id === object.shape)?.specs ?? {}
    for (const [field, spec] of Object.entries(specs)) {
      if (spec.kind !== 'file') continue
      const name = String(valuesOf(object)[field])
      if (files.has(name)) continue
      const read = await namedBytes(`${object.name}: ${field}`, name, readFile, mostBytes)
      if ('problem' in read) problems.push(read.problem)
      else files.set(name, read.bytes)
    }
  }
  return { files, problems }
}
