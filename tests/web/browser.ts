import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync } from 'node:fs'
import { mkdtemp, readdir, readFile, rename, rm, stat, symlink } from 'node:fs/promises'
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

/** The page, served from a plain static host, and the command built beside it. */
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

/** What the builds are made of: whatever of it changes, they are made anew. */
async function sourceSum(): Promise<string> {
  const sum = createHash('sha256')
  const own = ['.build.js', '.vite.config.ts', '.catalogue.ts', '.same-everywhere.js', 'package-lock.json']
  for (const name of ['src', 'templates', ...own]) {
    const inside = (await stat(join(root, name))).isDirectory()
      ? await readdir(join(root, name), { recursive: true })
      : []
    for (const file of [name, ...inside.sort().map((each) => join(name, each))]) {
      const { mtimeMs, size } = await stat(join(root, file))
      sum.update(`${file} ${mtimeMs} ${size}\n`)
    }
  }
  return sum.digest('hex').slice(0, 16)
}

/** The command and the page as they are built, once for all tests of the same source. */
async function built(): Promise<string> {
  const all = join(root, 'node_modules/.cache/page-tests')
  const own = join(all, await sourceSum())
  if (existsSync(own)) return own
  for (const old of await readdir(all).catch(() => [])) {
    // what another run may still be building or using stays
    const { mtimeMs } = await stat(join(all, old))
    if (Date.now() - mtimeMs > 3_600_000) await rm(join(all, old), { recursive: true, force: true })
  }
  const fresh = `${own}.${process.pid}`
  await call('node', ['.build.js', fresh], { cwd: root })
  const vite = join(root, 'node_modules/vite/bin/vite.js')
  const page = ['build', '--config', '.vite.config.ts', '--outDir', join(fresh, 'page'), '--logLevel', 'error']
  await call('node', [vite, ...page], { cwd: root, env: { ...process.env, NODE_ENV: 'production' } })
  // another file's tests may have been quicker
  await rename(fresh, own).catch(() => rm(fresh, { recursive: true, force: true }))
  return own
}

export async function openBench(): Promise<Bench> {
  const folder = await mkdtemp(join(tmpdir(), 'midtick-page-'))
  const own = await built()
  await symlink(own, join(folder, 'dist'))
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url ?? '/', 'http://page')
    const name = pathname === below ? 'index.html' : pathname.startsWith(below) ? pathname.slice(below.length) : ''
    readFile(join(own, 'page', name)).then(
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
      // nothing fades, so that what is looked at is what it will stay
      const plain = { viewport: { width: 1280, height: 900 }, reducedMotion: 'reduce' } as const
      const context = await browser.newContext({ ...plain, ...options })
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
      await call('node', [join(own, 'main.js'), 'make', job, '--out', out], { cwd: folder })
    },
    close: async () => {
      await browser.close()
      server.close()
      await rm(folder, { recursive: true, force: true })
    },
  }
}
