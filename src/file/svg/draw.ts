import type { LineStyle, Picture, Words } from '../../picture/picture.ts'
import { looks } from '../../picture/styles.ts'
import { decimal } from '../number.ts'
import { writePathData } from './pathdata.ts'

/** Decimals of a drawing's coordinates, mm. */
const places = 3

const entities: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }

/**
 * Text for XML 1.0: marks escaped, characters that XML cannot hold left out, and line ends that a reader may turn into
 * a line feed (XML 1.0 and 1.1, section 2.11) written by number.
 */
function escaped(text: string): string {
  return text
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '')
    .replace(/[&<>"]/g, (mark) => entities[mark] ?? mark)
    .replace(/[\r\u0085\u2028]/g, (mark) => `&#${mark.charCodeAt(0)};`)
}

function lineGroup(picture: Picture, style: LineStyle): string {
  const { width, dashes, colour, means } = looks[style]
  const paths = picture.items.flatMap((item) =>
    item.kind === 'drawn' && item.style === style
      ? [`    <path d="${writePathData(item.path, picture.height, places)}"/>`]
      : [],
  )
  const dash = dashes.length > 0 ? ` stroke-dasharray="${dashes.join(' ')}"` : ''
  const look = `fill="none" stroke="${colour}" stroke-width="${width}" stroke-linejoin="round"${dash}`
  return [`  <g data-style="${style}" ${look}>`, `    <title>${escaped(means)}</title>`, ...paths, '  </g>'].join('\n')
}

/** One line of words on a white halo of 0.15 of its size all round. */
function wordsElement(words: Words, height: number): string {
  const move = `translate(${decimal(words.at.x, places)} ${decimal(height - words.at.y, places)})`
  const angle = decimal((-words.turn * 180) / Math.PI, places)
  const place = angle === '0' ? move : `${move} rotate(${angle})`
  const bold = words.bold ? ' font-weight="bold"' : ''
  const size = `font-size="${decimal(words.size, places)}" stroke-width="${decimal(0.3 * words.size, places)}"`
  return `    <text transform="${place}" ${size} text-anchor="${words.anchor}"${bold}>${escaped(words.text)}</text>`
}

/**
 * A picture as an SVG drawing for people: sized in mm with a view box of the same numbers, on white, one group for
 * each style of line in use, areas under them and words over them.
 */
export function writeDrawing(picture: Picture): string {
  const width = decimal(picture.width, places)
  const height = decimal(picture.height, places)
  const used = [...new Set(picture.items.flatMap((item) => (item.kind === 'drawn' ? [item.style] : [])))]
  const words = picture.items.flatMap((item) => (item.kind === 'words' ? [wordsElement(item, picture.height)] : []))
  const areas = picture.items.flatMap((item) =>
    item.kind === 'filled'
      ? [`    <path d="${writePathData(item.path, picture.height, places)}" fill="${item.colour}"/>`]
      : [],
  )
  const look = 'font-family="sans-serif" fill="#111111" stroke="#ffffff" stroke-linejoin="round"'
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">`,
    `  <title>${escaped(picture.title)}</title>`,
    `  <rect width="${width}" height="${height}" fill="#ffffff"/>`,
    ...(areas.length > 0 ? ['  <g data-style="areas">', ...areas, '  </g>'] : []),
    ...used.map((style) => lineGroup(picture, style)),
    ...(words.length > 0 ? [`  <g data-style="words" ${look} paint-order="stroke">`, ...words, '  </g>'] : []),
    '</svg>',
  ]
  return `${lines.join('\n')}\n`
}
