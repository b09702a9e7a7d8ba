import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { listen } from '../../src/cli/listen.ts'
import { type Bench, haveChromium, openBench } from './browser.ts'
import { fill, goTo, takeAll, words } from './hands.ts'

const samples = resolve(import.meta.dirname, '../../samples')

/** Waits until the file says so; the page writes after a pause in typing. */
async function until(file: string, text: string): Promise<void> {
  await expect.poll(() => readFile(file, 'utf8'), { timeout: 10_000 }).toBe(text)
}

describe.skipIf(!haveChromium())('the page, given out by midtick open', { timeout: 120_000 }, () => {
  let bench: Bench
  let folder = ''
  let server: Awaited<ReturnType<typeof listen>>
  beforeAll(async () => {
    bench = await openBench()
  }, 120_000)
  afterAll(() => bench?.close())
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'midtick-served-'))
    await cp(samples, folder, { recursive: true })
  })
  afterEach(async () => {
    await server.close()
    await rm(folder, { recursive: true, force: true })
  })

  async function open(name: string) {
    const job = join(folder, name)
    server = await listen({ page: join(bench.folder, 'dist/page'), job, own: join(folder, 'shapes'), port: undefined })
    const context = await bench.browser.newContext({ viewport: { width: 1280, height: 900 } })
    const page = await context.newPage()
    const faults: string[] = []
    page.on('pageerror', (error) => faults.push(String(error)))
    page.on('console', (message) => message.type() === 'error' && faults.push(message.text()))
    await page.goto(server.address)
    await page.getByRole('form', { name: 'Measures' }).waitFor()
    return { page, context, job, faults }
  }

  test('edits the file in place, and changes nothing else of it', async () => {
    const { page, context, job, faults } = await open('tool-library.yaml')
    const before = await readFile(job, 'utf8')
    await page.locator('.mini').waitFor()
    expect(await readFile(job, 'utf8')).toBe(before)
    await fill(page, ['objects', 0, 'height'], '12 cm')
    await until(job, before.replace('9.5 cm', '12 cm'))
    await page.getByRole('button', { name: 'Undo' }).click()
    await until(job, before)
    expect(faults).toEqual([])
    await context.close()
  })

  test('writes nothing over what someone else wrote until the person says so', async () => {
    const { page, context, job } = await open('tool-library.yaml')
    const before = await readFile(job, 'utf8')
    const theirs = before.replace('Tool library, autumn store', 'Theirs')
    await writeFile(job, theirs)
    await fill(page, ['objects', 0, 'height'], '12 cm')
    await page.getByRole('alert').waitFor()
    expect(await readFile(job, 'utf8')).toBe(theirs)
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    await page.getByRole('button', { name: 'Take what is on the disk' }).click()
    await expect.poll(() => page.getByRole('textbox', { name: 'Job' }).inputValue()).toBe('Theirs')
    await writeFile(job, before)
    await fill(page, ['objects', 0, 'height'], '13 cm')
    await page.getByRole('button', { name: 'Write mine over it' }).click()
    await until(job, theirs.replace('9.5 cm', '13 cm'))
    await context.close()
  })

  test('begins with nothing to undo, and leaves the file alone while another job is worked on', async () => {
    const { page, context, job } = await open('tool-library.yaml')
    const before = await readFile(job, 'utf8')
    expect(await page.getByRole('button', { name: 'Undo' }).isEnabled()).toBe(false)
    await page.getByRole('button', { name: 'New', exact: true }).click()
    await page.locator('.shape', { hasText: 'Disc' }).click()
    await fill(page, ['objects', 0, 'diameter'], '98')
    await page.locator('.mini').waitFor()
    // longer than the pause before a change goes to the disk
    await page.waitForTimeout(1000)
    expect(await readFile(job, 'utf8')).toBe(before)
    for (let i = 0; i < 3; i++) await page.getByRole('button', { name: 'Undo' }).click()
    await expect.poll(() => page.getByRole('textbox', { name: 'Job' }).inputValue()).toBe('Tool library, autumn store')
    await fill(page, ['objects', 0, 'height'], '12 cm')
    await until(job, before.replace('9.5 cm', '12 cm'))
    await context.close()
  })

  test("knows the shop's own shapes, and reads the files that a job names", async () => {
    const { page, context, faults } = await open('own-shape.yaml')
    await page.locator('.mini').waitFor()
    await goTo(page, 'Shape')
    await page.locator('.shape', { hasText: 'Lettering' }).click()
    await fill(page, ['objects', 1, 'text'], 'HOE')
    await fill(page, ['objects', 1, 'font'], 'fonts/barlow-latin-600-normal.woff')
    await fill(page, ['objects', 1, 'capHeight'], '40')
    await page.locator('.mini').waitFor()
    expect([...(await takeAll(page)).keys()]).toContain('panel-lettering.svg')
    expect(faults).toEqual([])
    await context.close()
  })

  test('cuts on the machine beside the job, as the command does, and follows what is changed in its profile', async () => {
    const profile = (unitsPerMm: number) =>
      `name: bench cutter\narea: { along: 700, across: 600 }\nunitsPerMm: ${unitsPerMm}\ntools: { kiss: 1 }\n`
    const lid =
      'version: 1\ntitle: Lid\nmachine: plain-roll\nobjects:\n  - { name: lid, shape: flat-panel, width: 100, height: 50 }\n'
    await mkdir(join(folder, 'machines'))
    await writeFile(join(folder, 'machines/plain-roll.yaml'), profile(20))
    await writeFile(join(folder, 'lid.yaml'), lid)
    const { page, context, job, faults } = await open('lid.yaml')
    const line = 'Machine: bench cutter (plain-roll), whose profile is machines/plain-roll.yaml beside the job'
    for (const units of [20, 25]) {
      await writeFile(join(folder, 'machines/plain-roll.yaml'), profile(units))
      await goTo(page, 'Film')
      await page.getByRole('textbox', { name: 'Job' }).fill(`Lid ${units}`)
      await page.locator('.material').getByText(line).waitFor()
      const files = await takeAll(page)
      await page.locator('.summary').getByText(line).waitFor()
      await until(job, lid.replace('title: Lid', `title: Lid ${units}`))
      const out = join(folder, 'out')
      await bench.make(job, out)
      // 102 mm of lid and 10 mm of margin
      expect(words(files.get('sheet-1.hpgl'))).toContain(`${112 * units},`)
      // the job itself goes along
      expect(files.size).toBeGreaterThan(5)
      for (const [name, bytes] of [...files].filter(([each]) => each !== 'job.yaml')) {
        expect(Buffer.compare(bytes, await readFile(join(out, name))), name).toBe(0)
      }
    }
    expect(faults).toEqual([])
    await context.close()
  })

  test('keeps what is typed while the server is gone, and writes it once it is back', async () => {
    const { page, context, job } = await open('tool-library.yaml')
    const before = await readFile(job, 'utf8')
    const port = Number(new URL(server.address).port)
    await server.close()
    await fill(page, ['objects', 0, 'height'], '12 cm')
    const banner = page.getByRole('alert').filter({ hasText: 'is older than what is here' })
    await banner.waitFor()
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    const download = page.waitForEvent('download')
    await banner.getByRole('button', { name: 'Download the job' }).click()
    expect((await download).suggestedFilename()).toBe('tool-library.yaml')
    expect(await readFile(job, 'utf8')).toBe(before)
    // the next start has another token, so its own address is opened
    server = await listen({ page: join(bench.folder, 'dist/page'), job, own: join(folder, 'shapes'), port })
    await page.goto(server.address)
    await until(job, before.replace('9.5 cm', '12 cm'))
    expect(await banner.count()).toBe(0)
    await context.close()
  })

  test('books a cut job on its shelf, once it is told to', async () => {
    const { page, context, faults } = await open('monthly-job.yaml')
    const shelf = join(folder, 'shelf.yaml')
    const before = await readFile(shelf, 'utf8')
    await goTo(page, 'Files')
    const button = page.getByRole('button', { name: 'Book it on shelf.yaml' })
    await button.waitFor()
    const list = button.locator('xpath=preceding-sibling::ul')
    const changes = await list.getByRole('listitem').allTextContents()
    expect(changes.length).toBeGreaterThan(1)
    expect(await readFile(shelf, 'utf8')).toBe(before)
    const { violations } = await new AxeBuilder({ page }).analyze()
    expect(violations.map(({ id }) => id)).toEqual([])
    await button.click()
    await page.getByText('It is booked on shelf.yaml.').waitFor()
    const after = await readFile(shelf, 'utf8')
    // what is left of the job stands there now, and each scrap that was taken is gone
    for (const [, name = ''] of changes.join('\n').matchAll(/^(left of .*): .* kept$/gm)) expect(after).toContain(name)
    for (const [, name = ''] of changes.join('\n').matchAll(/^(.*): taken$/gm)) {
      expect(before).toContain(`name: ${name}`)
      expect(after).not.toContain(`name: ${name}`)
    }
    expect(faults).toEqual([])
    await context.close()
  })
})
