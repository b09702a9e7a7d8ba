import { createRequire } from 'node:module'

interface Drawn {
  moveTo(x: number, y: number): void
  lineTo(x: number, y: number): void
  closePath(): void
}

interface Maker {
  readonly Path: new () => Drawn
  readonly Glyph: new (options: object) => object
  readonly Font: new (options: object) => { toArrayBuffer(): ArrayBuffer }
}

const maker: Maker = createRequire(import.meta.url)('opentype.js')

/** Straight-sided contours in font units, 1000 to the em. */
export type Outline = readonly (readonly (readonly [number, number])[])[]

/** The bytes of an OpenType font with PostScript outlines (CFF), each character 700 units wide. */
export function madeFont(characters: Readonly<Record<string, Outline>>): Uint8Array {
  const glyph = (name: string, unicode: number | undefined, outline: Outline) => {
    const path = new maker.Path()
    for (const [first, ...rest] of outline) {
      if (!first) continue
      path.moveTo(...first)
      for (const to of rest) path.lineTo(...to)
      path.closePath()
    }
    return new maker.Glyph({ name, unicode, advanceWidth: 700, path })
  }
  const glyphs = [
    glyph('.notdef', undefined, [box(0, 0, 10, 10)]),
    ...Object.entries(characters).map(([c, outline]) => glyph(`u${c.codePointAt(0)}`, c.codePointAt(0), outline)),
  ]
  const font = new maker.Font({
    familyName: 'Made',
    styleName: 'Plain',
    unitsPerEm: 1000,
    ascender: 800,
    descender: -200,
    glyphs,
  })
  return new Uint8Array(font.toArrayBuffer())
}

/** A rectangle of a font, counter-clockwise. */
export const box = (x: number, y: number, width: number, height: number): [number, number][] => [
  [x, y],
  [x + width, y],
  [x + width, y + height],
  [x, y + height],
]
