import { cp, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { listen } from '../../src/cli/listen.ts'
import { readPlot } from '../../src/file/hpgl/read.ts'
import { pathLength } from '../../src/geometry/length.ts'
import type { Path } from '../../src/geometry/path.ts'
import { checkToSend } from '../../src/job/preview.ts'
import { type Simulated, simulate } from '../../src/link/simulate.ts'
import { SimulatedMachine } from '../../src/machine/simulated/machine.ts'
import { type Misbehaviour, usualSimulated } from '../../src/machine/simulated/options.ts'
import { type Bench, haveChromium, openBench } from './browser.ts'
import { goTo, takeAll, words } from './hands.ts'

const samples = resolve(import.meta.dirname, '../../samples')

type Drawn = readonly { readonly path: Path }[]

/** Lines as text, those too in one that a pause has parted: the second part goes on where the first one ends. */
function wholeLines(drawn: Drawn): ReadonlySet<string> {
  const own = drawn.map(({ path }) => path)
  const joined = own.flatMap((path, i) => {
    const next = own[i + 1]
    const end = path.segments.at(-1)?.to
    if (!next || !end || end.x !== next.start.x || end.y !== next.start.y) return []
    return [{ ...path, segments: [...path.segments, ...next.segments] }]
  })
  return new Set([...own, ...joined].map((path) => JSON.stringify(path)))
}

/** All that the tool does when it is down, mm. */
const downOf = (strokes: Drawn) => strokes.reduce((sum, { path }) => sum + pathLength(path), 0) / 40

describe.skipIf(!haveChromium())('a cut file on its way from the page', { timeout: 180_000 }, () => {
  let bench: Bench
  let folder = ''
  let server: Awaited<ReturnType<typeof listen>>
  const machines: Simulated[] = []
  beforeAll(async () => {
    bench = await openBench()
    folder = await mkdtemp(join(tmpdir(), 'midtick-send-'))
    await cp(samples, folder, { recursive: true })
    const [page, job] = [join(bench.folder, 'dist/page'), join(folder, 'tool-library.yaml')]
    server = await listen({ page, job, own: join(folder, 'shapes'), port: undefined })
  }, 120_000)
  afterAll(async () => {
    for (const machine of machines) await machine.close()
    await server?.close()
    await bench?.close()
    await rm(folder, { recursive: true, force: true })
  })

  const machine = async (drain: number, misbehaviour: Misbehaviour = {}) => {
    const own = await simulate({ kind: 'socket', port: 0 }, { ...usualSimulated, buffer: 200, drain, misbehaviour })
    machines.push(own)
    return own
  }

  /** The page of the local server, looking at the first sheet before it is sent; the bytes of its file too. */
  async function openSheet(prepare: (page: Page) => Promise<unknown> = async () => undefined) {
    const context = await bench.browser.newContext({ viewport: { width: 1280, height: 1000 } })
    const page = await context.newPage()
    const faults: string[] = []
    page.on('pageerror', (error) => faults.push(String(error)))
    page.on('console', (message) => message.type() === 'error' && faults.push(message.text()))
    await prepare(page)
    await page.goto(server.address)
    await page.getByRole('form', { name: 'Measures' }).waitFor()
    const all = await takeAll(page)
    const file = all.get('sheet-1.hpgl') ?? new Uint8Array()
    const looked = await checkToSend('sheet-1.hpgl', file, words(all.get('report.json')))
    if ('problems' in looked) throw new Error(looked.problems.join())
    await goTo(page, 'Files')
    await page.getByRole('button', { name: 'Send sheet-1.hpgl to the machine' }).click()
    await page.getByText(/lines closed$/).waitFor()
    return { page, context, file, looked, faults }
  }

  const button = (page: Page, name: string) => page.getByRole('button', { name, exact: true })
  /** Lines of the sheet's picture that stand as cut, as begun or as left. */
  const shownAs = async (page: Page, state: 'cut' | 'begun' | 'left') =>
    (
      await page
        .locator(`.under-tool .${state}`)
        .evaluateAll((lines: { getAttribute(name: string): string | null }[]) =>
          lines.map((line) => line.getAttribute('d') ?? ''),
        )
    ).sort()
  const standing = (page: Page) => page.locator('.standing')

  test('goes through midtick open to a machine, pauses, stops, and goes on from where it stopped', async () => {
    const { page, context, file, looked, faults } = await openSheet()
    // so slow that a busy computer is in time for all that follows
    const cutter = await machine(300)
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    await page.getByRole('combobox', { name: 'link to the machine' }).fill(cutter.address)
    const asked: string[] = []
    page.on('request', (request) => request.method() === 'POST' && asked.push(new URL(request.url()).pathname))
    // a hand that shakes: the second press comes before anything could answer the first
    await button(page, 'Yes, send it').evaluate((own: { click(): void }) => {
      own.click()
      own.click()
    })
    await page.locator('.under-tool .begun').first().waitFor({ state: 'attached' })
    await standing(page)
      .getByText(/^Under the tool: .+ \((pen|kiss|through)\)/)
      .waitFor()
    expect(asked).toEqual(['/api/send'])
    // whoever left the page finds the run again
    await button(page, 'Back to the files').click()
    await page
      .getByRole('region', { name: 'Being sent now' })
      .getByText(/^Under the tool: /)
      .waitFor()
    await button(page, 'Send sheet-1.hpgl to the machine').click()
    await page.locator('.under-tool .begun').first().waitFor({ state: 'attached' })
    await button(page, 'Pause').click()
    await standing(page)
      .getByText(/^Paused in .+ \(/)
      .waitFor()
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    await button(page, 'Go on').click()
    await standing(page)
      .getByText(/^Under the tool: /)
      .waitFor()
    await button(page, 'Stop').click()
    await standing(page)
      .getByText(/The tool is up and parked/)
      .waitFor()
    const first = downOf(cutter.machine.drawn)
    const whole = downOf(readPlot(file, { unitsPerMm: 1 }).strokes)
    expect(first).toBeGreaterThan(0)
    expect(first).toBeLessThan(whole)
    // the machine may still have what was handed over last
    await expect.poll(() => cutter.machine.stored).toBe(0)
    // the lines that the picture shows as cut are those that the machine has cut whole
    const strokes = readPlot(file, { unitsPerMm: 1 }).strokes.map(({ path }) => JSON.stringify(path))
    const drawn = wholeLines(cutter.machine.drawn)
    const whollyDrawn = looked.ways.filter((_, i) => drawn.has(strokes[i] ?? ''))
    expect(whollyDrawn.length).toBeGreaterThan(0)
    expect(await shownAs(page, 'cut')).toEqual(whollyDrawn.sort())
    const begun = await shownAs(page, 'begun')
    expect(begun.length).toBeLessThanOrEqual(1)
    expect((await shownAs(page, 'left')).length).toBe(strokes.length - whollyDrawn.length - begun.length)
    // and no number is told that a piece on the sheet or the drawing might have too
    expect(await page.locator('.send').textContent()).not.toMatch(/piece \d/i)
    const where = page.getByRole('combobox', { name: 'begin with' })
    const offered = async () => where.locator('option:checked').textContent()
    const there = await offered()
    expect(there).toMatch(/^where it stopped: .+, (pen|kiss|through)/)
    expect(await where.locator('option').first().textContent()).toBe(there)
    // the film that is half cut, or new film: the question is which
    const question = page.getByText(
      /^Does the film still lie as the run before has left it\? New film is begun at the beginning\./,
    )
    await question.waitFor()
    await where.selectOption('the beginning')
    await page.getByText(/^Does the film lie film side up, with the tool at its start/).waitFor()
    expect(await question.count()).toBe(0)
    await where.selectOption(there)
    // whoever comes back is offered the same
    await page.reload()
    await goTo(page, 'Files')
    await button(page, 'Send sheet-1.hpgl to the machine').click()
    await expect.poll(offered).toBe(there)
    expect(await shownAs(page, 'cut')).toEqual(whollyDrawn)
    const fast = await machine(1e6)
    const to = `${fast.address}?answers=errors+position&ahead=86400`
    await page.getByRole('combobox', { name: 'link to the machine' }).fill(to)
    await button(page, 'Yes, send it').click()
    await standing(page)
      .getByText(/^Done. All \d+ pieces are cut/)
      .waitFor()
    expect(await shownAs(page, 'cut')).toEqual([...looked.ways].sort())
    expect(await offered()).toBe('the beginning')
    // nothing is cut twice and nothing is missing
    expect(downOf(cutter.machine.drawn) + downOf(fast.machine.drawn)).toBeCloseTo(whole, 1)
    expect(faults).toEqual([])
    await context.close()
  })

  test('leads from one file of a sheet to the next, and offers what is begun of one sheet for no other', async () => {
    const own = await mkdtemp(join(tmpdir(), 'midtick-send-'))
    const job = join(own, 'lids.yaml')
    // by whose estimate there is time to look at other files while it cuts
    const slow = 'machine: { like: plain-roll, pace: { down: 10 } }'
    const stock = 'stock: { kind: sheet, width: 200, length: 300, count: 2 }'
    const lid = '{ name: lid, shape: disc, diameter: 170, copies: 2 }'
    await writeFile(job, `version: 1\ntitle: Lids\n${slow}\ncut: through\n${stock}\nobjects:\n  - ${lid}\n`)
    const at = await listen({ page: join(bench.folder, 'dist/page'), job, own: join(own, 'shapes'), port: undefined })
    const context = await bench.browser.newContext({ viewport: { width: 1280, height: 1000 } })
    const page = await context.newPage()
    const open = async (name: string) => {
      await goTo(page, 'Files')
      await button(page, `Send ${name} to the machine`).click()
      await page.getByRole('heading', { name: `Send ${name}` }).waitFor()
      await page.locator('.under-tool').waitFor({ state: 'attached' })
    }
    const to = page.getByRole('combobox', { name: 'link to the machine' })
    const offered = () => page.locator('#send-from option:checked').textContent()
    await page.goto(at.address)
    await page.getByRole('form', { name: 'Measures' }).waitFor()
    const all = await takeAll(page)
    // alike to the byte, so that their names alone tell them apart
    expect(words(all.get('sheet-2.through.hpgl'))).toBe(words(all.get('sheet-1.through.hpgl')))
    await open('sheet-1.through.hpgl')
    await to.fill((await machine(100)).address)
    await button(page, 'Yes, send it').click()
    await page.locator('.under-tool .begun').first().waitFor({ state: 'attached' })
    // whoever looks at another file meanwhile is told which one it is about
    await open('sheet-2.through.hpgl')
    await page.getByText('This is about sheet-1.through.hpgl:').waitFor()
    await button(page, 'Stop').click()
    await standing(page)
      .getByText(/The tool is up and parked/)
      .waitFor()
    expect(await offered()).toBe('the beginning')
    await page.reload()
    await open('sheet-2.through.hpgl')
    expect(await offered()).toBe('the beginning')
    expect(await shownAs(page, 'cut')).toEqual([])
    await open('sheet-1.through.hpgl')
    await expect.poll(offered).toMatch(/^where it stopped: lid, copy 1 of 2, through/)
    await open('sheet-1.hpgl')
    await to.fill(`${(await machine(1e6)).address}?answers=errors+position&ahead=86400`)
    await button(page, 'Yes, send it').click()
    await standing(page)
      .getByText(/^Done. All \d+ lines of this file are done/)
      .waitFor()
    await page.getByText(/^Not all of this sheet is done: send sheet-1.through.hpgl next/).waitFor()
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    await button(page, 'On to sheet-1.through.hpgl').click()
    await page.getByText(/^Does the film still lie as sheet-1.hpgl has left it, with tool 1/).waitFor()
    await button(page, 'Yes, send it').click()
    await standing(page)
      .getByText(/^Done. The piece lid, copy 1 of 2 is cut/)
      .waitFor()
    expect(await page.getByRole('button', { name: /^On to sheet/ }).count()).toBe(0)
    await context.close()
    await at.close()
    await rm(own, { recursive: true, force: true })
  })

  test('tells what was under way when the machine is gone, and refuses a link that is none', async () => {
    const { page, context } = await openSheet()
    const to = page.getByRole('combobox', { name: 'link to the machine' })
    await to.fill('tpc:127.0.0.1:9')
    await button(page, 'Yes, send it').click()
    await page
      .getByRole('alert')
      .getByText(/Did you mean tcp/)
      .waitFor()
    await to.fill('tcp:127.0.0.1:9')
    await button(page, 'Yes, send it').click()
    await page
      .getByRole('alert')
      .getByText(/cannot be used/)
      .waitFor()
    const cutter = await machine(3000, { disappears: 600 })
    await to.fill(`${cutter.address}?block=100`)
    await button(page, 'Yes, send it').click()
    await standing(page)
      .getByText(/^The link broke/)
      .waitFor()
    await standing(page)
      .getByText(/Under way: /)
      .waitFor()
    await context.close()
  })

  test("goes over the browser's own serial line, and is stopped there", async () => {
    const { page, context, file, faults } = await openSheet((own) =>
      own.addInitScript(`
        window.sent = []
        const port = {
          open: async (options) => { window.opened = options },
          close: async () => { window.isClosed = true },
          readable: new ReadableStream(),
          writable: new WritableStream(
            { write: async (chunk) => { window.sent.push(...chunk); await new Promise((done) => setTimeout(done, 900)) } },
            { highWaterMark: 1 },
          ),
        }
        Object.defineProperty(navigator, 'serial', { value: { requestPort: async () => port } })
      `),
    )
    await page
      .getByRole('combobox', { name: 'link to the machine' })
      .fill('serial:browser?baud=4800&bits=7&parity=even&handshake=xon-xoff')
    // the run before broke off in the middle, and this is another film
    await page.getByRole('combobox', { name: 'begin with' }).selectOption('the beginning')
    await button(page, 'Yes, send it').click()
    await standing(page)
      .getByText(/^Under the tool: /)
      .waitFor()
    await expect.poll(() => page.evaluate('window.sent.length')).toBeGreaterThan(700)
    await button(page, 'Stop').click()
    await standing(page)
      .getByText(/The tool is up and parked/)
      .waitFor()
    await expect.poll(() => page.evaluate('window.isClosed')).toBe(true)
    expect(await page.evaluate('window.opened')).toEqual({
      baudRate: 4800,
      dataBits: 7,
      stopBits: 1,
      parity: 'even',
      flowControl: 'none',
    })
    const sent = Uint8Array.from((await page.evaluate('window.sent')) as number[])
    const cutter = new SimulatedMachine({ ...usualSimulated, buffer: 1e6, drain: 1e6 })
    cutter.hear(sent, 0)
    cutter.advance(10)
    // what came is the file's own beginning, and ends with the tool up
    const strokes = readPlot(file, { unitsPerMm: 1 }).strokes
    expect(cutter.drawn.length).toBeGreaterThan(0)
    expect(cutter.drawn.slice(0, -1).map(({ path }) => path)).toEqual(
      strokes.slice(0, cutter.drawn.length - 1).map(({ path }) => path),
    )
    expect(new TextDecoder().decode(sent)).toMatch(/PU;PA0,0;SP0;$/)
    expect(faults).toEqual([])
    await context.close()
  })
})
