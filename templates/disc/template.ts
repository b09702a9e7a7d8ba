import { arcTo, openPath } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { halfNames, openingsFromBox, roundFace, twoHalves } from '../closed-curve.ts'
import { hungAt } from '../hung.ts'
import { openingProblems } from '../openings.ts'
import { discSketch } from './sketch.ts'

const specs = {
  diameter: {
    kind: 'length',
    min: 5,
    max: 10000,
    letter: 'A',
    help: 'straight across through the middle; of several readings the greatest is the best',
  },
  ...openingsFromBox,
} as const

export type DiscValues = Values<typeof specs>

const standIn: DiscValues = { diameter: 168, openings: [], points: [] }

/** In two quarters below and two above, so that they meet at the ends of the hinge. */
function develop(v: DiscValues, say: Say) {
  const r = v.diameter / 2
  const quarter = Math.PI / 2
  const lower = openPath(point(-r, 0), arcTo(point(0, -r), quarter), arcTo(point(r, 0), quarter))
  const mark = 'Mark the object at the lowest point of its edge.'
  return roundFace(twoHalves(lower), { mark, openings: v }, say)
}

export const disc = defineTemplate({
  id: 'disc',
  title: 'Disc',
  when: 'A flat round face: the lid of a paint tin, the bottom of a flask, a round sign.',
  specs,
  edges: halfNames,
  example: {
    measures: { diameter: '168 mm' },
    shows:
      'With 1 mm all round it is cut 170 mm across; bare it measures 527.8 mm round its edge, and the hinge marks stand 263.9 mm apart round it.',
  },
  check: (v) => openingProblems(v),
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) => discSketch(hungAt(develop(v ?? standIn, say), hung), v, say),
})
