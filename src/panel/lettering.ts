import { arcTo, lineTo, openPath, type Path } from '../geometry/path.ts'
import { type Point, point, turned } from '../geometry/point.ts'
import { type Matrix, transform } from '../geometry/transform.ts'
import { capHeight, type Glyph, glyphs, type Mark, marks, type PenStroke, unknownGlyph } from './glyphs.ts'

/** A letter with the marks that go with it. */
interface Sign {
  readonly glyph: Glyph
  readonly marks: readonly Mark[]
}

/** A cluster of the text as it was typed, and what is drawn for it; `known` is false where that is the empty box. */
interface Reading {
  readonly typed: string
  readonly known: boolean
  readonly signs: readonly Sign[]
}

/** Letters drawn as two others. */
const pairs: ReadonlyMap<string, string> = new Map([
  ['Æ', 'AE'],
  ['Œ', 'OE'],
  ['ẞ', 'SS'],
])

/** Height of the lowest mark above the baseline, and of each further one above the mark below it; glyph units. */
const markFoot = capHeight + 1.4
const markStep = 3.6

/** Room on either side of a mark that is wider than its letter, glyph units. */
const markRoom = 0.7

/**
 * Single-stroke lettering for a pen: open paths of lines and arcs, in reading order. `height` is that of a capital,
 * mm, finite and > 0; `at` is the start, the middle or the end of the baseline as `anchor` says, and the text turns
 * about it by `turn` radians. Lower case is drawn as capitals; accents rise above `height`, a comma and a cedilla
 * reach below the baseline. A character without a drawing becomes an empty box: see `unknownLetters`.
 */
export function letter(
  text: string,
  height: number,
  at: Point,
  turn = 0,
  anchor: 'start' | 'middle' | 'end' = 'start',
): Path[] {
  const way = turned(point(scaleOf(height), 0), turn)
  const matrix: Matrix = { a: way.x, b: way.y, c: -way.y, d: way.x, e: at.x, f: at.y }
  const signs = signsOf(text)
  const shares = { start: 0, middle: 0.5, end: 1 }
  let x = -shares[anchor] * widthOf(signs)
  const paths: Path[] = []
  for (const sign of signs) {
    for (const path of drawnSign(sign, x)) paths.push(transform(path, matrix))
    x += signWidth(sign)
  }
  return paths
}

/** Length of the baseline that `letter` takes, mm, with the room before the first letter and after the last. */
export function lettersWidth(text: string, height: number): number {
  return widthOf(signsOf(text)) * scaleOf(height)
}

/** The characters of `text` that are drawn as an empty box, each once, in the order they come. */
export function unknownLetters(text: string): string[] {
  const unknown = readingsOf(text).filter((reading) => !reading.known)
  return [...new Set(unknown.map((reading) => reading.typed))]
}

function scaleOf(height: number): number {
  if (!(height > 0 && height < Infinity)) throw new RangeError(`letters ${height} mm high; the height must be above 0`)
  return height / capHeight
}

const signsOf = (text: string): Sign[] => readingsOf(text).flatMap((reading) => reading.signs)

/** Composed first, so that a character without a drawing is one box, whatever it decomposes into. */
function readingsOf(text: string): Reading[] {
  return clustersOf(text.normalize('NFC')).map(read)
}

/** Characters with the combining marks behind them. */
const clustersOf = (text: string): string[] => text.match(/\P{M}\p{M}*|\p{M}/gu) ?? []

function read(typed: string): Reading {
  const capitals = clustersOf(typed.toUpperCase().normalize('NFD')).flatMap((cluster) => {
    const pair = pairs.get(cluster.charAt(0))
    return pair ? clustersOf(pair + cluster.slice(1)) : [cluster]
  })
  const signs: Sign[] = []
  for (const capital of capitals) {
    const sign = signOf(capital)
    if (!sign) return { typed, known: false, signs: [{ glyph: unknownGlyph, marks: [] }] }
    signs.push(sign)
  }
  return { typed, known: true, signs }
}

function signOf(capital: string): Sign | undefined {
  const [base = '', ...accents] = capital
  const glyph = glyphs.get(base)
  const found = accents.flatMap((accent) => marks.get(accent) ?? [])
  return glyph && found.length === accents.length ? { glyph, marks: found } : undefined
}

const widthOf = (signs: readonly Sign[]): number => signs.reduce((sum, sign) => sum + signWidth(sign), 0)

/** Room beside the ink of a sign: more than its letter's own where a mark is wider than the letter. */
function room({ glyph, marks }: Sign, own: number): number {
  return Math.max(own, ...marks.map((mark) => mark.reach + markRoom - glyph.ink / 2))
}

function signWidth(sign: Sign): number {
  const { before, ink, after } = sign.glyph
  return room(sign, before) + ink + room(sign, after)
}

/** A sign in glyph units, its room beginning at `x`. */
function drawnSign(sign: Sign, x: number): Path[] {
  const left = x + room(sign, sign.glyph.before)
  const paths = sign.glyph.strokes.map((stroke) => penPath(stroke, left, 0))
  let foot = markFoot
  for (const mark of sign.marks) {
    const y = mark.below ? 0 : foot
    for (const stroke of mark.strokes) paths.push(penPath(stroke, left + sign.glyph.ink / 2, y))
    if (!mark.below) foot += markStep
  }
  return paths
}

/** A stroke shifted by (x, y), glyph units. */
function penPath(stroke: PenStroke, x: number, y: number): Path {
  const [start = point(x, y), ...rest] = stroke.split(', ').map((step) => {
    const [right = 0, up = 0, turn = 0] = step.split(' ').map(Number)
    return { x: x + right, y: y + up, turn }
  })
  const segments = rest.map(({ turn, ...place }) => (turn === 0 ? lineTo(place) : arcTo(place, (turn * Math.PI) / 180)))
  return openPath(point(start.x, start.y), ...segments)
}
