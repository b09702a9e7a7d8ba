// What the builds of the command and of the page change alike, so that the files of both are the same to the byte.
import { join } from 'node:path'
import { transform } from 'esbuild'

const maths = ['sin', 'cos', 'tan', 'asin', 'acos', 'atan', 'atan2', 'hypot', 'pow']
const mathFile = join(import.meta.dirname, 'src/geometry/portable-math.ts')
const wanted = new RegExp(`\\bMath\\.(${maths.join('|')})\\b|[\\w)\\]] \\*\\* `)

/** A module with our own sine and so on in place of the platform's; undefined where it has none of them. */
export async function portable(path, text) {
  if (path === mathFile || !wanted.test(text)) return undefined
  const names = maths.map((name) => `${name} as portable_${name}`).join(', ')
  const { code } = await transform(text, {
    loader: path.endsWith('ts') ? 'ts' : 'js',
    define: Object.fromEntries(maths.map((name) => [`Math.${name}`, `portable_${name}`])),
    supported: { 'exponent-operator': false },
    target: 'esnext',
  })
  // what powers are turned into is not looked at again
  const own = code.replace(/^(var __pow = )Math\.pow;/m, '$1portable_pow;')
  const isModule = /^\s*(import|export)\b/m.test(text)
  return isModule ? `import { ${names} } from ${JSON.stringify(mathFile)}\n${own}` : undefined
}

/**
 * The library that writes PDFs, with its own deflate in place of the platform's, the two fonts in use, and neither its
 * font reader nor its line breaker.
 */
const folder = join(import.meta.dirname, 'node_modules/pdfkit')

/** What stands for `import 'pdfkit'`. */
export const pdfLibrary = {
  folder,
  text: `
import PDFDocument, { registerStdFonts } from ${JSON.stringify(join(folder, 'js/pdfkit.browser.mjs'))}
import regular from ${JSON.stringify(join(folder, 'js/standard-fonts/Helvetica.mjs'))}
import bold from ${JSON.stringify(join(folder, 'js/standard-fonts/HelveticaBold.mjs'))}
registerStdFonts(regular, bold)
export default PDFDocument
`,
}

const unused = ['fontkit', 'linebreak', 'png-js']

/** Is it a part of the library that words in Helvetica, broken into lines before they are written, never need? */
export const isUnused = (name, importer) => unused.includes(name) && Boolean(importer?.endsWith('pdfkit.browser.mjs'))

/** What stands for such a part. */
export function unusedText(name) {
  const refuse = `() => { throw new Error('${name} is not part of this build') }`
  return `export const create = ${refuse}\nexport default class { constructor() { create() } }\n`
}
