import fc from 'fast-check'
import { roundedPolygon } from '../../../templates/rounded-polygon/template.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

/**
 * Sharp and rounded, by side or across flats. A side keeps a straight part whatever its neighbours' allowances, and the
 * rounding of an odd number of sides is more than the deepest inset.
 */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    sides: fc.integer({ min: 3, max: 12 }),
    side: mm(160, 600),
    share: fc.oneof(fc.constant(0), mm(0.2, 0.6)),
    byFlats: fc.boolean(),
  })
  .map(({ sides, side, share, byFlats }) => {
    const apothem = side / 2 / Math.tan(Math.PI / sides)
    const even = sides % 2 === 0
    const size = byFlats && even ? { side: undefined, acrossFlats: 2 * apothem } : { side, acrossFlats: undefined }
    return {
      template: roundedPolygon,
      values: { sides, ...size, radius: share * apothem, ...unopened },
      facts: thin,
    }
  })
