import fc from 'fast-check'
import { taperedBand } from '../../../templates/tapered-band/template.ts'
import { type Measured, mm } from '../measures.ts'

const degree = Math.PI / 180
const slant = fc.option(mm(0, 12), { nil: undefined })
const share = fc.option(mm(0, 1), { nil: undefined })

/** Cones either way up of 60 mm or more everywhere, with one or two rims that slant by up to 12 degrees. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    mid: mm(300, 900),
    lean: fc.oneof(mm(-0.25, 0.25), mm(-1e-6, 1e-6), fc.constant(0)),
    spare: mm(0, 60),
    top: slant,
    bottom: slant,
    high: share,
    low: share,
    part: fc.oneof(
      fc.record({ overlap: mm(0, 30) }),
      fc.record({ gap: mm(1, 40) }),
      fc.record({ bottomGap: mm(1, 40), topGap: mm(1, 40) }),
    ),
    facts: fc.record({ filmThickness: mm(0, 0.4), tapeThickness: mm(0, 0.6) }),
  })
  .map(({ mid, lean, spare, top, bottom, high, low, part, facts }) => {
    // Both rims may lean towards each other by a full rise, which is about girth / pi tan g.
    const height = 80 + (2.6 * mid * Math.tan(12 * degree)) / Math.PI + spare
    // No wider at one end than three times the other.
    const wider = Math.max(-mid / 2, Math.min(mid / 2, Math.PI * lean * height))
    const values = {
      bottomGirth: mid - wider,
      bottomDiameter: undefined,
      topGirth: mid + wider,
      topDiameter: undefined,
      slant: undefined,
      height,
      gap: undefined,
      bottomGap: undefined,
      topGap: undefined,
      overlap: undefined,
      topSlant: top === undefined ? undefined : top * degree,
      topRise: undefined,
      topHigh: top === undefined || high === undefined ? undefined : high * (mid + wider),
      bottomSlant: bottom === undefined ? undefined : bottom * degree,
      bottomDrop: undefined,
      bottomLow: bottom === undefined || low === undefined ? undefined : low * (mid - wider),
      openings: [],
      points: [],
      ...part,
    }
    return { template: taperedBand, values, facts }
  })
