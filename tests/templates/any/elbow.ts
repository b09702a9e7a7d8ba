import fc from 'fast-check'
import { elbow } from '../../../templates/elbow/template.ts'
import { type Measured, mm } from '../measures.ts'

/** Elbows of two or three pieces that are 60 mm or more long even at the throat. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    girth: mm(200, 700),
    byDiameter: fc.boolean(),
    byThroat: fc.boolean(),
    angle: mm(20, 100),
    pieces: fc.constantFrom(2, 2, 3),
    spare: mm(0, 80),
    firstEnd: mm(0, 60),
    lastEnd: mm(0, 60),
    seams: fc.constantFrom('alternate' as const, 'throat' as const, 'heel' as const),
    overlap: mm(0, 30),
    mitreLap: fc.oneof(fc.constant(0), mm(0, 8)),
    facts: fc.record({ filmThickness: mm(0, 0.4), tapeThickness: mm(0, 0.6) }),
  })
  .map(({ girth, byDiameter, byThroat, angle, pieces, spare, facts, ...v }) => {
    const radians = (angle * Math.PI) / 180
    // An end piece is as long at the throat as the throat radius times the tangent of the mitre.
    const throat = (65 + spare) / Math.tan(radians / (2 * (pieces - 1)))
    const values = {
      girth: byDiameter ? undefined : girth,
      diameter: byDiameter ? girth / Math.PI : undefined,
      angle: radians,
      pieces,
      radius: byThroat ? undefined : throat + girth / (2 * Math.PI),
      throat: byThroat ? throat : undefined,
      ...v,
    }
    return { template: elbow, values, facts }
  })
