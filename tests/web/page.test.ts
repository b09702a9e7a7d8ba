import { readFile, writeFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { parse } from 'yaml'
import { type Bench, haveChromium, openBench } from './browser.ts'
import { fill, goTo, openText, pick, saved, stageNames, still, takeAll, words } from './hands.ts'

const samples = resolve(import.meta.dirname, '../../samples')
const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }

describe.skipIf(!haveChromium())('the page', { timeout: 180_000 }, () => {
  let bench: Bench
  let sample = ''
  beforeAll(async () => {
    bench = await openBench()
    sample = await readFile(join(samples, 'tool-library.yaml'), 'utf8')
  }, 120_000)
  afterAll(() => bench?.close())

  const measures = (page: Page) => page.getByRole('form', { name: 'Measures' })
  const caption = (page: Page) => page.locator('.mini figcaption')
  const problem = (page: Page, id: string) => page.locator(`[id="${id}-wrong"] .refusal`)

  test('reads fractions of an inch as they are written, and speaks in inches when told so', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Disc')
    await fill(page, ['objects', 0, 'diameter'], '6 5/8"')
    // 6 5/8 in are 168.275 mm, and 1 mm of film all round makes 170.275 mm
    await page.getByText('170.3 mm × 170.3 mm over all').waitFor()
    await fill(page, ['unit'], 'in')
    await fill(page, ['objects', 0, 'diameter'], '6 5/8')
    // 170.275 mm are 6.7037 in, and the nearest 1/64 is 45/64
    await page.getByText('6 45/64 in × 6 45/64 in over all').waitFor()
    const files = await takeAll(page)
    expect(parse(words(files.get('job.yaml')))).toMatchObject({ unit: 'in', objects: [{ diameter: '6 5/8' }] })
    await context.close()
  })

  test('offers the unit that bare numbers may be meant in, and takes them for it', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Disc')
    const unit = page.locator('[id="field-unit"]')
    await fill(page, ['objects', 0, 'diameter'], '7 3/32')
    await page.getByRole('button', { name: 'Read all bare numbers as in' }).click()
    await expect.poll(() => unit.inputValue()).toBe('in')
    await caption(page).waitFor()
    await fill(page, ['objects', 0, 'diameter'], '180')
    await page.locator('.doubt', { hasText: 'Bare numbers are read as in.' }).waitFor()
    await page.getByRole('button', { name: 'Read all bare numbers as mm' }).click()
    await expect.poll(() => unit.inputValue()).toBe('mm')
    // 1 mm all round
    await page.getByText('182 mm × 182 mm over all').waitFor()
    await context.close()
  })

  test('goes back a stage by the browser, and takes a double click for one', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Disc')
    await page.getByRole('button', { name: 'Duplicate' }).click()
    await goTo(page, 'Shape')
    await pick(page, 'Ring')
    const objects = page.getByRole('region', { name: 'Objects of this job' }).locator('li')
    // two discs and a ring, beside the way to one more
    await expect.poll(() => objects.count()).toBe(4)
    await page.getByRole('button', { name: 'Remove', exact: true }).dblclick()
    await expect.poll(() => objects.count()).toBe(3)
    const heading = page.getByRole('heading', { level: 2 })
    await goTo(page, 'Panel')
    await heading.getByText('The film, laid flat').waitFor()
    await page.goBack()
    await heading.getByText('What does the tape say?').waitFor()
    await page.goBack()
    await heading.getByText('What is it?').waitFor()
    await page.goForward()
    await heading.getByText('What does the tape say?').waitFor()
    await context.close()
  })

  test('takes several readings of one length, and doubts those that the tape does not explain', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Disc')
    await fill(page, ['objects', 0, 'diameter'], '168')
    await page.getByRole('button', { name: 'One more reading of diameter' }).click()
    await page.getByRole('textbox', { name: 'diameter, reading 2' }).fill('169')
    // the mean of both, and 1 mm all round
    await page.getByText('170.5 mm × 170.5 mm over all').waitFor()
    await page.getByRole('textbox', { name: 'diameter, reading 2' }).fill('171')
    // beside the field itself, and nowhere else
    const field = page.locator('.field', { has: page.locator('[id="field-objects-0-diameter"]') })
    await field.locator('.doubt', { hasText: 'readings 168, 171 differ by 3.0 mm' }).waitFor()
    expect(await page.locator('.doubt').count()).toBe(1)
    await expect.poll(async () => parse(await saved(page)).objects[0].diameter).toEqual([168, 171])
    await page.getByRole('textbox', { name: 'diameter, reading 2' }).fill('178')
    await problem(page, 'field-objects-0-diameter').getByText('168 and 178 cannot both be right').waitFor()
    await page.getByRole('button', { name: 'Remove reading 2 of diameter' }).click()
    await page.getByText('170 mm × 170 mm over all').waitFor()
    await expect.poll(async () => parse(await saved(page)).objects[0].diameter).toBe(168)
    await context.close()
  })

  test('tells a refusal beside its field and aloud, and keeps the last panel until it is cured', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Straight band')
    // what is only still to come is no refusal
    await expect.poll(() => page.locator('.refusal').count()).toBe(0)
    await fill(page, ['objects', 0, 'girth'], '534')
    await fill(page, ['objects', 0, 'height'], '95')
    await page.getByText('541.8 mm').first().waitFor({ state: 'detached' })
    await caption(page).waitFor()
    await fill(page, ['objects', 0, 'height'], '4')
    const wrong = problem(page, 'field-objects-0-height')
    await wrong.waitFor()
    await expect.poll(() => wrong.textContent()).toBe('4 mm: the least is 5 mm. Enter 5 mm or more.')
    const field = page.locator('[id="field-objects-0-height"]')
    await expect.poll(() => field.getAttribute('aria-invalid')).toBe('true')
    await expect.poll(() => field.getAttribute('aria-describedby')).toContain('field-objects-0-height-wrong')
    await page.locator('#refusals', { hasText: 'the least is 5 mm' }).waitFor({ state: 'attached' })
    await expect.poll(() => page.locator('.mini').getAttribute('class')).toContain('stale')
    await fill(page, ['objects', 0, 'height'], '9 parsecs')
    await page.locator('.refusal', { hasText: 'the units are mm, cm, m, in and ft' }).waitFor()
    await fill(page, ['objects', 0, 'height'], '9.5 cm')
    await wrong.waitFor({ state: 'detached' })
    await page.locator('.mini:not(.stale)').waitFor()
    await goTo(page, 'Film')
    await fill(page, ['stock', 'width'], '60')
    await page.locator('.to-do', { hasText: 'too big' }).waitFor()
    await goTo(page, 'Files')
    await page.getByText('Nothing can be cut until this is settled').waitFor()
    await context.close()
  })

  test('undoes and does again, by buttons and by keys, one field at a time', async () => {
    const { page, context } = await bench.open()
    // what is typed in one go is one step, however slowly the keys come here
    await page.clock.setFixedTime(new Date())
    await pick(page, 'Oval')
    const width = page.locator('[id="field-objects-0-width"]')
    const height = page.locator('[id="field-objects-0-height"]')
    await width.pressSequentially('200')
    await height.pressSequentially('120')
    await caption(page).waitFor()
    await page.keyboard.press('Control+z')
    await expect.poll(() => height.inputValue()).toBe('')
    await page.getByRole('button', { name: 'Undo' }).click()
    await expect.poll(() => width.inputValue()).toBe('')
    await page.keyboard.press('Control+y')
    await page.keyboard.press('Control+Shift+z')
    await expect.poll(async () => [await width.inputValue(), await height.inputValue()]).toEqual(['200', '120'])
    await page.getByRole('button', { name: 'Remove', exact: true }).click()
    await page.getByRole('heading', { name: 'What is it?' }).waitFor()
    await page.getByRole('button', { name: 'Undo' }).click()
    await goTo(page, 'Measure')
    await expect.poll(() => width.inputValue()).toBe('200')
    await context.close()
  })

  test('loses nothing on a reload, and can still undo', async () => {
    const { page, context } = await bench.open()
    // what is typed in one go is one step, however slowly the keys come here
    await page.clock.setFixedTime(new Date())
    await pick(page, 'Ring')
    await fill(page, ['objects', 0, 'outer'], '168')
    await page.locator('[id="field-objects-0-inner"]').pressSequentially('74 mm')
    await page.reload()
    await measures(page).waitFor()
    await expect.poll(() => page.locator('[id="field-objects-0-outer"]').inputValue()).toBe('168')
    await expect.poll(() => page.locator('[id="field-objects-0-inner"]').inputValue()).toBe('74 mm')
    await caption(page).waitFor()
    await page.getByRole('button', { name: 'Undo' }).click()
    await expect.poll(() => page.locator('[id="field-objects-0-inner"]').inputValue()).toBe('')
    await context.close()
  })

  test('works with no network once it has been loaded, after a reload too', async () => {
    const { page, context, faults } = await bench.open()
    await page.evaluate('navigator.serviceWorker.ready')
    await context.setOffline(true)
    await page.reload()
    await page.locator('.shape').first().waitFor()
    await pick(page, 'Flat panel')
    await fill(page, ['objects', 0, 'width'], '420')
    await fill(page, ['objects', 0, 'height'], '210')
    const files = await takeAll(page)
    expect([...files.keys()]).toEqual(expect.arrayContaining(['paper.pdf', 'job-sheet.pdf', 'sheet-1.hpgl']))
    expect(faults).toEqual([])
    await context.close()
  })

  test('asks for nothing from any other host', async () => {
    const hosts = new Set<string>()
    const { page, context } = await bench.open()
    page.on('request', (request) => hosts.add(new URL(request.url()).host))
    await page.reload()
    await page.locator('.shape').first().waitFor()
    await openText(page, 'tools.yaml', sample)
    await takeAll(page)
    expect([...hosts].filter((host) => host !== '')).toEqual([new URL(bench.url).host])
    await context.close()
  })

  test('opens a job file, changes it and saves it with every comment and all else as it was', async () => {
    const { page, context } = await bench.open()
    await openText(page, 'tools.yaml', sample)
    await measures(page).waitFor()
    await expect.poll(() => saved(page)).toBe(sample)
    await page.getByRole('button', { name: 'lidded pail' }).click()
    await fill(page, ['objects', 1, 'slant'], '205 mm')
    await page.getByRole('button', { name: /^paint tin/ }).click()
    await fill(page, ['objects', 0, 'copies'], '6')
    await fill(page, ['objects', 0, 'allowance'], '2')
    await expect
      .poll(() => saved(page))
      .toBe(
        sample
          .replace('slant: 200', 'slant: 205 mm')
          .replace('copies: 2', 'copies: 6')
          .replace('height: 9.5 cm\n', 'height: 9.5 cm\n    allowance: 2\n'),
      )
    await context.close()
  })

  test('gives the same files of an opened job as the command', async () => {
    const { page, context } = await bench.open()
    await openText(page, 'tools.yaml', sample)
    const given = await takeAll(page)
    const job = join(bench.folder, 'tools.yaml')
    await writeFile(job, sample)
    await bench.make(job, join(bench.folder, 'tools'))
    for (const [name, bytes] of given) {
      if (name === 'job.yaml') continue
      expect(Buffer.from(bytes).equals(await readFile(join(bench.folder, 'tools', name))), name).toBe(true)
    }
    const download = page.waitForEvent('download')
    await page.getByRole('button', { name: 'Download sheet-1.hpgl' }).click()
    expect(await readFile(await (await download).path())).toEqual(Buffer.from(given.get('sheet-1.hpgl') ?? []))
    await context.close()
  })

  test('links a letter in the drawing with its field, both ways', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Box sleeve')
    const letter = page.locator('.look [data-letters="C"]')
    await letter.hover()
    await page.locator('.field.lit[data-letter="C"]').waitFor()
    await letter.click()
    await expect.poll(() => page.evaluate('document.activeElement.id')).toBe('field-objects-0-height')
    await page.locator('[id="field-objects-0-length"]').focus()
    await page.locator('.look [data-letters="A"].lit').waitFor()
    await expect.poll(() => page.locator('.look .lit').count()).toBe(1)
    await context.close()
  })

  test('can be worked by keys alone, from an empty page to the files', async () => {
    const { page, context } = await bench.open()
    // past the last button nothing has the focus, and the page as a whole holds every word
    const focused = () =>
      page.evaluate(
        'document.activeElement === document.body ? "" : document.activeElement.innerText || document.activeElement.id',
      ) as Promise<string>
    const tabTo = async (what: RegExp) => {
      for (let i = 0; i < 80; i++) {
        await page.keyboard.press('Tab')
        if (what.test(await focused())) return
      }
      throw new Error(`no way by Tab to ${what}`)
    }
    await tabTo(/^Disc/)
    await page.keyboard.press('Enter')
    await measures(page).waitFor()
    await tabTo(/objects-0-diameter$/)
    await page.keyboard.type('168')
    await caption(page).waitFor()
    await tabTo(/On to the panel/)
    await page.keyboard.press('Enter')
    await page.locator('.view').waitFor()
    await page.locator('.view').focus()
    const size = async () => Number.parseInt((await page.locator('.percent').textContent()) ?? '', 10)
    const before = await size()
    await page.keyboard.press('+')
    await expect.poll(() => size()).toBeGreaterThan(before)
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('0')
    await expect.poll(() => size()).toBe(before)
    await tabTo(/On to the film/)
    await page.keyboard.press('Enter')
    await tabTo(/On to the files/)
    await page.keyboard.press('Enter')
    await page.getByRole('button', { name: /in one \(zip\)/ }).waitFor()
    await tabTo(/in one \(zip\)/)
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')])
    expect(download.suggestedFilename()).toBe('New job.zip')
    await context.close()
  })

  /** How wide the widest outline is on the screen, CSS px, by where the browser puts its leftmost and rightmost points. */
  const across = (page: Page) =>
    page.locator('.view .outline path').evaluateAll((nodes: readonly unknown[]) => {
      type Shape = { getBBox(): { width: number }; getScreenCTM(): { a: number } }
      const wide = (node: Shape) => node.getScreenCTM().a * node.getBBox().width
      return Math.max(...nodes.map((node) => wide(node as Shape)))
    })

  test('shows a panel at true size once a card has been held against the screen', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Disc')
    await fill(page, ['objects', 0, 'diameter'], '98')
    await goTo(page, 'Panel')
    await page.getByRole('button', { name: 'True size' }).click()
    // a card that covers an outline 428 px wide makes 5 px a mm
    await page.getByRole('slider', { name: 'Size of the outline' }).fill('5')
    await expect.poll(async () => (await page.locator('svg.card').boundingBox())?.width).toBeCloseTo(428, 0)
    await page.getByRole('button', { name: 'It fits' }).click()
    await expect.poll(() => page.locator('.percent').textContent()).toBe('100 %')
    // the outline of 100 mm is 500 px across
    await expect.poll(async () => Math.abs((await across(page)) - 500)).toBeLessThan(0.05)
    await page.reload()
    await page.locator('.view').waitFor()
    await page.getByRole('button', { name: 'True size' }).click()
    await expect.poll(() => page.locator('.percent').textContent()).toBe('100 %')
    await context.close()
  })

  test('shows one millimetre as one millimetre, on a phone too, on the panel and on the film', async () => {
    for (const viewport of [
      { width: 1280, height: 900 },
      { width: 390, height: 844 },
    ]) {
      const { page, context } = await bench.open({ viewport })
      await pick(page, 'Disc')
      await fill(page, ['objects', 0, 'diameter'], '98')
      for (const stage of ['Panel', 'Film'] as const) {
        await goTo(page, stage)
        await page.locator('.view .outline path').first().waitFor({ state: 'attached' })
        // with no card held against it, a screen is taken to have the 96 px an inch that CSS has
        await page.locator('.view').press('1')
        await expect.poll(() => page.locator('.percent').textContent()).toBe('100 %')
        await expect.poll(async () => Math.abs((await across(page)) / (96 / 25.4) - 100)).toBeLessThan(0.01)
      }
      await context.close()
    }
  })

  test("plays the blade's way from the first stroke to the last", async () => {
    const { page, context } = await bench.open()
    await openText(page, 'tools.yaml', sample)
    await goTo(page, 'Film')
    await page.getByRole('button', { name: "Play the blade's way" }).click()
    await page.getByRole('combobox', { name: 'Pace' }).selectOption('400')
    await page.getByRole('button', { name: 'Play', exact: true }).click()
    const done = page.locator('.blade .done:not([d=""])[d]')
    await done.nth(3).waitFor({ state: 'attached' })
    await page.getByRole('button', { name: 'Stop', exact: true }).click()
    await page.getByRole('slider', { name: 'Place along the way' }).press('End')
    // the lines asked for, and the edge of the film
    const lines = await page.locator('.played > .line path').count()
    await expect.poll(() => done.count()).toBe(lines - 1)
    await page.getByRole('slider', { name: 'Place along the way' }).press('Home')
    await expect.poll(() => done.count()).toBe(0)
    await page.getByRole('combobox', { name: 'Side' }).selectOption('liner')
    await page.getByText(/1 of \d+: blade slits the liner/).waitFor()
    await context.close()
  })

  test('shows where the tip is farthest from the line asked for, as the files say it', async () => {
    const { page, context } = await bench.open()
    await openText(page, 'tools.yaml', sample)
    const { checks } = JSON.parse(words((await takeAll(page)).get('report.json'))) as {
      checks: { file: string; worst: number; stroke: string; at: { x: number; y: number } }[]
    }
    const check = checks.find(({ file }) => file === 'sheet-1.hpgl')
    await goTo(page, 'Film')
    await page.getByRole('button', { name: "Play the blade's way" }).click()
    await page.getByText(`${check?.worst.toFixed(3)} mm, in ${check?.stroke}.`).waitFor()
    await page.getByRole('button', { name: 'Show it close up' }).click()
    const view = page.locator('.view')
    const middle = async () => {
      const [spot, own] = await Promise.all([page.locator('.worst').boundingBox(), view.boundingBox()])
      if (!spot || !own) return undefined
      return [spot.x + spot.width / 2 - own.x - own.width / 2, spot.y + spot.height / 2 - own.y - own.height / 2]
    }
    await expect.poll(async () => (await middle())?.every((off) => Math.abs(off) < 3)).toBe(true)
    await context.close()
  })

  test('is moved by the mouse and zoomed by wheel and by two fingers, about the place pointed at', async () => {
    const { page, context } = await bench.open({ hasTouch: true })
    await pick(page, 'Disc')
    await fill(page, ['objects', 0, 'diameter'], '98')
    await goTo(page, 'Panel')
    const view = page.locator('.view')
    const outline = page.locator('.view .outline path').first()
    await still(outline)
    const box = async () => (await outline.boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 }
    const own = (await view.boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 }
    const spot = { x: own.x + own.width * 0.4, y: own.y + own.height * 0.4 }
    const before = await box()
    /** what of the panel lies under the spot, as shares of its box */
    const under = ({ x, y, width, height }: typeof before) => [(spot.x - x) / width, (spot.y - y) / height]
    await page.mouse.move(spot.x, spot.y)
    await page.mouse.wheel(0, -400)
    await expect.poll(async () => (await box()).width).toBeGreaterThan(before.width * 1.5)
    const zoomed = await box()
    under(zoomed).forEach((share, i) => {
      expect(share).toBeCloseTo(under(before)[i] ?? 0, 2)
    })
    await page.mouse.down()
    await page.mouse.move(spot.x + 30, spot.y - 20)
    await page.mouse.up()
    await expect.poll(async () => Math.round((await box()).x - zoomed.x)).toBe(30)
    expect(Math.round((await box()).y - zoomed.y)).toBe(-20)
    await page.getByRole('button', { name: 'Fit' }).click()
    await expect.poll(async () => (await box()).width).toBeCloseTo(before.width, 0)
    const touch = await context.newCDPSession(page)
    const fingers = (apart: number) => [-1, 1].map((side, id) => ({ x: spot.x + (side * apart) / 2, y: spot.y, id }))
    const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', apart?: number) =>
      touch.send('Input.dispatchTouchEvent', { type, touchPoints: apart === undefined ? [] : fingers(apart) })
    await send('touchStart', 80)
    for (const apart of [100, 120, 140, 160]) await send('touchMove', apart)
    await send('touchEnd')
    // twice as far apart is twice as big
    await expect.poll(async () => (await box()).width / before.width).toBeCloseTo(2, 1)
    under(await box()).forEach((share, i) => {
      expect(share).toBeCloseTo(under(before)[i] ?? 0, 1)
    })
    await context.close()
  })

  test('saves back into the file that was picked, and after New and Undo each job into its own', async () => {
    const { page, context } = await bench.open()
    // the pickers that only a person can answer, with files in memory behind them
    await page.evaluate(`
      window.disk = { 'tools.yaml': ${JSON.stringify(sample)} }
      const handle = (name) => ({
        name,
        getFile: async () => new File([window.disk[name]], name),
        createWritable: async () => ({
          write: async (text) => { window.disk[name] = text },
          close: async () => {},
        }),
      })
      window.showOpenFilePicker = async () => [handle('tools.yaml')]
      window.showSaveFilePicker = async ({ suggestedName }) => handle(suggestedName)
    `)
    const disk = () => page.evaluate('window.disk') as Promise<Record<string, string>>
    const save = page.getByRole('button', { name: 'Save' }).first()
    await page.getByRole('button', { name: 'Open', exact: true }).click()
    await measures(page).waitFor()
    await fill(page, ['objects', 0, 'height'], '12 cm')
    await save.click()
    const changed = sample.replace('9.5 cm', '12 cm')
    await expect.poll(disk).toEqual({ 'tools.yaml': changed })
    await page.getByRole('button', { name: 'New', exact: true }).click()
    await pick(page, 'Disc')
    await fill(page, ['objects', 0, 'diameter'], '98')
    await save.click()
    await expect.poll(async () => Object.keys(await disk())).toEqual(['tools.yaml', 'new-job.yaml'])
    expect((await disk())['tools.yaml']).toBe(changed)
    const back = page.getByRole('button', { name: 'Undo' })
    while ((await page.locator('.file-name').textContent())?.startsWith('new-job')) await back.click()
    await expect.poll(() => page.getByRole('textbox', { name: 'Job' }).inputValue()).toBe('Tool library, autumn store')
    await fill(page, ['objects', 0, 'height'], '13 cm')
    await save.click()
    await expect.poll(async () => (await disk())['tools.yaml']).toBe(sample.replace('9.5 cm', '13 cm'))
    expect(parse((await disk())['new-job.yaml'] ?? '')).toMatchObject({ objects: [{ diameter: 98 }] })
    await context.close()
  })

  test('keeps the jobs of two tabs apart', async () => {
    const { page, context } = await bench.open()
    await pick(page, 'Disc')
    await fill(page, ['objects', 0, 'diameter'], '98')
    await caption(page).waitFor()
    await page.waitForTimeout(400)
    const other = await context.newPage()
    await other.goto(bench.url)
    await other.getByRole('button', { name: 'New', exact: true }).click()
    await pick(other, 'Ring')
    await fill(other, ['objects', 0, 'outer'], '168')
    await other.waitForTimeout(400)
    await page.reload()
    await expect.poll(() => page.locator('[id="field-objects-0-diameter"]').inputValue()).toBe('98')
    await other.reload()
    await expect.poll(() => other.locator('[id="field-objects-0-outer"]').inputValue()).toBe('168')
    await context.close()
  })

  test('fits a phone, by touch, on every stage', async () => {
    const { page, context } = await bench.open(phone)
    await page.locator('.shape').filter({ hasText: 'Tapered band' }).tap()
    await page.getByRole('button', { name: 'Fill in an example' }).tap()
    await caption(page).waitFor()
    for (const stage of stageNames) {
      await goTo(page, stage)
      await page.waitForTimeout(400)
      await expect
        .poll(async () => [stage, await page.evaluate('document.documentElement.scrollWidth')])
        .toEqual([stage, 390])
      const small = await page
        .locator('main button:visible:not(.link), nav button')
        .evaluateAll((all) =>
          (all as unknown as { getBoundingClientRect(): { height: number; width: number }; textContent: string }[])
            .filter((one) => Math.min(one.getBoundingClientRect().height, one.getBoundingClientRect().width) < 24)
            .map((one) => one.textContent),
        )
      expect(small).toEqual([])
    }
    await context.close()
  })

  test.each([
    ['light', undefined],
    ['dark', undefined],
    ['light', phone],
  ] as const)('has nothing that axe finds wrong, %s', async (colorScheme, device) => {
    const { page, context } = await bench.open({ colorScheme, ...device })
    const found: string[] = []
    const look = async (what: string) => {
      await page.waitForTimeout(300)
      const { violations } = await new AxeBuilder({ page }).analyze()
      found.push(
        ...violations.map(
          ({ id, nodes }) => `${what}: ${id} ${nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`,
        ),
      )
    }
    await look('empty')
    await openText(
      page,
      'tools.yaml',
      `${sample}  - { name: jar, shape: straight-band, girth: 3, points: [{ fromLeft: 9 }] }\n`,
    )
    await measures(page).waitFor()
    await look('measure')
    await page.getByRole('button', { name: /^jar/ }).click()
    await page.locator('.refusal').first().waitFor()
    const folded = page.locator('details:not([open]) > summary')
    while ((await folded.count()) > 0) await folded.first().click()
    await look('refused')
    await goTo(page, 'Film')
    await page.locator('.to-do').waitFor()
    await look('film refused')
    await goTo(page, 'Measure')
    await page.getByRole('button', { name: /^jar/ }).click()
    await page.getByRole('button', { name: 'Remove', exact: true }).click()
    await goTo(page, 'Shape')
    await look('shape')
    await goTo(page, 'Panel')
    await page.locator('.view').waitFor()
    await page.getByText('Marking it out by hand').click()
    await page.locator('.steps li').first().waitFor()
    await look('panel')
    await page.getByRole('button', { name: 'Measure screen' }).click()
    await look('card')
    await page.getByRole('button', { name: 'Leave it' }).click()
    await goTo(page, 'Film')
    await page.getByRole('button', { name: "Play the blade's way" }).click()
    await look('playing')
    await page.getByRole('button', { name: 'Back to the layout' }).click()
    await look('film')
    await goTo(page, 'Files')
    await page.getByRole('button', { name: /in one/ }).waitFor()
    await look('files')
    expect(found).toEqual([])
    await context.close()
  })
})
