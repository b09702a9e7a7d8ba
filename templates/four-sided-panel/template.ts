import { between, distance, type Point, point, subtract } from '../../src/geometry/point.ts'
import { edgeNames } from '../../src/panel/panel.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { flatSurface, openingsFrom, spotsBeside, straightEdge } from '../flat-face.ts'
import { fourSidedDoubts, fourSidedProblems, fourSidedSolved } from '../four-sided-readings.ts'
import { hungAt } from '../hung.ts'
import { openingProblems, placedOpenings } from '../openings.ts'
import type { FourCorners } from '../quadrilateral.ts'
import { fourSidedSketch } from './sketch.ts'

const length = { kind: 'length', min: 5, max: 20000 } as const
const diagonal = { ...length, max: 30000, optional: true } as const

const specs = {
  bottom: { ...length, letter: 'A', help: 'along the bottom edge, corner to corner' },
  right: { ...length, letter: 'B', help: 'along the right edge, corner to corner' },
  top: { ...length, letter: 'C', help: 'along the top edge, corner to corner' },
  left: { ...length, letter: 'D', help: 'along the left edge, corner to corner' },
  bottomLeftToTopRight: {
    ...diagonal,
    letter: 'E',
    help: 'from the bottom left corner to the top right corner; this diagonal, the other or both',
  },
  bottomRightToTopLeft: {
    ...diagonal,
    letter: 'F',
    help: 'from the bottom right corner to the top left corner; a second diagonal checks the other five lengths',
  },
  ...openingsFrom(
    'along the bottom edge from its left end, up to the foot of the square line to the place',
    'square to the bottom edge',
  ),
} as const

type FourSided = Values<typeof specs>

/** Moved so that the middle between the middles of bottom and top is the origin. */
function aboutHinge(corners: FourCorners): FourCorners {
  const [a, b, c, d] = corners
  const middle = between(between(a, b, 0.5), between(c, d, 0.5), 0.5)
  return [subtract(a, middle), subtract(b, middle), subtract(c, middle), subtract(d, middle)]
}

function develop(v: FourSided, say: Say) {
  const { corners, notes } = fourSidedSolved(v, say)
  const placed = aboutHinge(corners)
  const [a, b, c, d] = placed
  const edges = edgeNames.map((name, i) => straightEdge(name, placed[i] as Point, placed[(i + 1) % 4] as Point))
  const hinge = { from: between(a, b, 0.5), to: between(c, d, 0.5) }
  const half = (name: string, mm: number) =>
    `Mark the object ${say(mm / 2)} along its ${name} edge, from the ${name} left corner.`
  return {
    edges,
    ...placedOpenings(v, (along, up) => ({ at: point(a.x + along, a.y + up), turn: 0 })),
    hinge,
    surface: flatSurface,
    labelSpots: spotsBeside(edges, hinge),
    marks: [
      { code: 'hinge bottom', text: half('bottom', distance(a, b)) },
      { code: 'hinge top', text: half('top', distance(c, d)) },
    ],
    notes:
      v.openings.length + v.points.length > 0
        ? [
            ...notes,
            'Openings and places: along the bottom edge from its left end, and square to it; not from the left edge.',
          ]
        : notes,
  }
}

/** What the diagram shows without values. */
const standIn: FourSided = {
  bottom: 300,
  right: 175,
  top: 262,
  left: 200,
  bottomLeftToTopRight: undefined,
  bottomRightToTopLeft: 330,
  openings: [],
  points: [],
}

export const fourSidedPanel = defineTemplate({
  id: 'four-sided-panel',
  title: 'Four-sided panel',
  when: 'A flat face of four straight sides with no right angle to trust: the side of an old toolbox, a warped door, a shelf in a corner.',
  specs,
  example: {
    measures: {
      bottom: '420 mm',
      right: '246 mm',
      top: '398 mm',
      left: '239 mm',
      bottomLeftToTopRight: '478 mm',
      bottomRightToTopLeft: '473 mm',
    },
    shows:
      'The second diagonal closes within 0.33 mm, so all six are adjusted by 0.04 to 0.08 mm; the hinge stands 210 mm along the bottom edge and 199 mm along the top edge.',
  },
  check: (v) => [...fourSidedProblems(v), ...openingProblems(v)],
  doubts: (v, _facts, say) => fourSidedDoubts(v, say),
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) => fourSidedSketch(hungAt(develop(v ?? standIn, say), hung), v, say),
})
