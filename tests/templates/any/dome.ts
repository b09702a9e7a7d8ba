import fc from 'fast-check'
import { dome } from '../../../templates/dome/template.ts'
import { type Measured, mm } from '../measures.ts'

const extent = fc.oneof(
  fc.record({ part: fc.constantFrom('half' as const, 'whole' as const) }),
  fc.record({ from: mm(-0.9, 0.3), to: mm(0.8, 1.1) }),
)

/** Balls, halves and zones in gores and in zones, and caps by rim and height. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    size: fc.oneof(
      fc.record({ radius: mm(120, 400), extent }),
      fc.record({ girth: mm(800, 2500), extent }),
      fc.record({ rim: mm(300, 700), height: mm(60, 140) }),
    ),
    cover: fc.constantFrom('equal-arc', 'polyconic', 'zones'),
    gores: fc.integer({ min: 4, max: 14 }),
    zones: fc.integer({ min: 2, max: 3 }),
    seams: fc.constantFrom('half round', 'in line'),
    overlap: fc.oneof(mm(0, 10), fc.constant(0)),
    tip: mm(3, 12),
    filmThickness: mm(0, 0.4),
    tapeThickness: mm(0, 0.6),
  })
  .map(({ size, filmThickness, tapeThickness, ...values }) => {
    const { extent: own, ...lengths } = 'extent' in size ? size : { ...size, extent: {} }
    const none = { girth: undefined, radius: undefined, rim: undefined, height: undefined }
    const whole = { part: 'half', from: undefined, to: undefined, cap: undefined }
    return {
      template: dome,
      values: { ...none, ...whole, ...values, ...lengths, ...own },
      facts: { filmThickness, tapeThickness },
    }
  })
