// Bundles the command into dist/, which starts in less time than two hundred files, with the licences of what is in it.
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { build } from 'esbuild'

/**
 * pdfkit asks for its standard fonts at run time, beside its own files, and loads a font reader and a line breaker that
 * the PDFs here never use: words are Helvetica, and lines are broken before they are written.
 */
const lighterPdfkit = {
  name: 'lighter-pdfkit',
  setup({ onLoad, onResolve }) {
    onLoad({ filter: /pdfkit\/js\/pdfkit\.node\.mjs$/ }, ({ path }) => {
      const text = readFileSync(path, 'utf8')
      const fonts = text.replaceAll(/require\$1\('#standard-fonts\/(\w+)'\)/g, "require('./standard-fonts/$1.cjs')")
      if (fonts === text) throw new Error('pdfkit asks for its fonts in another way than it did')
      return { contents: fonts, loader: 'js' }
    })
    onResolve({ filter: /^(fontkit|linebreak)$/ }, ({ importer, path }) =>
      importer.endsWith('pdfkit.node.mjs') ? { path, namespace: 'unused' } : undefined,
    )
    onLoad({ filter: /.*/, namespace: 'unused' }, ({ path }) => {
      const refuse = `() => { throw new Error('${path} is not part of this build') }`
      return { contents: `export const create = ${refuse}\nexport default class { constructor() { create() } }` }
    })
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
  plugins: [lighterPdfkit],
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
