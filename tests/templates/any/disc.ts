import type fc from 'fast-check'
import { disc } from '../../../templates/disc/template.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

export const any: fc.Arbitrary<Measured> = mm(60, 2000).map((diameter) => ({
  template: disc,
  values: { diameter, ...unopened },
  facts: thin,
}))
