// Run by hand: npm run bench:page. From a key press to the drawing that follows from it, in Chromium.

import { spawn } from 'node:child_process'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import type { BrowserContext, Page } from 'playwright-core'
import { type Bench, haveChromium, openBench } from '../web/browser.ts'
import { openText } from '../web/hands.ts'

/** ms between keys: somebody who types fast */
const interval = 180
const keys = 60

const tins = (count: number) =>
  Array.from(
    { length: count },
    (_, i) => `  - { name: tin ${i + 1}, shape: straight-band, girth: ${300 + 3 * i}, gap: 20, height: 95 }\n`,
  ).join('')
const jobOf = (count: number) => `version: 1\ntitle: Bench\nstock: { length: 100 m }\nobjects:\n${tins(count)}`

/** Watches the drawing; each sample is from a key to the frame in which the new drawing is painted. */
const watch = `
  window.samples = []
  let pressed
  addEventListener('keydown', () => { pressed = performance.now() }, true)
  new MutationObserver((changes) => {
    if (pressed === undefined || !changes.some(({ target }) => target.closest?.('.mini svg'))) return
    const own = pressed
    pressed = undefined
    requestAnimationFrame(() => {
      const channel = new MessageChannel()
      channel.port1.onmessage = () => window.samples.push(performance.now() - own)
      channel.port2.postMessage(0)
    })
  }).observe(document.body, { childList: true, subtree: true, attributeFilter: ['d'] })
`

/** A page of one field and one line that follows it: what the browser itself takes from a key to what is painted. */
const bare = `
  <input id="bare"><div class="mini"><svg><path /></svg></div>
  <script>
    const line = document.querySelector('path')
    document.querySelector('input').addEventListener('input', ({ target }) => line.setAttribute('d', 'M 0 0 L ' + target.value.length + ' 9'))
  </script>`

async function type(page: Page, id: string): Promise<number[]> {
  await page.locator(`[id="${id}"]`).focus()
  await page.keyboard.press('End')
  await page.evaluate(watch)
  for (let i = 0; i < keys; i++) {
    await page.keyboard.press(i % 2 === 0 ? '1' : 'Backspace')
    await page.waitForTimeout(interval)
  }
  const samples = (await page.evaluate('window.samples')) as number[]
  return samples.sort((a, b) => a - b)
}

/** Median time that it takes to get something on the screen, ms. */
async function times(count: number, show: () => Promise<BrowserContext>): Promise<number> {
  const taken: number[] = []
  for (let i = 0; i < count; i++) {
    const begin = performance.now()
    const context = await show()
    taken.push(performance.now() - begin)
    await context.close()
  }
  return at(
    taken.sort((a, b) => a - b),
    0.5,
  )
}

/** Starts the command's own server, and looks at the page that it gives out. */
async function coldStart({ folder, browser }: Bench): Promise<BrowserContext> {
  const command = spawn('node', [join(folder, 'dist/main.js'), 'open', '--no-browser'], { cwd: folder })
  const address = await new Promise<string>((done) => {
    command.stdout.on('data', (words: Buffer) => {
      const [found] = /http:\S+/.exec(words.toString()) ?? []
      if (found) done(found)
    })
  })
  const context = await browser.newContext()
  context.on('close', () => command.kill('SIGINT'))
  const page = await context.newPage()
  await page.goto(address)
  await page.locator('.shape').first().waitFor()
  return context
}

const at = (sorted: readonly number[], share: number) =>
  sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? 0
const say = (text: string) => process.stdout.write(`${text}\n`)

if (haveChromium()) {
  const bench = await openBench()
  const told = (found: readonly number[]) =>
    `median ${at(found, 0.5).toFixed(1)} ms, 95th percentile ${at(found, 0.95).toFixed(1)} ms, ${found.length} of ${keys} seen`
  const empty = await bench.open()
  await empty.page.setContent(bare)
  say(`for reference, key to one line drawn by a page of nothing else: ${told(await type(empty.page, 'bare'))}`)
  await empty.context.close()
  for (const count of [1, 50]) {
    const { page, context } = await bench.open()
    await openText(page, 'bench.yaml', jobOf(count))
    await page.locator('.mini').waitFor()
    await page.waitForTimeout(1500)
    const found = await type(page, 'field-objects-0-height')
    say(`key to drawing, ${count} ${count === 1 ? 'panel' : 'panels'}: ${told(found)}`)
    await context.close()
  }
  const started = await times(7, async () => (await bench.open()).context)
  say(`first view in an empty browser: median ${started.toFixed(0)} ms`)
  const cold = await times(5, () => coldStart(bench))
  say(`from midtick open in a shell to the first view in an empty browser: median ${cold.toFixed(0)} ms`)
  const assets = join(bench.folder, 'dist/page/assets')
  const sizes = await Promise.all(
    (await readdir(assets)).map(async (name) => ({
      name,
      size: gzipSync(await readFile(join(assets, name)), { level: 9 }).length,
    })),
  )
  const first = sizes.filter(({ name }) => name.startsWith('index-'))
  const kb = (parts: readonly { size: number }[]) =>
    `${(parts.reduce((sum, { size }) => sum + size, 0) / 1000).toFixed(0)} kB`
  say(`loaded for the first view, compressed: ${kb(first)}`)
  say(`then the worker: ${kb(sizes.filter(({ name }) => name.startsWith('worker-')))}; all there is: ${kb(sizes)}`)
  await bench.close()
}
