import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf, boxesMeet } from '../../src/geometry/bounds.ts'
import { type Filled, filledBy } from '../../src/geometry/filled.ts'
import type { Path } from '../../src/geometry/path.ts'
import { direction, point, scaled } from '../../src/geometry/point.ts'
import { following, type Matrix, scaling, transform, translation, turning } from '../../src/geometry/transform.ts'
import { type Problem, Refusal } from '../../src/measure/problem.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Face, Glyph } from './font.ts'

/** What letters stand on: a level line, or the outside or the inside of an arc of that radius, mm. */
export type Baseline =
  | { readonly on: 'line' }
  | { readonly on: 'arc'; readonly radius: number; readonly side: 'outside' | 'inside' }

/** Letters laid out, mm. The base line passes through y = 0 below the middle of what is cut, which is at x = 0. */
export interface Lettering {
  /** closed lines to cut, film to their left */
  readonly paths: readonly Path[]
  /** Do letters run together, so that they are cut as one? */
  readonly runTogether: boolean
  /** Were outlines that cross themselves cut on chords? */
  readonly flattened: boolean
}

/** Characters as people count them, accents joined to their letters where there is a letter with that accent. */
export const charactersOf = (text: string): string[] => [...text.normalize('NFC').trim()]

/** Ordinary ways to write what many fonts lack. */
const plainForms: ReadonlyMap<string, string> = new Map([
  ['\u00a0', ' '],
  ['‘', "'"],
  ['’', "'"],
  ['“', '"'],
  ['”', '"'],
  ['–', '-'],
  ['—', '-'],
  ['−', '-'],
  ['…', '...'],
  ['×', 'x'],
  ['ß', 'ss'],
  ['ẞ', 'SS'],
  ['æ', 'ae'],
  ['Æ', 'AE'],
  ['œ', 'oe'],
  ['Œ', 'OE'],
  ['ø', 'o'],
  ['Ø', 'O'],
  ['ł', 'l'],
  ['Ł', 'L'],
  ['đ', 'd'],
  ['Đ', 'D'],
])

export const codePoint = (character: string): string =>
  `U+${(character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`

/** Every character that the font has not, told once each with what would do. */
function missingProblem(text: string, face: Face): Problem[] {
  const missing = [...new Set(charactersOf(text))].filter((c) => !face.glyph(c))
  if (missing.length === 0) return []
  const forms = missing.flatMap((c) => {
    const form = plainForms.get(c) ?? c.normalize('NFKD').replace(/\p{M}/gu, '')
    const has = form !== '' && form !== c && [...form].every((own) => face.glyph(own))
    return has ? [`${form} for ${c}`] : []
  })
  const other = `a font that has ${missing.length > 1 ? 'them' : 'it'}`
  return [
    {
      code: 'no_glyph',
      field: 'text',
      value: missing.map((c) => `"${c}" (${codePoint(c)})`).join(', '),
      limit: `the font has no letter for ${missing.length > 1 ? 'these' : 'it'}`,
      cure: forms.length > 0 ? `Write ${forms.join(', ')}, or take ${other}.` : `Take ${other}, or write it otherwise.`,
    },
  ]
}

/** A glyph with where its own base line starts and how far it goes on, mm along the base line. */
interface Placed {
  readonly glyph: Glyph
  readonly from: number
  readonly advance: number
}

/** The letters of one line of text, one after the other, with the font's kerning and `spacing` mm between them. */
function inLine(text: string, face: Face, scale: number, spacing: number, say: Say): Placed[] {
  const characters = charactersOf(text)
  const placed: Placed[] = []
  let from = 0
  for (const [i, character] of characters.entries()) {
    const glyph = face.glyph(character) as Glyph
    placed.push({ glyph, from, advance: glyph.advance * scale })
    const next = characters[i + 1]
    if (next === undefined) break
    const bare = (glyph.advance + face.kerning(character, next)) * scale
    if (bare > 0 && bare + spacing <= 0) {
      throw new Refusal([
        {
          code: 'spacing_too_tight',
          field: 'spacing',
          value: say(spacing),
          limit: `"${next}" stands ${say(bare)} on from "${character}", so it would not stand after it any more`,
          cure: `Give ${say(-bare / 2)} or more.`,
        },
      ])
    }
    from += bare + spacing
  }
  return placed
}

/** The text as closed lines of `capHeight` mm; refuses what the font or the arc cannot hold. */
export function lettersOf(
  text: string,
  face: Face,
  { capHeight, spacing, baseline }: { capHeight: number; spacing: number; baseline: Baseline },
  say: Say,
): Lettering {
  const missing = missingProblem(text, face)
  if (missing.length > 0) throw new Refusal(missing)
  const scale = capHeight / face.capHeight
  const placed = inLine(text, face, scale, spacing, say)
  const last = placed.at(-1)
  const length = last ? last.from + last.advance : 0
  if (baseline.on === 'arc') checkArc(placed, scale, length, baseline, say)
  const letters = placed.map(({ glyph, from, advance }) => {
    const place = placeOn(baseline, from + advance / 2 - length / 2, advance / 2)
    return filledBy(glyph.contours.map((contour) => transform(contour, following(scaling(scale, scale), place))))
  })
  const all = runTogetherOf(letters)
  if (all.paths.length === 0) {
    const value = `"${text}"`
    throw new Refusal([
      { code: 'nothing_to_cut', field: 'text', value, limit: 'its letters have no outlines', cure: 'Write some text.' },
    ])
  }
  const { low, high } = boundsOf(all.paths)
  const middle = (low.x + high.x) / 2
  const outer = (paths: readonly Path[]) => paths.filter((path) => signedArea(path) > 0).length
  return {
    paths: all.paths.map((path) => transform(path, translation(-middle, 0))),
    runTogether: outer(all.paths) < letters.reduce((sum, letter) => sum + outer(letter.paths), 0),
    flattened: all.flattened || letters.some((letter) => letter.flattened),
  }
}

/** Puts a letter whose advance has its middle at `half` so that this stands `along` mm from the middle of the text. */
function placeOn(baseline: Baseline, along: number, half: number): Matrix {
  if (baseline.on === 'line') return translation(along - half, 0)
  const { radius, side } = baseline
  const hand = side === 'outside' ? -1 : 1
  const turn = (hand * along) / radius
  const centre = point(0, hand * radius)
  const foot = scaled(direction(turn - (hand * Math.PI) / 2), radius)
  return following(translation(-half, 0), turning(turn, point(centre.x + foot.x, centre.y + foot.y)))
}

/** Text must end before it comes round to where it began, and heads inside an arc must not meet in its middle. */
function checkArc(
  placed: readonly Placed[],
  scale: number,
  length: number,
  { radius, side }: Extract<Baseline, { readonly on: 'arc' }>,
  say: Say,
): void {
  const up = (p: Placed) => p.glyph.contours.map((contour) => boundsOf([contour]))
  const head = Math.max(0, ...placed.flatMap(up).map((box) => box.high.y * scale))
  const foot = Math.max(0, ...placed.flatMap(up).map((box) => -box.low.y * scale))
  const into = side === 'inside' ? head : foot
  const least = Math.max(length / (2 * Math.PI), 1.25 * into)
  if (radius >= least) return
  const limit =
    length > 2 * Math.PI * radius
      ? `the text is ${say(length)} long, and the whole circle only ${say(2 * Math.PI * radius)}`
      : `the letters reach ${say(into)} towards its middle and need a quarter more than that`
  throw new Refusal([
    {
      code: 'arc_too_small',
      field: 'radius',
      value: say(radius),
      limit,
      cure: `Give at least ${say(Math.ceil(least + 0.5))}, or lower letters.`,
    },
  ])
}

/** Letters that are filled each by itself, made one where they may touch a neighbour. */
function runTogetherOf(letters: readonly Filled[]): Filled {
  const boxes = letters.map(({ paths }) => (paths.length > 0 ? boundsOf(paths) : undefined))
  const near = letters.map((_, i) =>
    boxes.some((other, k) => k !== i && other && boxes[i] && boxesMeet(boxes[i], other, 1)),
  )
  const joined = filledBy(letters.flatMap(({ paths }, i) => (near[i] ? paths : [])))
  const alone = letters.filter((_, i) => !near[i])
  return {
    paths: [...alone.flatMap(({ paths }) => paths), ...joined.paths],
    flattened: joined.flattened || alone.some(({ flattened }) => flattened),
  }
}
