import fc from 'fast-check'
import { arch } from '../../../templates/arch/template.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

/** Flat bows to three quarters of a ring, by chord and rise or by radius and angle, of either edge. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    inner: fc.oneof(mm(50, 400), mm(400, 20_000)),
    turn: mm(0.1, 1),
    width: mm(60, 300),
    measured: fc.constantFrom('inner', 'outer'),
    byChord: fc.boolean(),
  })
  .map(({ inner, turn, width, measured, byChord }) => {
    // Both edges at least 100 mm long, the ends of the inner one at least 30 mm apart.
    const angle = Math.min(4.7, Math.max(100 / inner, turn * 4.7, 0.001))
    const radius = measured === 'inner' ? inner : inner + width
    const own = byChord
      ? {
          chord: 2 * radius * Math.sin(angle / 2),
          rise: 2 * radius * Math.sin(angle / 4) ** 2,
          radius: undefined,
          angle: undefined,
        }
      : { chord: undefined, rise: undefined, radius, angle }
    return { template: arch, values: { measured, width, ...own, ...unopened }, facts: thin }
  })
