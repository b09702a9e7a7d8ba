import type { Problem } from '../measure/problem.ts'
import type { Template } from '../panel/template.ts'
import { valuesOf } from './read-job.ts'
import type { Job } from './schema.ts'

/** Gives the bytes of a file by the name that stands in the job; throws an Error that says why it cannot. */
export type ReadFile = (name: string) => Promise<Uint8Array>

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
      const refuse = (why: string, limit: string, cure: string) =>
        problems.push({
          code: 'file_unreadable',
          field: `${object.name}: ${field}`,
          value: `${name}, ${why}`,
          limit,
          cure,
        })
      if (!readFile) {
        refuse('which is out of reach here', 'this run reads no files', 'Run midtick make on the job file.')
        continue
      }
      try {
        const bytes = await readFile(name)
        if (bytes.length > mostBytes) {
          refuse(`which holds ${bytes.length} bytes`, `the most is ${mostBytes} bytes`, 'Choose a smaller file.')
        } else files.set(name, bytes)
      } catch (error) {
        const why = error instanceof Error ? error.message : String(error)
        refuse(`which cannot be read (${why})`, 'it must be a readable file', 'Give its path from the job file.')
      }
    }
  }
  return { files, problems }
}
