// The one build of the PDF library that both the command and the page are made of, so that their files are the same to the
// byte: its own deflate in place of the platform's, the two fonts in use, and neither its font reader nor its line breaker.
import { join } from 'node:path'

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
