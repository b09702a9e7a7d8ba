import fc from 'fast-check'
import { squareToRound } from '../../../templates/square-to-round/template.ts'
import { type Measured, mm } from '../measures.ts'

const facts = fc.record({ filmThickness: mm(0, 0.4), tapeThickness: mm(0, 0.6) })

/** Transitions that narrow or widen upwards, upright and leaning, steep enough that one panel does not meet itself. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    length: mm(120, 500),
    width: mm(120, 500),
    diameter: mm(120, 500),
    steep: mm(0.5, 1.5),
    right: mm(-0.2, 0.2),
    back: mm(-0.2, 0.2),
    byGirth: fc.boolean(),
    panels: fc.constantFrom('one', 'two'),
    seam: fc.constantFrom('front', 'right', 'back', 'left'),
    overlap: mm(0, 15),
    divisions: fc.integer({ min: 6, max: 48 }),
    facts,
  })
  .map(({ length, width, diameter, steep, right, back, byGirth, panels, seam, overlap, divisions, facts: own }) => {
    const size = Math.max(length, width, diameter)
    return {
      template: squareToRound,
      values: {
        length,
        width,
        diameter: byGirth ? undefined : diameter,
        girth: byGirth ? diameter * Math.PI : undefined,
        height: steep * size,
        right: right * size,
        back: back * size,
        slant: undefined,
        panels,
        seam,
        overlap,
        divisions,
      },
      facts: own,
    }
  })
