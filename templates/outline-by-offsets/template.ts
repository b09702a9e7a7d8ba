import { boundsOf } from '../../src/geometry/bounds.ts'
import { pieces } from '../../src/geometry/path.ts'
import { between, type Point, point, subtract } from '../../src/geometry/point.ts'
import { transform, translation } from '../../src/geometry/transform.ts'
import { selfCrossing } from '../../src/geometry/valid.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { flatSurface, openingsFrom, outlineOf } from '../flat-face.ts'
import { hungAt } from '../hung.ts'
import { openingProblems, placedOpenings } from '../openings.ts'
import { swellOf } from '../smooth-ring.ts'
import { cornersOf, edgesOf, hingeOf, type Station, widthOf } from './outline.ts'
import { offsetsSketch } from './sketch.ts'

const reach = 20000

const specs = {
  stations: {
    kind: 'list',
    fewest: 2,
    help: 'places up a straight base line, lowest first, each with the way from the base line to both edges, square to it',
    item: {
      along: { kind: 'length', min: 0, max: reach, letter: 'A', help: 'up the base line from its lower end' },
      left: {
        kind: 'length',
        min: -reach,
        max: reach,
        letter: 'L',
        help: 'from the base line to the left edge; below 0 where that edge lies right of the base line',
      },
      right: {
        kind: 'length',
        min: -reach,
        max: reach,
        letter: 'R',
        help: 'from the base line to the right edge; below 0 where that edge lies left of the base line',
      },
      corner: {
        kind: 'choice',
        options: ['no', 'yes'],
        standard: 'no',
        help: 'do the edges turn sharply here? Only for smooth edges; straight ones do at every station',
      },
    },
  },
  edges: {
    kind: 'choice',
    options: ['straight', 'smooth'],
    standard: 'straight',
    help: 'how the film runs from station to station',
  },
  ...openingsFrom('square from the base line to the right, below 0 to the left', 'up the base line from its lower end'),
} as const

export type OffsetValues = Values<typeof specs>

/** The least between two stations and the least width of the face, mm (common practice, no source). */
const leastStep = 1
const leastWidth = 2
/** Smooth edges that swell less than this are not worth a word, mm (common practice, no source). */
const littleSwell = 0.5

const inMm = (mm: number) => `${Number(mm.toFixed(3))} mm`

function stationProblems({ stations }: OffsetValues): Problem[] {
  const last = stations.length - 1
  if (last < 1) {
    return [
      {
        code: 'missing',
        field: 'stations',
        value: `${stations.length} of them`,
        limit: 'an outline needs two at the least, its lower and its upper end',
        cure: 'Measure along, left and right at both ends and wherever the outline bends.',
      },
    ]
  }
  const problems: Problem[] = []
  stations.forEach((station, i) => {
    const before = stations[i - 1]
    if (before && station.along < before.along + leastStep) {
      problems.push({
        code: 'out_of_order',
        field: `stations[${i}].along`,
        value: inMm(station.along),
        limit: `stations[${i - 1}] is at ${inMm(before.along)}, and each stands at least ${leastStep} mm farther along the base line than the one before`,
        cure: 'Put the stations in order from the lower end, or measure this one again.',
      })
    }
    const width = widthOf(station)
    const isPoint = (i === 0 || i === last) && width === 0
    if (width < leastWidth && !isPoint) {
      problems.push({
        code: 'offsets_cross',
        field: `stations[${i}].left`,
        value: `${inMm(station.left)}, with right ${inMm(station.right)}`,
        limit: `together they are the width of the face, ${inMm(width)} here; the least is ${leastWidth} mm${i === 0 || i === last ? ', or 0 where the face ends in a point' : ''}`,
        cure: 'Check the signs: an offset is below 0 only where its edge lies on the other side of the base line.',
      })
    }
  })
  if (problems.length === 0 && stations.every((station) => widthOf(station) === 0)) {
    problems.push({
      code: 'no_width',
      field: 'stations',
      value: 'two points',
      limit: 'a face that ends in a point at both ends needs a station between them',
      cure: 'Measure left and right at a place between the ends.',
    })
  }
  return problems
}

/** Smooth edges that run over each other, though the offsets themselves do not. */
function crossingProblems({ stations, edges }: OffsetValues): Problem[] {
  const at = selfCrossing(outlineOf(edgesOf(stations, edges === 'smooth')))
  if (!at) return []
  const i = Math.max(
    1,
    stations.findIndex(({ along }) => along >= at.y),
  )
  return [
    {
      code: 'edges_cross',
      field: `stations[${i}]`,
      value: `such that the outline meets itself near ${inMm(at.y)} along`,
      limit: 'between two stations a smooth edge may swell, and here the two edges come too near each other for it',
      cure: 'Add a station between, mark sharp places with corner: yes, or set edges to straight.',
    },
  ]
}

const problemsOf = (v: OffsetValues): Problem[] => {
  const own = stationProblems(v)
  return own.length > 0 ? own : crossingProblems(v)
}

/** Where a place is on the object, told from the base line. */
function fromBase({ x, y }: Point, say: Say): string {
  const aside =
    Math.abs(x) < 0.05 ? 'on the base line' : `${say(Math.abs(x))} ${x < 0 ? 'left' : 'right'} of the base line`
  return `${aside}, ${say(y)} along it`
}

function swellNotes(v: OffsetValues, say: Say): string[] {
  if (v.edges === 'straight') return []
  const swells = edgesOf(v.stations, true).flatMap(({ name, path }) =>
    [...pieces(path)].flatMap(({ from, segment }) =>
      segment.kind === 'cubic' ? [{ name, at: between(from, segment.to, 0.5), mm: swellOf(from, segment) }] : [],
    ),
  )
  if (swells.length === 0) return []
  const most = swells.reduce((a, b) => (b.mm > a.mm ? b : a))
  const notes = ['Smooth edges run through every station; between stations they are drawn, not measured.']
  if (most.mm < littleSwell) return notes
  return [
    ...notes,
    `They stand off the straight line from station to station by ${say(most.mm)} at the most, at the ${most.name} edge near ${say(most.at.y)} along: add a station there if in doubt.`,
  ]
}

function develop(v: OffsetValues, say: Say): Development {
  const smooth = v.edges === 'smooth'
  const edges = edgesOf(v.stations, smooth)
  const hinge = hingeOf(edges, cornersOf(v.stations, smooth))
  const middle = between(hinge.from, hinge.to, 0.5)
  const move = (p: Point) => subtract(p, middle)
  const spots = v.stations.slice(1).flatMap((station, i) => {
    const before = v.stations[i] ?? station
    const [x, width] = [(station.right + before.right) / 2, (widthOf(station) + widthOf(before)) / 2]
    const y = (station.along + before.along) / 2
    return [0.27, 0.73].map((share) => ({ at: move(point(x - share * width, y)), turn: 0, width }))
  })
  return {
    edges: edges.map(({ name, path }) => ({ name, path: transform(path, translation(-middle.x, -middle.y)) })),
    ...placedOpenings(v, (along, up) => ({ at: move(point(along, up)), turn: 0 })),
    hinge: { from: move(hinge.from), to: move(hinge.to) },
    surface: flatSurface,
    labelSpots: spots.sort((a, b) => b.width - a.width).map(({ at, turn }) => ({ at, turn })),
    marks: [
      { code: 'base line', text: 'Draw the base line on the object again, with its lower end where it was measured.' },
      { code: 'hinge bottom', text: `Mark the object ${fromBase(hinge.from, say)}.` },
      { code: 'hinge top', text: `Mark the object ${fromBase(hinge.to, say)}.` },
    ],
    notes: swellNotes(v, say),
  }
}

/** What the diagram shows without values. */
const station = (along: number, left: number, right: number): Station => ({ along, left, right, corner: 'no' })
const standIn: OffsetValues = {
  stations: [station(0, 45, 110), station(70, 66, 124), station(150, 50, 152), station(220, 35, 95)],
  edges: 'smooth',
  openings: [],
  points: [],
}

export const outlineByOffsets = defineTemplate({
  id: 'outline-by-offsets',
  title: 'Outline by offsets',
  when: 'A flat face of any outline, taken by distances left and right of a straight line: a saw cover, the side of a watering can, a shaped board.',
  specs,
  example: {
    measures: {
      stations: [
        { along: '0 mm', left: '45 mm', right: '110 mm' },
        { along: '70 mm', left: '66 mm', right: '124 mm' },
        { along: '150 mm', left: '50 mm', right: '152 mm' },
        { along: '220 mm', left: '35 mm', right: '95 mm' },
      ],
      edges: 'smooth',
    },
    shows:
      'The hinge stands 32.5 mm right of the base line at the bottom and 30 mm right of it at the top; between stations the edges swell by 9.5 mm at the most.',
  },
  check: (v) => [...problemsOf(v), ...openingProblems(v)],
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) => {
    const shown = v ?? standIn
    const face = develop(shown, say)
    const low = boundsOf(face.edges.map((edge) => edge.path)).low
    const bare = boundsOf(edgesOf(shown.stations, shown.edges === 'smooth').map((edge) => edge.path)).low
    return offsetsSketch(hungAt(face, hung), shown.stations, subtract(low, bare), v !== undefined, say)
  },
})
