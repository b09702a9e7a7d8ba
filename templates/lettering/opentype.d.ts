/** What is used of opentype.js 1.3.4. The types published for it bring in the DOM, which these rooms must not know. */
declare module 'opentype.js' {
  export type PathCommand =
    | { readonly type: 'M' | 'L'; readonly x: number; readonly y: number }
    | { readonly type: 'Q'; readonly x1: number; readonly y1: number; readonly x: number; readonly y: number }
    | {
        readonly type: 'C'
        readonly x1: number
        readonly y1: number
        readonly x2: number
        readonly y2: number
        readonly x: number
        readonly y: number
      }
    | { readonly type: 'Z' }

  /** Font units, y up. */
  export interface Glyph {
    readonly advanceWidth?: number
    readonly path: { readonly commands: readonly PathCommand[] }
  }

  export interface Font {
    readonly tables: {
      readonly os2?: { readonly sCapHeight?: number }
      readonly fvar?: object
      readonly gpos?: object
    }
    /** 0 where the font has none */
    charToGlyphIndex(character: string): number
    charToGlyph(character: string): Glyph
    /** of the kern table, by both glyphs' numbers with a comma between */
    readonly kerningPairs: Readonly<Record<string, number>>
    readonly position: {
      /** the lookups for pairs in GPOS of the default script, where the font has that table */
      readonly defaultKerningTables?: readonly object[]
      /** those of the script with that tag, none where the font has none */
      getKerningTables(script: string): readonly object[]
      getKerningValue(lookups: readonly object[], leftIndex: number, rightIndex: number): number
    }
  }

  const opentype: { parse(bytes: ArrayBuffer): Font }
  export default opentype
}
