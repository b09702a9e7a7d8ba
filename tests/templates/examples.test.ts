import { readFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { expect, test } from 'vitest'
import { exampleJob, loadShapes } from '../../src/job/catalogue.ts'
import { makeJob } from '../../src/job/make-job.ts'
import { formatProblem } from '../../src/measure/problem.ts'

const samples = resolve(import.meta.dirname, '../../samples')
const templates = await loadShapes()

/** Big enough for every example. */
const shop =
  'machine: { like: wide-roll, area: { along: 5000, across: 3000 }, range: 1000000 }\nstock: { width: 3000 }\n'

test.each(templates.map((template) => [template.id, template] as const))(
  'the worked example of %s can be made as it stands',
  async (_id, template) => {
    const text = exampleJob(template).replace('objects:', `${shop}objects:`)
    const { made, problems } = await makeJob(text, templates, { readFile: (name) => readFile(join(samples, name)) })
    expect(problems.map(formatProblem)).toEqual([])
    expect(made?.panels.length).toBeGreaterThan(0)
    for (const { worst } of made?.checks ?? []) expect(worst).toBeLessThan(0.05)
  },
)
