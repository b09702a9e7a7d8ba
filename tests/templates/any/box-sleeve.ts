import fc from 'fast-check'
import { boxSleeve } from '../../../templates/box-sleeve/template.ts'
import { type Measured, mm, unopened } from '../measures.ts'

const facts = fc.record({ filmThickness: mm(0, 0.4), tapeThickness: mm(0, 0.6) })
const yesNo = fc.constantFrom('no', 'yes')
const seams = ['middle of the back', 'front right', 'back right', 'back left', 'front left']
const runs = ['front', 'right', 'back left', 'left front', 'front right back', 'left front right']

/** Boxes from sharp to as round as their smaller side allows, all round and in part. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    length: mm(80, 600),
    width: mm(80, 600),
    height: mm(60, 400),
    rounding: fc.oneof(fc.constantFrom(0, 0.5), mm(0, 0.5)),
    wrap: fc.oneof(
      fc.record({ seam: fc.constantFrom(...seams), overlap: fc.option(mm(0, 30), { nil: undefined }) }),
      fc.record({ cover: fc.constantFrom(...runs) }),
    ),
    middles: yesNo,
    lid: yesNo,
    base: yesNo,
    facts,
  })
  .map(({ rounding, wrap, facts: own, ...rest }) => ({
    template: boxSleeve,
    values: {
      ...rest,
      radius: rounding * Math.min(rest.length, rest.width),
      girth: undefined,
      cover: 'all round',
      seam: 'middle of the back',
      overlap: undefined,
      ...unopened,
      ...wrap,
    },
    facts: own,
  }))
