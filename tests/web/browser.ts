import { execFile } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { createServer } from 'node:http'
import { tmpdir } from 'node:os'
import { extname, join, resolve } from 'node:path'
import { promisify } from 'node:util'
import { type Browser, type BrowserContext, type BrowserContextOptions, chromium, type Page } from 'playwright-core'

const call = promisify(execFile)
const root = resolve(import.meta.dirname, '../..')
const executablePath = '/usr/bin/chromium'

/** Is Chromium there? Says so loudly when not; on CI (CI=true) its absence is an error. */
export function haveChromium(): boolean {
  const found = existsSync(executablePath)
  if (!found && process.env.CI === 'true') throw new Error('chromium is not installed: the page cannot be checked')
  if (!found) console.warn('CHROMIUM IS MISSING: THE PAGE IS NOT CHECKED. Install chromium.')
  return found
}

const flags = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

const kinds: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
}

/** A folder below the top of its host, as on a shared static host. */
const below = '/pages/tools/'

/** The page, built afresh and served from a plain static host, and the command built beside it. */
export interface Bench {
  readonly url: string
  readonly folder: string
  readonly browser: Browser
  /** an empty browser with the page open in it */
  readonly open: (options?: BrowserContextOptions) => Promise<{ page: Page; context: BrowserContext; faults: string[] }>
  /** what the command writes for a job file */
  readonly make: (job: string, out: string) => Promise<void>
  readonly close: () => Promise<void>
}

export async function openBench(): Promise<Bench> {
  const folder = await mkdtemp(join(tmpdir(), 'midtick-page-'))
  const built = join(folder, 'dist')
  await call('node', ['.build.js', built], { cwd: root })
  const vite = join(root, 'node_modules/vite/bin/vite.js')
  const page = ['build', '--config', '.vite.config.ts', '--outDir', join(built, 'page'), '--logLevel', 'error']
  await call('node', [vite, ...page], { cwd: root, env: { ...process.env, NODE_ENV: 'production' } })
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url ?? '/', 'http://page')
    const name = pathname === below ? 'index.html' : pathname.startsWith(below) ? pathname.slice(below.length) : ''
    readFile(join(built, 'page', name)).then(
      (bytes) => response.setHeader('Content-Type', kinds[extname(name)] ?? 'application/octet-stream').end(bytes),
      () => response.writeHead(404).end(),
    )
  })
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
  const address = server.address()
  const url = `http://127.0.0.1:${typeof address === 'object' ? address?.port : ''}${below}`
  const browser = await chromium.launch({ executablePath, args: flags })
  return {
    url,
    folder,
    browser,
    open: async (options = {}) => {
      const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options })
      // the pickers of files that only a person can answer; without them the page goes the way of every browser
      await context.addInitScript('delete window.showOpenFilePicker; delete window.showSaveFilePicker')
      const own = await context.newPage()
      const faults: string[] = []
      own.on('pageerror', (error) => faults.push(String(error)))
      await own.goto(url)
      await own.locator('.shape').first().waitFor()
      return { page: own, context, faults }
    },
    make: async (job, out) => {
      await call('node', [join(built, 'main.js'), 'make', job, '--out', out], { cwd: folder })
    },
    close: async () => {
      await browser.close()
      server.close()
      await rm(folder, { recursive: true, force: true })
    },
  }
}
