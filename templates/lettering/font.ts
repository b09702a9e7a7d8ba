import opentype, { type Font, type PathCommand } from 'opentype.js'
import { boundsOf, boxHeight, boxWidth } from '../../src/geometry/bounds.ts'
import { closedPath, cubicTo, lineTo, type Path, type Segment } from '../../src/geometry/path.ts'
import { between, type Point, point } from '../../src/geometry/point.ts'
import { Refusal } from '../../src/measure/problem.ts'
import type { Facts } from '../../src/panel/template.ts'
import { unpacked } from './sfnt.ts'

/** A character of a font: its outline as it stands on the base line at x = 0, font units, y up. */
export interface Glyph {
  readonly contours: readonly Path[]
  /** font units to where the next one starts */
  readonly advance: number
}

/** A font as far as lettering needs it. */
export interface Face {
  /** height of a capital H, font units */
  readonly capHeight: number
  /** does it hold several weights, of which only the first is read? */
  readonly isVariable: boolean
  /** undefined where the font has none for the character */
  readonly glyph: (character: string) => Glyph | undefined
  /** what the second of two characters is moved by, font units, negative for closer */
  readonly kerning: (first: string, second: string) => number
}

const mostBytes = 30_000_000

/** What a file begins with that people take for a font, or that is none that can be read here. */
const beginnings: readonly (readonly [start: string, what: string])[] = [
  ['wOF2', 'WOFF2'],
  ['ttcf', 'a collection of several fonts'],
  ['\x89PNG', 'a PNG picture'],
  ['\xff\xd8\xff', 'a JPEG picture'],
  ['GIF8', 'a GIF picture'],
  ['BM', 'a BMP picture'],
  ['%PDF', 'a PDF document'],
  ['%!', 'PostScript'],
  ['PK', 'a ZIP archive, in which the font may be'],
  ['<', 'SVG, HTML or XML'],
]
const fonts = ['\0\x01\0\0', 'true', 'OTTO', 'wOFF']
const cureOfNone = 'Give the font itself, in TrueType (.ttf), OpenType (.otf) or WOFF (.woff).'

const parsed = new WeakMap<Uint8Array, Font>()

/** The font in a file of the person's own; refuses what is no font, or none with outlines. */
export function faceOf(name: string, facts: Facts): Face {
  const bytes = facts.files?.get(name)
  if (!bytes) throw refusal('no_file', `"${name}"`, 'its bytes were not read', 'Check its name and where it lies.')
  const font = parsed.get(bytes) ?? parse(name, bytes)
  parsed.set(bytes, font)
  const indexOf = (character: string) => font.charToGlyphIndex(character)
  const glyph = (character: string): Glyph | undefined => {
    if (!(indexOf(character) > 0)) return undefined
    return readOr(name, () => {
      const own = font.charToGlyph(character)
      return { contours: contoursOf(own.path.commands), advance: own.advanceWidth ?? 0 }
    })
  }
  return {
    capHeight: capHeightOf(name, font, glyph('H')),
    isVariable: font.tables.fvar !== undefined,
    glyph,
    kerning: (first, second) => readOr(name, () => kerningOf(font, first, second)),
  }
}

/** Kerning is kept apart by script; other scripts are kerned as the font does by default. */
const scripts: readonly (readonly [letters: RegExp, tag: string])[] = [
  [/\p{Script=Latin}/u, 'latn'],
  [/\p{Script=Greek}/u, 'grek'],
  [/\p{Script=Cyrillic}/u, 'cyrl'],
]

/**
 * Every lookup of the font's kerning moves the pair in turn (OpenType 1.9, "Lookup Table"). Fonts without such lookups
 * may have the older kern table.
 */
function kerningOf(font: Font, first: string, second: string): number {
  const [one, other] = [font.charToGlyphIndex(first), font.charToGlyphIndex(second)]
  const tag = scripts.find(([letters]) => letters.test(first) || letters.test(second))?.[1] ?? 'latn'
  const own = font.tables.gpos ? font.position.getKerningTables(tag) : []
  const lookups = own.length > 0 ? own : (font.position.defaultKerningTables ?? [])
  if (lookups.length === 0) return font.kerningPairs[`${one},${other}`] ?? 0
  return lookups.reduce<number>((sum, lookup) => sum + font.position.getKerningValue([lookup], one, other), 0)
}

const refusal = (code: string, value: string, limit: string, cure: string) =>
  new Refusal([{ code, field: 'font', value, limit, cure }])

function parse(name: string, bytes: Uint8Array): Font {
  const start = String.fromCharCode(...bytes.slice(0, 4))
  if (!fonts.some((one) => start === one)) {
    const limit = `a font file is TrueType, OpenType or WOFF; this one ${beginningOf(start)}`
    throw refusal('no_font', `"${name}"`, limit, cureOfNone)
  }
  if (bytes.length > mostBytes) {
    const value = `"${name}" of ${bytes.length} bytes`
    throw refusal('too_big', value, `the most is ${mostBytes}`, 'Take a font with fewer characters, or a part of it.')
  }
  const own = unpacked(bytes)
  if ('broken' in own) throw broken(name, own.broken)
  if (!(own.tags.includes('glyf') || own.tags.includes('CFF '))) {
    const limit = 'it holds no outlines that can be cut, neither of TrueType (glyf) nor of PostScript (CFF)'
    throw refusal('no_outlines', `"${name}"`, limit, 'Take a plain font; those of pictures or dots only have none.')
  }
  return readOr(name, () => opentype.parse(own.bytes.buffer as ArrayBuffer))
}

const broken = (name: string, why: string) =>
  refusal('broken_font', `"${name}"`, why, 'Fetch the file again, or save it anew from a font editor.')

/** What the parser gives; a font it fails on is refused with its reason. */
function readOr<T>(name: string, read: () => T): T {
  try {
    return read()
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/\.$/, '') : 'no reason given'
    throw broken(name, `it cannot be read to its end (${why})`)
  }
}

function beginningOf(start: string): string {
  if (start === '') return 'is empty'
  const codes = [...start].map((c) => c.charCodeAt(0).toString(16).padStart(2, '0').toUpperCase()).join(' ')
  const shown = /^[ -~]+$/.test(start) ? `"${start}"` : codes
  const what = beginnings.find(([own]) => start.startsWith(own))?.[1]
  return `begins with ${shown}${what ? `, as ${what} does` : ''}`
}

/** The height of H's own outline; where the font has no H, what its OS/2 table tells. */
function capHeightOf(name: string, font: Font, h: Glyph | undefined): number {
  const told = Number(font.tables.os2?.sCapHeight)
  const height = h && h.contours.length > 0 ? boxHeight(boundsOf(h.contours)) : told
  if (height > 0) return height
  const limit = 'it has no capital H and does not tell how high its capitals are'
  throw refusal('no_cap_height', `"${name}"`, limit, 'Take a font with Latin letters.')
}

/** Closed contours; a quadratic curve becomes the cubic that is the same curve. */
function contoursOf(commands: readonly PathCommand[]): Path[] {
  const contours: Path[] = []
  let start: Point = point(0, 0)
  let segments: Segment[] = []
  let at = start
  const close = () => {
    const path = closedPath(start, segments)
    // Some fonts mark places by contours of a single point.
    if (path.segments.length > 1) {
      const box = boundsOf([path])
      if (boxWidth(box) > 0 && boxHeight(box) > 0) contours.push(path)
    }
    segments = []
  }
  for (const command of commands) {
    if (command.type === 'Z') {
      close()
      continue
    }
    const to = point(command.x, command.y)
    if (command.type === 'M') {
      close()
      start = to
    } else if (command.type === 'Q') {
      const bend = point(command.x1, command.y1)
      segments.push(cubicTo(between(at, bend, 2 / 3), between(to, bend, 2 / 3), to))
    } else if (command.type === 'C') {
      segments.push(cubicTo(point(command.x1, command.y1), point(command.x2, command.y2), to))
    } else if (to.x !== at.x || to.y !== at.y) segments.push(lineTo(to))
    at = to
  }
  close()
  return contours
}
