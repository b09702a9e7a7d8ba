import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import fc from 'fast-check'
import { lettering } from '../../../templates/lettering/template.ts'
import { type Measured, mm } from '../measures.ts'

/** The font that comes with the samples, named as a job file beside it names it. */
export const sampleFont = 'fonts/barlow-latin-600-normal.woff'
const bytes = new Uint8Array(readFileSync(resolve(import.meta.dirname, '../../../samples', sampleFont)))
export const sampleFonts: ReadonlyMap<string, Uint8Array> = new Map([[sampleFont, bytes]])

const letters = [...'HOEToolsrake LBSÄöß&0189.,-*']
const text = fc.array(fc.constantFrom(...letters), { maxLength: 5 }).map((own) => `H${own.join('')}g`)

const baseline = fc.oneof(
  fc.constant({ on: 'line', radius: undefined, side: 'outside' }),
  fc.record({ on: fc.constant('arc'), radius: mm(400, 3000), side: fc.constantFrom('outside', 'inside') }),
)

const backing = fc.oneof(
  fc.constant({ backing: 'none', backingShape: 'rectangle', archRise: undefined }),
  fc.constant({ backing: 'panel', backingShape: 'rectangle', archRise: undefined }),
  fc.record({
    backing: fc.constant('panel'),
    backingShape: fc.constant('arch'),
    archRise: fc.option(mm(8, 25), { nil: undefined }),
  }),
)

/** A few letters of the sample font on lines and wide arcs, with and without a backing, in borders that hold insets. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    text,
    capHeight: mm(50, 150),
    spacing: mm(-4, 20),
    baseline,
    border: mm(12, 60),
    borderRadius: fc.oneof(fc.constant(0), mm(9, 12)),
    backing,
    backingMargin: mm(12, 60),
    backingRadius: fc.oneof(fc.constant(0), mm(9, 12)),
  })
  .map(({ baseline: own, backing: behind, ...rest }) => ({
    template: lettering,
    values: { ...rest, ...own, ...behind, font: sampleFont },
    facts: { filmThickness: 0.08, tapeThickness: 0, files: sampleFonts },
  }))
