import { createHash } from 'node:crypto'
import { existsSync, readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { defineConfig, type Plugin, runnerImport } from 'vite'
import { isUnused, pdfLibrary, portable, unusedText } from './.same-everywhere.js'

const inside = '\0inside:'

/** What the command's build changes too, so that the page's files are the same to the byte. */
const sameEverywhere = (): Plugin => ({
  name: 'same-everywhere',
  enforce: 'pre',
  resolveId(name, importer) {
    if (name === 'pdfkit') return `${inside}pdfkit`
    return isUnused(name, importer) ? `${inside}${name}` : undefined
  },
  load(id) {
    if (!id.startsWith(inside) || id.endsWith(':catalogue')) return undefined
    const name = id.slice(inside.length)
    return name === 'pdfkit' ? pdfLibrary.text : unusedText(name)
  },
  async transform(text, id) {
    const [path = ''] = id.split('?')
    return /\.[cm]?[jt]s$/.test(path) ? await portable(path, text) : undefined
  },
})

/** The catalogue as it comes with the tool, drawn when the page is built, so that it shows before anything is worked out. */
const catalogue = (): Plugin => ({
  name: 'catalogue',
  resolveId: (name) => (name === 'virtual:catalogue' ? `${inside}catalogue` : undefined),
  async load(id) {
    if (id !== `${inside}catalogue`) return undefined
    const own = resolve(import.meta.dirname, '.catalogue.ts')
    const { module } = await runnerImport<typeof import('./.catalogue.ts')>(own, { configFile: false, logLevel: 'error' })
    return `export default ${JSON.stringify(module.entries)}`
  },
})

/** The licences of what is in the page go along with it; the command's build lists them. */
const licences = (): Plugin => {
  let folder = ''
  return {
    name: 'licences',
    apply: 'build',
    configResolved: ({ build }) => {
      folder = build.outDir
    },
    generateBundle() {
      const list = resolve(folder, '../LICENSES.txt')
      if (existsSync(list)) this.emitFile({ type: 'asset', fileName: 'LICENSES.txt', source: readFileSync(list, 'utf8') })
    },
  }
}

/** A worker of the browser that keeps every file of the page, so that it opens without a network. */
const offline = (): Plugin => ({
  name: 'offline',
  apply: 'build',
  generateBundle: {
    order: 'post',
    handler(_, bundle) {
      const files = Object.keys(bundle).sort()
      const sum = createHash('sha256')
      for (const name of files) {
        const part = bundle[name]
        sum.update(name).update(part?.type === 'chunk' ? part.code : (part?.source ?? ''))
      }
      const kept = JSON.stringify(['./', ...files.filter((name) => name !== 'index.html' && name !== 'LICENSES.txt')])
      const source = `const kept = ${kept}
const cache = 'midtick-${sum.digest('hex').slice(0, 16)}'
const keep = async () => {
  const store = await caches.open(cache)
  await store.addAll(kept.map((name) => new Request(name, { cache: 'reload' })))
  await self.skipWaiting()
}
const forget = async () => {
  for (const name of await caches.keys()) if (name.startsWith('midtick-') && name !== cache) await caches.delete(name)
  await self.clients.claim()
}
const give = async (request) => {
  const store = await caches.open(cache)
  const page = request.mode === 'navigate'
  return (await store.match(page ? './' : request, { ignoreSearch: page })) ?? fetch(request)
}
self.addEventListener('install', (event) => event.waitUntil(keep()))
self.addEventListener('activate', (event) => event.waitUntil(forget()))
self.addEventListener('fetch', (event) => {
  if (event.request.method === 'GET' && event.request.url.startsWith(self.registration.scope)) event.respondWith(give(event.request))
})
`
      this.emitFile({ type: 'asset', fileName: 'offline.js', source })
    },
  },
})

export default defineConfig({
  root: resolve(import.meta.dirname, 'src/web'),
  base: './',
  publicDir: false,
  plugins: [catalogue(), sameEverywhere(), licences(), offline()],
  worker: { format: 'es', plugins: () => [sameEverywhere()], rolldownOptions: { checks: { bundlerTimings: false } } },
  build: {
    outDir: resolve(import.meta.dirname, 'dist/page'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: true,
    // a slow machine is no news to whoever waits for it
    rolldownOptions: { checks: { bundlerTimings: false } },
  },
})
