import { loadShapes } from '../../src/job/catalogue.ts'
import { type Made, makeJob } from '../../src/job/make-job.ts'
import type { OutFile } from '../../src/job/out-file.ts'
import { formatProblem } from '../../src/measure/problem.ts'

const templates = await loadShapes()

/** A job of these objects, each written as the inside of a YAML table; `head` goes above them. */
export const jobOf = (objects: readonly string[], head = ''): string =>
  `version: 1\ntitle: A job\n${head}objects:\n${objects.map((o) => `  - { ${o} }\n`).join('')}`

/** What a job that must not be refused makes. */
export async function madeOf(text: string): Promise<Made> {
  const { made, problems } = await makeJob(text, templates)
  if (!made) throw new Error(problems.map(formatProblem).join('\n'))
  return made
}

/** The text of the one file of that name. */
export function textOf(files: readonly OutFile[], name: string): string {
  const file = files.find((f) => f.name === name)
  if (!file) throw new Error(`no ${name} among ${files.map((f) => f.name).join(', ')}`)
  return new TextDecoder().decode(file.bytes)
}
