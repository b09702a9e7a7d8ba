import fc from 'fast-check'
import { prismSleeve } from '../../../templates/prism-sleeve/template.ts'
import { type Measured, mm, unopened } from '../measures.ts'

const facts = fc.record({ filmThickness: mm(0, 0.4), tapeThickness: mm(0, 0.6) })

/** From three to twelve sides, sharp or rounded, by their side or across flats, all round or in part. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    sides: fc.integer({ min: 3, max: 12 }),
    side: mm(70, 200),
    height: mm(60, 400),
    rounding: fc.oneof(fc.constant(0), mm(0, 1)),
    byFlats: fc.boolean(),
    share: fc.oneof(fc.constant(undefined), mm(0, 1)),
    seam: fc.constantFrom('corner', 'middle of a side'),
    overlap: fc.option(mm(0, 30), { nil: undefined }),
    middles: fc.constantFrom('no', 'yes'),
    facts,
  })
  .map(({ sides, side, height, rounding, byFlats, share, seam, overlap, middles, facts: own }) => {
    const across = side / Math.tan(Math.PI / sides)
    const flats = byFlats && sides % 2 === 0
    const covered = share === undefined ? undefined : 1 + Math.round(share * (sides - 2))
    return {
      template: prismSleeve,
      values: {
        sides,
        side: flats ? undefined : side,
        acrossFlats: flats ? across : undefined,
        height,
        radius: rounding * 0.99 * (across / 2),
        girth: undefined,
        covered,
        seam,
        overlap: covered === undefined ? overlap : undefined,
        middles,
        ...unopened,
      },
      facts: own,
    }
  })
