import fc from 'fast-check'
import { outlineByOffsets } from '../../../templates/outline-by-offsets/template.ts'
import { type Measured, mm, thin, unopened } from '../measures.ts'

const station = fc.record({
  step: mm(80, 150),
  left: mm(60, 85),
  right: mm(60, 85),
  corner: fc.constantFrom('no', 'no', 'no', 'yes'),
})
const wide = fc.constantFrom('both', 'both', 'lower', 'none')

/** Straight and smooth, with wide ends and, smooth, with ends that run round; bends keep a radius over the deepest inset. */
export const any: fc.Arbitrary<Measured> = fc
  .record({
    stations: fc.array(station, { minLength: 3, maxLength: 6 }),
    edges: fc.constantFrom('straight', 'smooth'),
    wide,
  })
  .map(({ stations, edges, wide: ends }) => {
    let along = 0
    const last = stations.length - 1
    const placed = stations.map(({ step, left, right, corner }, i) => {
      along += i === 0 ? 0 : step
      const isRound = edges === 'smooth' && ((i === 0 && ends === 'none') || (i === last && ends !== 'both'))
      return isRound ? { along, left: 0, right: 0, corner: 'no' } : { along, left, right, corner }
    })
    return { template: outlineByOffsets, values: { stations: placed, edges, ...unopened }, facts: thin }
  })
