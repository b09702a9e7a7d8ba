import { cp, mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { parse } from 'yaml'
import { type Bench, haveChromium, openBench } from './browser.ts'
import { fill, goTo, openText, saved, still, takeAll } from './hands.ts'

const samples = resolve(import.meta.dirname, '../../samples')

describe.skipIf(!haveChromium())('the film stage', { timeout: 180_000 }, () => {
  let bench: Bench
  let job = ''
  beforeAll(async () => {
    bench = await openBench()
    job = await readFile(join(samples, 'monthly-job.yaml'), 'utf8')
  }, 120_000)
  afterAll(() => bench?.close())

  const pieces = (page: Page) => page.locator('.piece')
  const material = (page: Page) => page.locator('.material')

  /** The monthly job, with the shelf that it names. */
  async function openMonthly() {
    const { page, context, faults } = await bench.open()
    await openText(page, 'monthly-job.yaml', job)
    await goTo(page, 'Film')
    await page
      .getByText(/shelf.yaml, which cannot be read/)
      .first()
      .waitFor()
    const chooser = page.waitForEvent('filechooser')
    await page.getByRole('region', { name: 'Film in stock' }).getByRole('button', { name: 'Choose file' }).click()
    const shelf = await readFile(join(samples, 'shelf.yaml'))
    await (await chooser).setFiles({ name: 'shelf.yaml', mimeType: 'application/yaml', buffer: shelf })
    await material(page)
      .getByText(/^Waste/)
      .waitFor()
    return { page, context, faults }
  }

  /** The files of the job as it now stands on the page, and as the command makes them. */
  async function sameAsCommand(page: Page): Promise<void> {
    const given = await takeAll(page)
    const folder = join(bench.folder, 'monthly')
    await cp(join(samples, 'shelf.yaml'), join(folder, 'shelf.yaml'))
    const file = join(folder, 'job.yaml')
    await writeFile(file, given.get('job.yaml') ?? '')
    await bench.make(file, join(folder, 'out'))
    for (const [name, bytes] of given) {
      if (name === 'job.yaml') continue
      expect(Buffer.from(bytes).equals(await readFile(join(folder, 'out', name))), name).toBe(true)
    }
  }

  test('has what to look at again beside its field, other film refused at its stock, and takes no file in another encoding', async () => {
    const { page, context } = await bench.open()
    const head =
      'version: 1\ntitle: Lids\nunit: cm\nfilm: { name: red vinyl, thickness: 0.08 }\nlayout: { places: gone.yaml }\n'
    const text = `${head}stock: { film: red vinyl }\nobjects:\n  - { name: lid, shape: flat-panel, width: 30, height: 20 }\n`
    await openText(page, 'lids.yaml', text)
    await goTo(page, 'Film')
    const field = page.locator('.field', { has: page.locator('[id="field-film-thickness"]') })
    await field.locator('.doubt', { hasText: '0.08 is read as 0.08 cm, which is 0.8 mm.' }).waitFor()
    // of no field of its own
    await page.locator('form > .doubt', { hasText: 'the pieces were laid anew' }).waitFor()
    await fill(page, ['stock', 'film'], 'blue vinyl')
    await page.locator('[id="field-stock-film-wrong"]').getByText('is cut from "red vinyl"').waitFor()
    const chooser = page.waitForEvent('filechooser')
    await page.getByRole('button', { name: 'Open', exact: true }).first().click()
    const buffer = Buffer.from(text.replace('Lids', 'T\u00fcren'), 'latin1')
    await (await chooser).setFiles({ name: 'old.yaml', mimeType: 'application/yaml', buffer })
    await page.getByText('old.yaml is not UTF-8 text').waitFor()
    expect(await saved(page)).toContain('title: Lids')
    await context.close()
  })

  test('makes paper alone where a panel too big for the cutter is marked out by hand', async () => {
    const { page, context, faults } = await bench.open()
    const shade = '{ name: lamp shade, shape: tapered-band, bottomDiameter: 30, topDiameter: 18, slant: 20 }'
    await openText(page, 'shade.yaml', `version: 1\ntitle: Shade\nunit: cm\nobjects:\n  - ${shade}\n`)
    await goTo(page, 'Film')
    await page.getByRole('button', { name: 'Mark it out by hand' }).click()
    await material(page)
      .getByText(/nothing is laid out/)
      .waitFor()
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    const given = await takeAll(page)
    const folder = join(bench.folder, 'shade')
    await mkdir(folder, { recursive: true })
    await writeFile(join(folder, 'job.yaml'), given.get('job.yaml') ?? '')
    await bench.make(join(folder, 'job.yaml'), join(folder, 'out'))
    const made = await readdir(join(folder, 'out'))
    expect(made.sort()).toEqual(['job-sheet.pdf', 'panel-lamp-shade.svg', 'paper.pdf', 'report.json'])
    for (const name of made) {
      expect(Buffer.from(given.get(name) ?? []).equals(await readFile(join(folder, 'out', name))), name).toBe(true)
    }
    expect(faults).toEqual([])
    await context.close()
  })

  test('shows the shelf as pictures, and what each scrap is used for', async () => {
    const { page, context, faults } = await openMonthly()
    const names = parse(await readFile(join(samples, 'shelf.yaml'), 'utf8')).stocks
    const fitting = names.filter(({ film }: { film: string }) => film === 'matt grey film')
    await expect.poll(() => page.locator('.scrap').count()).toBe(fitting.length)
    expect(await page.locator('.scrap.used').count()).toBeGreaterThan(1)
    await expect.poll(() => page.locator('.scrap svg path').count()).toBeGreaterThanOrEqual(fitting.length)
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    await sameAsCommand(page)
    expect(faults).toEqual([])
    await context.close()
  })

  test('lets a piece be dragged, turned and let go; the others make room, and undo brings it back', async () => {
    const { page, context } = await bench.open()
    const tags = '  - { name: tag, shape: flat-panel, width: 84, height: 40, copies: 2 }'
    await openText(page, 'tags.yaml', `version: 1\ntitle: Tags\nobjects:\n${tags}\n`)
    await goTo(page, 'Film')
    const first = pieces(page).first()
    await first.waitFor()
    await still(first)
    await first.evaluate((piece) => piece.scrollIntoView({ block: 'center' }))
    await still(first)
    const boxes = async () => Promise.all((await pieces(page).all()).map((one) => one.boundingBox()))
    const [one, other] = await boxes()
    if (!one || !other) throw new Error('no pieces to drag')
    // onto the other one, which then has to lie elsewhere
    const [x, y] = [one.x + one.width / 2, one.y + one.height / 2]
    await page.mouse.move(x, y)
    await page.mouse.down()
    await page.mouse.move(x + other.x - one.x, y + other.y - one.y, { steps: 4 })
    await page.mouse.up()
    const piece = page.getByRole('group', { name: 'A piece on this sheet' })
    await piece.getByRole('button', { name: 'Let it go' }).waitFor()
    const pins = async () =>
      parse(await saved(page)).objects.flatMap(({ pinned = [] }: { pinned?: unknown[] }) => pinned) as {
        x: number
        y: number
        angle?: number
      }[]
    await expect.poll(async () => (await pins()).length).toBe(1)
    const [pin] = await pins()
    await piece.getByRole('button', { name: 'Turn a quarter to the left' }).click()
    const turned = async () => ((await pins())[0]?.angle ?? 0) - (pin?.angle ?? 0)
    await expect.poll(async () => (360 + (await turned())) % 360).toBe(90)
    await page.getByRole('button', { name: 'Undo' }).click()
    await expect.poll(async () => (await pins())[0]).toEqual(pin)
    await piece.getByRole('textbox', { name: 'from left, mm' }).fill('1')
    await page.keyboard.press('Enter')
    // nearer to the edge than the margin allows: it lies as near as it may
    await expect.poll(async () => (await pins())[0]?.x).toBeGreaterThan(9)
    expect((await pins())[0]?.x).toBeLessThan(40)
    expect(await page.locator('.refusals').count()).toBe(0)
    // and past the upper edge of the film it lies inside of it, and the job can still be cut
    await piece.getByRole('textbox', { name: 'from bottom, mm' }).fill('2000')
    await page.keyboard.press('Enter')
    await expect.poll(async () => (await pins())[0]?.y).toBeGreaterThan(500)
    expect((await pins())[0]?.y).toBeLessThan(630 - 10 - 40)
    expect(await page.locator('.refusals').count()).toBe(0)
    await piece.getByRole('button', { name: 'Let it go' }).click()
    await expect.poll(async () => (await pins()).length).toBe(0)
    // by the mouse too, over the tape that stays at the top and out of the window
    await still(first)
    await first.evaluate((piece) => piece.scrollIntoView({ block: 'center' }))
    await still(first)
    const box = await first.boundingBox()
    if (!box) throw new Error('no piece to drag')
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(box.x + box.width / 2, -900, { steps: 6 })
    await page.mouse.up()
    await expect.poll(async () => (await pins())[0]?.y).toBeGreaterThan(500)
    expect((await pins())[0]?.y).toBeLessThan(630 - 10 - 40)
    expect(await page.locator('.refusals').count()).toBe(0)
    await context.close()
  })

  test('leads out of a reach that the cutter cannot count, and of what has no field', async () => {
    const { page, context, faults } = await bench.open()
    const tag = '  - { name: tag, shape: flat-panel, width: 84, height: 40, pinned: [{ x: 5000, y: 5000 }] }'
    await openText(page, 'tag.yaml', `version: 1\ntitle: Tag\ncolour: red\nobjects:\n${tag}\n`)
    await goTo(page, 'Film')
    await page.getByRole('button', { name: 'Take it out of the job' }).click()
    await page.getByRole('button', { name: 'Let its pieces find their own places' }).click()
    await pieces(page).first().waitFor()
    await fill(page, ['machine', 'area', 'along'], '1200')
    const refusals = page.locator('.refusals')
    await refusals.getByRole('button', { name: 'machine, range' }).click()
    await expect.poll(() => page.evaluate('document.activeElement.id')).toBe('field-machine-range')
    await page.getByRole('button', { name: /^It reads HP-GL\/2/ }).click()
    await refusals.waitFor({ state: 'detached' })
    const { machine, colour, objects } = parse(await saved(page))
    expect([machine.area.along, machine.range, colour, objects[0].pinned]).toEqual([
      1200,
      2 ** 30 - 1,
      undefined,
      undefined,
    ])
    expect(faults).toEqual([])
    await context.close()
  })

  test('stays a sheet of a machine that takes sheets while its width is typed, and is a roll where one is chosen', async () => {
    const { page, context } = await bench.open()
    await openText(
      page,
      'tag.yaml',
      'version: 1\ntitle: Tag\nmachine: plain-sheet\nobjects:\n  - { name: tag, shape: flat-panel, width: 84, height: 140 }\n',
    )
    await goTo(page, 'Film')
    const kind = page.locator('[id="field-stock-kind"]')
    await expect.poll(() => kind.inputValue()).toBe('sheet')
    await fill(page, ['stock', 'width'], '200')
    await page.locator('.own-stock .scrap').getByText('420 mm × 200 mm').waitFor()
    expect([await kind.inputValue(), parse(await saved(page)).stock]).toEqual(['sheet', { width: 200 }])
    await kind.selectOption('roll')
    await expect.poll(async () => parse(await saved(page)).stock).toEqual({ width: 200, kind: 'roll' })
    await context.close()
  })

  test('takes an offcut by its corners, or by four sides and a diagonal', async () => {
    const { page, context } = await bench.open()
    await openText(
      page,
      'tag.yaml',
      'version: 1\ntitle: Tag\nobjects:\n  - { name: tag, shape: flat-panel, width: 84, height: 40 }\n',
    )
    await goTo(page, 'Film')
    await page.getByRole('button', { name: '+ offcut' }).click()
    await page.getByText('Not given: it is needed.').first().waitFor()
    // the roll that the job had without a word now stands beside it, as it was
    await expect.poll(() => page.locator('[id="field-stock-0-length"]').inputValue()).toBe('10000')
    expect(await page.locator('[id="field-stock-0-width"]').inputValue()).toBe('630')
    await page.getByRole('combobox', { name: 'measured as' }).selectOption('corners')
    await fill(page, ['stock', 1, 'corners'], '0, 0; 200, 0; 200, 120; 0, 90')
    // the tag has room on the offcut, which costs nothing new
    await material(page).getByText('Material: self-adhesive film, offcut; to cut as 1 sheet.').waitFor()
    await page.getByRole('combobox', { name: 'measured as' }).selectOption('sides')
    // 3 : 4 : 5, so a rectangle of 160 by 120 mm
    for (const [side, mm] of Object.entries({
      bottom: 160,
      top: 160,
      left: 120,
      right: 120,
      bottomLeftToTopRight: 200,
    }))
      await fill(page, ['stock', 1, 'sides', side], mm)
    await page.locator('.own-stock .scrap').getByText('160 mm × 120 mm').waitFor()
    // later than what is typed in one go, which undo takes back as one
    await page.waitForTimeout(1300)
    await fill(page, ['stock', 1, 'sides', 'bottomLeftToTopRight'], '30')
    await page.locator('.refusal').first().waitFor()
    await page.getByRole('button', { name: 'Undo' }).click()
    await page.locator('.own-stock .scrap').getByText('160 mm × 120 mm').waitFor()
    expect(parse(await saved(page)).stock[1].sides.bottomLeftToTopRight).toBe(200)
    await context.close()
  })

  test('tells that a piece put elsewhere is being tried, which can be stopped', async () => {
    const { page, context } = await bench.open()
    const lids = '  - { name: lid, shape: disc, diameter: 98, copies: 900 }'
    await openText(page, 'lids.yaml', `version: 1\ntitle: Lids\nstock: { length: 100 m }\nobjects:\n${lids}\n`)
    await goTo(page, 'Film')
    const piece = page.getByRole('group', { name: 'A piece on this sheet' })
    await piece.getByRole('combobox', { name: 'Piece' }).selectOption({ index: 1 })
    await piece.getByRole('textbox', { name: 'from left, mm' }).fill('333')
    await page.keyboard.press('Enter')
    await page.getByText(/^It is tried whether lid .+ has room there\.$/).waitFor()
    await page.getByRole('button', { name: 'Stop it' }).click()
    await page.getByText(/^lid .+ stays where it was\.$/).waitFor()
    expect(await page.getByText(/^It is tried whether/).count()).toBe(0)
    expect(parse(await saved(page)).objects[0].pinned).toBeUndefined()
    await context.close()
  })

  test('keeps sheets that the machine takes of itself sheets when their size is typed', async () => {
    const { page, context } = await bench.open()
    const tag = '  - { name: tag, shape: flat-panel, width: 184, height: 140, copies: 3 }'
    await openText(page, 'tag.yaml', `version: 1\ntitle: Tag\nunit: mm\nmachine: plain-sheet\nobjects:\n${tag}\n`)
    await goTo(page, 'Film')
    const isA = page.getByRole('combobox', { name: 'it is a' })
    await expect.poll(() => isA.inputValue()).toBe('sheet')
    await fill(page, ['stock', 'width'], '250')
    await material(page)
      .getByText(/, 2 of sheet; to cut as 2 sheets\./)
      .waitFor()
    const stock = async () => parse(await saved(page)).stock
    expect(await stock()).toEqual({ width: 250 })
    await fill(page, ['stock', 'count'], '1')
    await page
      .locator('.refusals')
      .getByText(/1 of 3 pieces/)
      .waitFor()
    await isA.selectOption('roll')
    await material(page)
      .getByText(/mm of roll, 250 mm wide/)
      .waitFor()
    expect(await stock()).toEqual({ kind: 'roll', count: 1, width: 250 })
    await context.close()
  })

  test('can be stopped while it lays out very much, and goes on with less', async () => {
    const { page, context } = await bench.open()
    const lids = '  - { name: lid, shape: disc, diameter: 98, copies: 2000 }'
    const stock = 'stock: { length: 100 m }'
    await openText(page, 'lids.yaml', `version: 1\ntitle: Lids\n${stock}\nobjects:\n${lids}\n`)
    await goTo(page, 'Film')
    await page.getByRole('button', { name: 'Stop it' }).click()
    await page.getByRole('button', { name: 'Work it out after all' }).waitFor()
    expect(await pieces(page).count()).toBe(0)
    await goTo(page, 'Measure')
    await fill(page, ['objects', 0, 'copies'], '2')
    await goTo(page, 'Film')
    await expect.poll(() => pieces(page).count()).toBe(2)
    await context.close()
  })

  test('searches for less film before the eyes of the person, and lets no layout be kept that is no better', async () => {
    const { page, context, faults } = await openMonthly()
    await page.getByRole('button', { name: 'Look for less film' }).click()
    const search = page.getByRole('region', { name: 'Search for less film' })
    await search.getByText(/of the film taken is waste/).waitFor()
    await search.locator('svg path').first().waitFor({ state: 'attached' })
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
    // scraps alone are as little as there can be, and the job lays them on as few sheets
    await search
      .getByText('The layout that the job has is as good or better: no new film, 3 sheets. It stays.')
      .waitFor()
    expect(await search.getByRole('button', { name: 'Stop and keep' }).isDisabled()).toBe(true)
    await search.getByRole('button', { name: 'Leave it as it was' }).click()
    await material(page)
      .getByText(/^Waste/)
      .waitFor()
    expect(parse(await saved(page)).layout).toEqual({ gap: 8 })
    expect(faults).toEqual([])
    await context.close()
  })

  test('keeps what a search found better, as the command lays it too', async () => {
    const { page, context, faults } = await bench.open()
    // from a seed that finds better within a few rounds of what its first one finds
    const roll = job.replace('shelf: shelf.yaml\n', '').replace('gap: 8\n', 'gap: 8\n  seed: 4\n  effort: 1\n')
    await openText(page, 'job.yaml', roll)
    await goTo(page, 'Film')
    await material(page)
      .getByText(/^Waste/)
      .waitFor()
    await page.getByRole('button', { name: 'Look for less film' }).click()
    await page
      .getByRole('region', { name: 'Search for less film' })
      .getByRole('button', { name: /^(Stop and keep|Keep it)$/ })
      .click()
    await material(page)
      .getByText(/^Waste/)
      .waitFor()
    const { layout } = parse(await saved(page))
    expect(layout).toMatchObject({ gap: 8, seed: expect.any(Number), effort: expect.any(Number) })
    expect(layout.effort).toBeGreaterThan(1)
    await sameAsCommand(page)
    expect(faults).toEqual([])
    await context.close()
  })
})
