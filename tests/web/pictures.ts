// Run by hand: npm run pictures. Takes the pictures of the page that the README shows.

import { readFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import type { Page } from 'playwright-core'
import { haveChromium, openBench } from './browser.ts'
import { goTo, openText } from './hands.ts'

const samples = resolve(import.meta.dirname, '../../samples')
const sample = (name: string) => readFile(join(samples, name), 'utf8')
const phone = { viewport: { width: 390, height: 780 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 }

if (haveChromium()) {
  const bench = await openBench()
  const take = async (name: string, options: Parameters<typeof bench.open>[0], show: (page: Page) => Promise<void>) => {
    const { page, context } = await bench.open(options)
    await show(page)
    await page.waitForTimeout(1500)
    await page.screenshot({ path: join(samples, 'page', `${name}.png`) })
    await context.close()
  }
  await take('measure', { viewport: { width: 1280, height: 860 } }, async (page) => {
    await openText(page, 'tool-library.yaml', await sample('tool-library.yaml'))
    await page.getByRole('button', { name: 'lidded pail' }).click()
    await page.locator('.mini').waitFor()
    await page.waitForTimeout(6500)
  })
  await take('film-dark', { viewport: { width: 1280, height: 960 }, colorScheme: 'dark' }, async (page) => {
    await openText(page, 'monthly-job.yaml', await sample('monthly-job.yaml'))
    await goTo(page, 'Film')
    const chooser = page.waitForEvent('filechooser')
    await page.getByRole('region', { name: 'Film in stock' }).getByRole('button', { name: 'Choose file' }).click()
    const buffer = Buffer.from(await sample('shelf.yaml'))
    await (await chooser).setFiles({ name: 'shelf.yaml', mimeType: 'application/yaml', buffer })
    await page.locator('.piece').first().waitFor()
    await page.waitForTimeout(6500)
  })
  await take('panel-phone', phone, async (page) => {
    await openText(page, 'tool-library.yaml', await sample('tool-library.yaml'))
    await page.getByRole('button', { name: 'lidded pail' }).click()
    await goTo(page, 'Panel')
    await page.locator('.view').waitFor()
    await page.waitForTimeout(6500)
  })
  await bench.close()
}
