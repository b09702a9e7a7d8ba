import fc from 'fast-check'
import { point } from '../../../src/geometry/point.ts'
import { fourSidedPanel } from '../../../templates/four-sided-panel/template.ts'
import { lengthNames, lengthsOf } from '../../../templates/quadrilateral.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

const askew = fc.record({ x: mm(-0.15, 0.15), y: mm(-0.15, 0.15) })

/** Rectangles with every corner pushed out of place, and readings up to 0.1 mm off. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    width: mm(120, 1500),
    height: mm(120, 1500),
    corners: fc.tuple(askew, askew, askew, askew),
    given: fc.constantFrom('both', 'rising', 'falling'),
    errors: fc.array(mm(-0.1, 0.1), { minLength: 6, maxLength: 6 }),
  })
  .map(({ width, height, corners, given, errors }) => {
    const size = Math.min(width, height)
    const [a, b, c, d] = corners.map(({ x, y }, i) =>
      point((i === 1 || i === 2 ? width : 0) + x * size, (i > 1 ? height : 0) + y * size),
    )
    const zero = point(0, 0)
    const six = lengthsOf([a ?? zero, b ?? zero, c ?? zero, d ?? zero])
    const values = Object.fromEntries(lengthNames.map((name, i) => [name, six[name] + (errors[i] ?? 0)]))
    const left = given === 'rising' ? { bottomRightToTopLeft: undefined } : { bottomLeftToTopRight: undefined }
    return {
      template: fourSidedPanel,
      values: { ...values, ...(given === 'both' ? {} : left), ...unopened },
      facts: thin,
    }
  })
