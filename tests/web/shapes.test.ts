import { cp, mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { parse } from 'yaml'
import { loadShapes } from '../../src/job/catalogue.ts'
import { type Bench, haveChromium, openBench } from './browser.ts'
import { bigShop, measure, pick, takeAll, words } from './hands.ts'

const fonts = resolve(import.meta.dirname, '../../samples/fonts')
const templates = await loadShapes()

describe.skipIf(!haveChromium())('the page and the command', () => {
  let bench: Bench
  beforeAll(async () => {
    bench = await openBench()
    await cp(fonts, join(bench.folder, 'jobs', 'fonts'), { recursive: true })
  }, 120_000)
  afterAll(() => bench?.close())

  test.each(templates.map((template) => [template.id, template] as const))(
    'make the same files of %s, typed into an empty page, to the byte',
    { timeout: 120_000 },
    async (id, template) => {
      const { page, context, faults } = await bench.open()
      await pick(page, template.title)
      await measure(page, template.specs, template.example.measures, ['objects', 0])
      await bigShop(page)
      const given = await takeAll(page)
      await context.close()
      expect(faults).toEqual([])

      const text = words(given.get('job.yaml'))
      expect(parse(text).objects).toEqual([
        {
          name: template.title.toLowerCase(),
          shape: id,
          ...withoutStandards(template.example.measures, template.specs),
        },
      ])
      const folder = join(bench.folder, 'jobs')
      await mkdir(folder, { recursive: true })
      const job = join(folder, `${id}.yaml`)
      const out = join(bench.folder, 'out', id)
      await writeFile(job, text)
      await bench.make(job, out)
      const names = await readdir(out)
      expect([...given.keys()].filter((name) => name !== 'job.yaml').sort()).toEqual(names.sort())
      const differ: string[] = []
      for (const name of names) {
        if (!Buffer.from(given.get(name) ?? []).equals(await readFile(join(out, name)))) differ.push(name)
      }
      expect(differ).toEqual([])
    },
  )
})

/** A choice that is what holds anyway is not written into the file. */
function withoutStandards(
  measures: Readonly<Record<string, unknown>>,
  specs: (typeof templates)[number]['specs'],
): object {
  const kept = Object.entries(measures).filter(([name, value]) => {
    const spec = specs[name]
    return !(spec?.kind === 'choice' && spec.standard === value)
  })
  return Object.fromEntries(kept)
}
