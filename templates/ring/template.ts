import { arcTo, circle, openPath } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { halfNames, openingsFromBox, roundFace, twoHalves } from '../closed-curve.ts'
import { hungAt } from '../hung.ts'
import { openingProblems } from '../openings.ts'
import { ringSketch } from './sketch.ts'

const specs = {
  outer: { kind: 'length', min: 10, max: 10000, letter: 'A', help: 'across the outer edge, through the middle' },
  inner: { kind: 'length', min: 2, max: 10000, letter: 'B', help: 'across what stays free in the middle' },
  ...openingsFromBox,
} as const

export type RingValues = Values<typeof specs>

const standIn: RingValues = { outer: 168, inner: 74, openings: [], points: [] }
/** The least width of film between the two edges, mm (common practice, no source). */
const leastWidth = 2

function develop(v: RingValues, say: Say): Development {
  const r = v.outer / 2
  const quarter = Math.PI / 2
  const lower = openPath(point(-r, 0), arcTo(point(0, -r), quarter), arcTo(point(r, 0), quarter))
  const mark = 'Mark the object at the lowest point of its outer edge.'
  const face = roundFace(twoHalves(lower), { mark, openings: v }, say)
  // Level with the inner edge's top and bottom there is the most room beside the hinge.
  const spots = [1, -1, 0.8, -0.8].flatMap((share) => {
    const up = (share * v.inner) / 2
    const aside = (Math.sqrt((v.inner / 2) ** 2 - up * up) + Math.sqrt(r * r - up * up)) / 2
    return [point(aside, up), point(-aside, up)].map((at) => ({ at, turn: 0 }))
  })
  return {
    ...face,
    holes: [{ name: 'inner', path: circle(point(0, 0), v.inner / 2) }, ...face.holes],
    labelSpots: spots,
    notes: [
      ...face.notes,
      `The inner edge is an opening: it is cut at ${say(v.inner)} as measured, without an allowance. Give inner smaller to let the film reach into it.`,
    ],
  }
}

export const ring = defineTemplate({
  id: 'ring',
  title: 'Ring',
  when: 'A flat round face with a round middle that stays free: a tin lid round its plug, a pail lid round its spout, a clock face.',
  specs,
  edges: halfNames,
  example: {
    measures: { outer: '168 mm', inner: '74 mm' },
    shows:
      'With 1 mm round the outer edge it is cut 170 mm across, with an opening of 74 mm in the middle; 47 mm of film stand between the measured edges.',
  },
  check: (v) => {
    const problems = openingProblems(v)
    const width = (v.outer - v.inner) / 2
    if (width >= leastWidth) return problems
    const isTurned = v.inner > v.outer
    return [
      {
        code: isTurned ? 'changed_over' : 'ring_too_narrow',
        field: 'inner',
        value: `${v.inner} mm`,
        limit: `the outer diameter is ${v.outer} mm, and ${leastWidth} mm of film must stand between the two edges, so ${Number((v.outer - 2 * leastWidth).toFixed(3))} mm at the most`,
        cure: isTurned ? 'Check whether outer and inner were changed over.' : 'Measure both diameters again.',
      },
      ...problems,
    ]
  },
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) => ringSketch(hungAt(develop(v ?? standIn, say), hung), v ?? standIn, v !== undefined, say),
})
