// Bundles the command into dist/, which starts in less time than two hundred files, with the licences of what is in it.
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { build } from 'esbuild'
import { isUnused, pdfLibrary, portable, unusedText } from './.same-everywhere.js'

const sameEverywhere = {
  name: 'same-everywhere',
  setup({ onLoad, onResolve }) {
    onLoad({ filter: /\.[cm]?[jt]s$/ }, async ({ path }) => {
      const contents = await portable(path, readFileSync(path, 'utf8'))
      return contents === undefined ? undefined : { contents, loader: 'js' }
    })
    onResolve({ filter: /^pdfkit$/ }, ({ path }) => ({ path, namespace: 'pdf-library' }))
    onLoad({ filter: /.*/, namespace: 'pdf-library' }, () => ({ contents: pdfLibrary.text, resolveDir: pdfLibrary.folder }))
    onResolve({ filter: /.*/ }, ({ importer, path }) => (isUnused(path, importer) ? { path, namespace: 'unused' } : undefined))
    onLoad({ filter: /.*/, namespace: 'unused' }, ({ path }) => ({ contents: unusedText(path) }))
  },
}

/** What the page is made of beside what the command is made of. */
const ofPage = ['@preact/signals', '@preact/signals-core', '@svgdotjs/svg.js', 'fflate', 'preact']

const out = process.argv[2] ?? 'dist'
rmSync(out, { recursive: true, force: true })
const { metafile } = await build({
  entryPoints: ['src/cli/main.ts', 'src/cli/layout-worker.ts'],
  outdir: out,
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  plugins: [sameEverywhere],
  // Native, and installed only where it can be; loaded when a serial line is opened.
  external: ['serialport'],
  banner: { js: "import{createRequire as r}from'node:module';const require=r(import.meta.url);" },
  logLevel: 'warning',
  metafile: true,
})
const used = Object.keys(metafile.inputs).flatMap((file) => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(file)?.[1] ?? [])
const licences = [...new Set([...used, ...ofPage])].sort().map((name) => {
  const folder = `node_modules/${name}`
  const file = readdirSync(folder).find((f) => /^licen[cs]e/i.test(f))
  if (!file) throw new Error(`${name} has no licence file to pass on`)
  return `${name}\n\n${readFileSync(`${folder}/${file}`, 'utf8')}`
})
writeFileSync(join(out, 'LICENSES.txt'), licences.join(`\n${'-'.repeat(60)}\n`))
