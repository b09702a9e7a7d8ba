import { arcTo, lineTo, openPath, type Path } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { halfNames, openingsFromBox, roundFace, twoHalves } from '../closed-curve.ts'
import { hungAt } from '../hung.ts'
import { openingProblems } from '../openings.ts'
import { stadiumSketch } from './sketch.ts'

const specs = {
  length: { kind: 'length', min: 5, max: 20000, letter: 'A', help: 'over all, level, from round end to round end' },
  width: { kind: 'length', min: 5, max: 10000, letter: 'B', help: 'over all, between the straight sides' },
  ...openingsFromBox,
} as const

export type StadiumValues = Values<typeof specs>

const standIn: StadiumValues = { length: 200, width: 110, openings: [], points: [] }

/** Half a round end, the straight side, half a round end; where length and width are equal, no straight side. */
function lowerHalf(length: number, width: number): Path {
  const r = width / 2
  const flat = length / 2 - r
  const quarter = Math.PI / 2
  const sides = flat > 0 ? [lineTo(point(0, -r)), lineTo(point(flat, -r))] : []
  return openPath(
    point(-length / 2, 0),
    arcTo(point(-flat, -r), quarter),
    ...sides,
    arcTo(point(length / 2, 0), quarter),
  )
}

function develop(v: StadiumValues, say: Say) {
  const mark = `Mark the object in the middle of its lower straight side, ${say(v.length / 2)} from either end of the face.`
  return roundFace(twoHalves(lowerHalf(v.length, v.width)), { mark, openings: v }, say)
}

export const stadium = defineTemplate({
  id: 'stadium',
  title: 'Stadium',
  when: 'A flat face with two straight sides and half-round ends: the lid of a long tin, a tray, the cover of a slot.',
  specs,
  edges: halfNames,
  example: {
    measures: { length: '200 mm', width: '110 mm' },
    shows:
      'It measures 525.6 mm round its bare edge; with 1 mm all round it is cut 202 x 112 mm, and the hinge marks stand 262.8 mm apart round the edge.',
  },
  check: (v) => {
    const problems = openingProblems(v)
    if (v.length >= v.width) return problems
    return [
      {
        code: 'changed_over',
        field: 'length',
        value: `${v.length} mm`,
        limit: `the width is ${v.width} mm, and the length over all is at least that`,
        cure: 'Check whether length and width were changed over; length runs from round end to round end.',
      },
      ...problems,
    ]
  },
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) => stadiumSketch(hungAt(develop(v ?? standIn, say), hung), v, say),
})
