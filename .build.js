// Bundles the command into dist/, which starts in less time than two hundred files, with the licences of what is in it.
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { build } from 'esbuild'
import { isUnused, pdfLibrary, unusedText } from './.pdf-library.js'

const lighterPdf = {
  name: 'lighter-pdf',
  setup({ onLoad, onResolve }) {
    onResolve({ filter: /^pdfkit$/ }, ({ path }) => ({ path, namespace: 'pdf-library' }))
    onLoad({ filter: /.*/, namespace: 'pdf-library' }, () => ({ contents: pdfLibrary.text, resolveDir: pdfLibrary.folder }))
    onResolve({ filter: /.*/ }, ({ importer, path }) => (isUnused(path, importer) ? { path, namespace: 'unused' } : undefined))
    onLoad({ filter: /.*/, namespace: 'unused' }, ({ path }) => ({ contents: unusedText(path) }))
  },
}

rmSync('dist', { recursive: true, force: true })
const { metafile } = await build({
  entryPoints: ['src/cli/main.ts'],
  outdir: 'dist',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  plugins: [lighterPdf],
  banner: { js: "import{createRequire as r}from'node:module';const require=r(import.meta.url);" },
  logLevel: 'warning',
  metafile: true,
})
const used = Object.keys(metafile.inputs).flatMap((file) => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(file)?.[1] ?? [])
const licences = [...new Set(used)].sort().map((name) => {
  const folder = `node_modules/${name}`
  const file = readdirSync(folder).find((f) => /^licen[cs]e/i.test(f))
  if (!file) throw new Error(`${name} has no licence file to pass on`)
  return `${name}\n\n${readFileSync(`${folder}/${file}`, 'utf8')}`
})
writeFileSync('dist/LICENSES.txt', licences.join(`\n${'-'.repeat(60)}\n`))
