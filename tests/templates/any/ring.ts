import fc from 'fast-check'
import { ring } from '../../../templates/ring/template.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

/** Rings that leave 22 mm of film at the least, so that insets and slit strips find room. */
export const any: fc.Arbitrary<Measured> = fc
  .record({ outer: mm(60, 2000), share: mm(0.1, 0.9) })
  .map(({ outer, share }) => ({
    template: ring,
    values: { outer, inner: 2 + share * (outer - 46), ...unopened },
    facts: thin,
  }))
