import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { halfNames, openingsFromBox, roundFace, twoHalves } from '../closed-curve.ts'
import { ellipseGirth, lowerHalfEllipse } from '../ellipse.ts'
import { hungAt } from '../hung.ts'
import { openingProblems } from '../openings.ts'
import { ovalSketch } from './sketch.ts'

const specs = {
  width: { kind: 'length', min: 5, max: 10000, letter: 'A', help: 'across the widest place, level' },
  height: { kind: 'length', min: 5, max: 10000, letter: 'B', help: 'up the tallest place, square to the width' },
  ...openingsFromBox,
} as const

export type OvalValues = Values<typeof specs>

const standIn: OvalValues = { width: 200, height: 120, openings: [], points: [] }
/** One axis this many times the other is no oval that a tape can tell (common practice, no source). */
const mostSlender = 20

function develop(v: OvalValues, say: Say) {
  const [a, b] = [v.width / 2, v.height / 2]
  const girth = ellipseGirth(a, b)
  const mark = `Mark the object at the lowest point of its edge, half its width (${say(a)}) from either side.`
  return roundFace(twoHalves(lowerHalfEllipse(a, b)), { mark, girth, openings: v }, say)
}

export const oval = defineTemplate({
  id: 'oval',
  title: 'Oval',
  when: 'A flat face bounded by an ellipse: the lid of an oval tin, an oval badge plate, the window of a flask.',
  specs,
  edges: halfNames,
  example: {
    measures: { width: '200 mm', height: '120 mm' },
    shows:
      'It measures 510.5 mm round its bare edge; with 1 mm all round it is cut 202 x 122 mm, and the hinge marks stand 255.3 mm apart round the edge.',
  },
  check: (v) => {
    const [short, long] = v.width < v.height ? (['width', 'height'] as const) : (['height', 'width'] as const)
    const problems = openingProblems(v)
    if (v[long] <= mostSlender * v[short]) return problems
    return [
      {
        code: 'too_slender',
        field: short,
        value: `${v[short]} mm`,
        limit: `the ${long} is ${v[long]} mm, and an oval is at most ${mostSlender} times as long as it is wide`,
        cure: 'Check the units of both; a narrow strip with round ends is a stadium.',
      },
      ...problems,
    ]
  },
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) => ovalSketch(hungAt(develop(v ?? standIn, say), hung), v, say),
})
