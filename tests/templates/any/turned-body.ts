import fc from 'fast-check'
import { turnedBody } from '../../../templates/turned-body/template.ts'
import { type Measured, mm } from '../measures.ts'

/** Fair bodies of two to six stations: the slope of the side bends by little from one to the next. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    first: mm(500, 900),
    slope: mm(-1, 2),
    steps: fc.array(fc.record({ slant: mm(65, 90), bend: mm(-0.7, 0.5) }), { minLength: 1, maxLength: 5 }),
    byHeight: fc.boolean(),
    cover: fc.constantFrom('bands', 'gores'),
    seams: fc.constantFrom('half round', 'in line'),
    gores: fc.integer({ min: 4, max: 8 }),
    overlap: fc.oneof(mm(0, 10), fc.constant(0)),
    tip: mm(3, 12),
    filmThickness: mm(0, 0.4),
    tapeThickness: mm(0, 0.6),
  })
  .map(({ first, slope, steps, byHeight, filmThickness, tapeThickness, ...values }) => {
    let [girth, along, height, rise] = [first, 0, 12, slope]
    const stations: Record<string, number>[] = []
    const measure = () => stations.push({ girth, ...(byHeight ? { height } : { along }) })
    measure()
    for (const { slant, bend } of steps) {
      rise = Math.max(-2.2, Math.min(2.2, rise + bend))
      if (girth + rise * slant < 320) rise = 0.3
      girth += rise * slant
      along += slant
      height += slant * Math.sqrt(1 - (rise / (2 * Math.PI)) ** 2)
      measure()
    }
    return {
      template: turnedBody,
      values: { stations, sides: 'curved', ...values },
      facts: { filmThickness, tapeThickness },
    }
  })
