import { readFile } from 'node:fs/promises'
import { basename, join, resolve } from 'node:path'
import { strFromU8, unzipSync } from 'fflate'
import type { Locator, Page } from 'playwright-core'
import type { Spec, Specs } from '../../src/panel/template.ts'

/** What a person does on the page, in its own words. */

const samples = resolve(import.meta.dirname, '../../samples')

export const stageNames = ['Shape', 'Measure', 'Panel', 'Film', 'Files'] as const

export async function goTo(page: Page, stage: (typeof stageNames)[number]): Promise<void> {
  await page.getByRole('navigation', { name: 'Order of the work' }).getByRole('button', { name: stage }).click()
}

export async function pick(page: Page, title: string): Promise<void> {
  await page
    .locator('.shape')
    .filter({ has: page.getByText(title, { exact: true }) })
    .click()
  await page.getByRole('form', { name: 'Measures' }).waitFor()
}

const idOf = (path: readonly (string | number)[]) => `field-${path.join('-')}`

/** Opens the fold that a field is in, as a person does. */
async function unfold(page: Page, id: string): Promise<void> {
  const fold = page.locator(`details:not([open]):has([id="${id}"])`)
  if ((await fold.count()) > 0) await fold.locator('> summary').click()
}

export async function fill(page: Page, path: readonly (string | number)[], value: unknown): Promise<void> {
  const id = idOf(path)
  await unfold(page, id)
  const field = page.locator(`[id="${id}"]`)
  const kind = await field.evaluate((node: { readonly nodeName: string; readonly type?: string }) =>
    node.nodeName === 'SELECT' ? 'choice' : node.type,
  )
  if (kind === 'choice') await field.selectOption(String(value))
  else if (kind === 'checkbox') await field.setChecked(value === true)
  else await field.fill(String(value))
}

/** Types measures into the fields of a shape. */
export async function measure(
  page: Page,
  specs: Specs,
  measures: Readonly<Record<string, unknown>>,
  base: readonly (string | number)[],
): Promise<void> {
  for (const [name, value] of Object.entries(measures)) {
    const spec = specs[name] as Spec
    const path = [...base, name]
    if (spec.kind === 'list') {
      const rows = value as Readonly<Record<string, unknown>>[]
      for (const [i, row] of rows.entries()) {
        await page
          .getByRole('group', { name, exact: true })
          .getByRole('button', { name: `+ ${name.replace(/s$/, '')}` })
          .click()
        await measure(page, spec.item, row, [...path, i])
      }
    } else {
      await fill(page, path, value)
      if (spec.kind === 'file') await chooseFile(page, path, join(samples, String(value)))
    }
  }
}

async function chooseFile(page: Page, path: readonly (string | number)[], file: string): Promise<void> {
  const [chooser, bytes] = await Promise.all([
    page.waitForEvent('filechooser'),
    readFile(file),
    page
      .locator(`.field:has([id="${idOf(path)}"])`)
      .getByRole('button', { name: 'Choose file' })
      .click(),
  ])
  await chooser.setFiles({ name: basename(file), mimeType: 'font/woff', buffer: bytes })
}

/** A cutter and film that anything fits on. */
export async function bigShop(page: Page): Promise<void> {
  await goTo(page, 'Film')
  await fill(page, ['stock', 'width'], '3 m')
  await fill(page, ['machine', 'like'], 'wide-roll')
  await fill(page, ['machine', 'area', 'across'], '3000')
  await fill(page, ['machine', 'area', 'along'], '5000 mm')
}

/** Everything that the page hands out, by name. */
export async function takeAll(page: Page): Promise<ReadonlyMap<string, Uint8Array>> {
  await goTo(page, 'Files')
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: /in one \(zip\)/ }).click(),
  ])
  return new Map(Object.entries(unzipSync(new Uint8Array(await readFile(await download.path())))))
}

export const words = (bytes: Uint8Array | undefined): string => strFromU8(bytes ?? new Uint8Array())

/** The job's text as the page saves it. */
export async function saved(page: Page): Promise<string> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save', exact: false }).first().click(),
  ])
  return readFile(await download.path(), 'utf8')
}

/** Opens a job's text as a file, and waits until the page has turned to it. */
export async function openText(page: Page, name: string, text: string): Promise<void> {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: 'Open', exact: true }).first().click(),
  ])
  await chooser.setFiles({ name, mimeType: 'application/yaml', buffer: Buffer.from(text) })
  await page.locator('.file-name', { hasText: name }).waitFor()
}

/** Waits until something on the page lies where it lay a moment before. */
export async function still(what: Locator): Promise<void> {
  const place = async () => JSON.stringify(await what.boundingBox())
  let before = await place()
  for (;;) {
    await what.page().waitForTimeout(100)
    const now = await place()
    if (now === before) return
    before = now
  }
}
