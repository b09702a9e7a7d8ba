import fc from 'fast-check'
import { oval } from '../../../templates/oval/template.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

/** Ovals lying and standing, up to 2.5 times as long as wide: the tightest place keeps a radius of 12 mm. */
export const any: fc.Arbitrary<Measured> = fc
  .record({ short: mm(60, 800), ratio: fc.oneof(mm(1, 2.5), fc.constant(1)), lying: fc.boolean() })
  .map(({ short, ratio, lying }) => {
    const [width, height] = lying ? [short * ratio, short] : [short, short * ratio]
    return { template: oval, values: { width, height, ...unopened }, facts: thin }
  })
