import { point } from '../../src/geometry/point.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { defineTemplate, type Values } from '../../src/panel/template.ts'
import { rectangularFace } from '../flat-face.ts'
import { openingProblems, openingSpecs, placedOpenings } from '../openings.ts'
import { flatSketch } from './sketch.ts'

const specs = {
  width: { kind: 'length', min: 5, max: 20000, letter: 'A', help: 'from the left edge to the right edge' },
  height: { kind: 'length', min: 5, max: 20000, letter: 'B', help: 'from the bottom edge to the top edge' },
  radius: {
    kind: 'corners',
    max: 10000,
    letter: 'R',
    help: 'rounding of the corners: one for all, or bottomLeft, bottomRight, topRight, topLeft',
  },
  ...openingSpecs,
} as const

export type FlatValues = Values<typeof specs>

export const flatPanel = defineTemplate({
  id: 'flat-panel',
  title: 'Flat panel',
  when: 'A flat face with square corners or rounded ones: a toolbox lid, a door, a sign.',
  specs,
  example: {
    measures: { width: '320 mm', height: '180 mm', radius: '12 mm' },
    shows:
      'With 1 mm on every edge it is cut 322 x 182 mm with corners of 13 mm; the hinge stands 160 mm from the left edge.',
  },
  check: ({ width, height, radius, openings, points }) => {
    const problems: Problem[] = []
    const pairs: [string, number, number, string][] = [
      ['bottom', radius.bottomLeft + radius.bottomRight, width, 'width'],
      ['top', radius.topLeft + radius.topRight, width, 'width'],
      ['left', radius.bottomLeft + radius.topLeft, height, 'height'],
      ['right', radius.bottomRight + radius.topRight, height, 'height'],
    ]
    for (const [edge, sum, limit, name] of pairs) {
      if (sum <= limit) continue
      problems.push({
        code: 'radii_too_big',
        field: 'radius',
        value: `${sum} mm for the two corners of the ${edge} edge`,
        limit: `the ${name} is ${limit} mm`,
        cure: `Measure the radii again; together they can be ${limit} mm at the most.`,
      })
    }
    return [...problems, ...openingProblems({ openings, points })]
  },
  develop: ({ width, height, radius, openings, points }, _facts, say) => {
    const { bottomLeft, bottomRight, topRight, topLeft } = radius
    const panel: Development = {
      ...rectangularFace(width, height, [bottomLeft, bottomRight, topRight, topLeft]),
      ...placedOpenings({ openings, points }, (along, up) => ({
        at: point(along - width / 2, up - height / 2),
        turn: 0,
      })),
      marks: [
        { code: 'hinge bottom', text: `Mark the object ${say(width / 2)} from its left edge, at the bottom edge.` },
        { code: 'hinge top', text: `Mark the object ${say(width / 2)} from its left edge, at the top edge.` },
      ],
      notes: [],
    }
    return [panel]
  },
  sketch: (values, say, hung) => flatSketch(values, hung, say),
})
