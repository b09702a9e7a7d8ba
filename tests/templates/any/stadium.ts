import fc from 'fast-check'
import { stadium } from '../../../templates/stadium/template.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

/** From a disc to a long strip. */
export const any: fc.Arbitrary<Measured> = fc
  .record({ width: mm(60, 800), more: fc.oneof(mm(0, 1500), fc.constant(0)) })
  .map(({ width, more }) => ({ template: stadium, values: { length: width + more, width, ...unopened }, facts: thin }))
