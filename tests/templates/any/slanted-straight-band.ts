import fc from 'fast-check'
import { straightBand } from '../../../templates/straight-band/template.ts'
import { type Measured, mm } from '../measures.ts'

const degree = Math.PI / 180
const slant = fc.option(mm(0, 15), { nil: undefined })
const share = fc.option(mm(0, 1), { nil: undefined })

/** Bands of 60 mm or more everywhere, with one or two rims that slant by up to 15 degrees, highest anywhere. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    girth: mm(200, 900),
    spare: mm(0, 200),
    top: slant,
    bottom: slant,
    high: share,
    low: share,
    part: fc.oneof(fc.record({ overlap: mm(0, 30) }), fc.record({ gap: mm(1, 40) })),
    facts: fc.record({ filmThickness: mm(0, 0.4), tapeThickness: mm(0, 0.6) }),
  })
  .map(({ girth, spare, top, bottom, high, low, part, facts }) => {
    const values = {
      girth,
      diameter: undefined,
      // Both rims may lean towards each other by a full rise, which is girth / pi tan g.
      height: 70 + (2 * girth * Math.tan(15 * degree)) / Math.PI + spare,
      span: undefined,
      gap: undefined,
      overlap: undefined,
      topSlant: top === undefined ? undefined : top * degree,
      topRise: undefined,
      topHigh: top === undefined || high === undefined ? undefined : high * girth,
      bottomSlant: bottom === undefined ? undefined : bottom * degree,
      bottomDrop: undefined,
      bottomLow: bottom === undefined || low === undefined ? undefined : low * girth,
      openings: [],
      points: [],
      ...part,
    }
    return { template: straightBand, values, facts }
  })
