import { boundsOf } from '../../src/geometry/bounds.ts'
import { arcTo, lineTo, openPath, type Path } from '../../src/geometry/path.ts'
import { add, type Point, point, scaled, subtract, unit } from '../../src/geometry/point.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { BareEdge, Development } from '../../src/panel/development.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { openingsFromBox } from '../closed-curve.ts'
import { flatSurface, spotsBeside, straightEdge } from '../flat-face.ts'
import { hungAt } from '../hung.ts'
import { openingProblems, placedOpenings } from '../openings.ts'
import { polygonSketch } from './sketch.ts'

const mostSides = 24

const specs = {
  sides: { kind: 'number', min: 3, max: mostSides, whole: true, help: 'how many sides, all alike' },
  side: {
    kind: 'length',
    min: 5,
    max: 10000,
    optional: true,
    letter: 'A',
    help: 'of one side, between where straight-edges along its neighbours meet it; or give acrossFlats',
  },
  acrossFlats: {
    kind: 'length',
    min: 10,
    max: 20000,
    optional: true,
    letter: 'B',
    help: 'from a side straight across to the opposite one; for an even number of sides, in place of side',
  },
  radius: { kind: 'length', min: 0, max: 10000, standard: 0, letter: 'R', help: 'rounding of the corners' },
  ...openingsFromBox,
} as const

export type PolygonValues = Values<typeof specs>

const standIn: PolygonValues = {
  sides: 6,
  side: 100,
  acrossFlats: undefined,
  radius: 18,
  openings: [],
  points: [],
}
/** The least straight part of a side between two roundings, mm (common practice, no source). */
const leastFlat = 1

const halfTurnOf = ({ sides }: PolygonValues) => Math.PI / sides

/** Length of a side, corner to square corner, mm; NaN where it was not given. */
function sideOf(v: PolygonValues): number {
  return v.side ?? (v.acrossFlats === undefined ? Number.NaN : v.acrossFlats * Math.tan(halfTurnOf(v)))
}

/** The bottom side, the one opposite where there is one, and the others by number counter-clockwise from the bottom. */
const nameOf = (i: number, sides: number) => (i === 0 ? 'bottom' : 2 * i === sides ? 'top' : `side ${i + 1}`)

/** All names that a side can have. */
const names = ['bottom', 'top', ...Array.from({ length: mostSides - 1 }, (_, i) => `side ${i + 2}`)]

/** n (a - 2 r tan(pi/n)) + 2 pi r: the straight parts, and corners that make one whole circle together. */
export function polygonGirth(sides: number, side: number, radius: number): number {
  return sides * (side - 2 * radius * Math.tan(Math.PI / sides)) + 2 * Math.PI * radius
}

/** The square corners, from the left end of the bottom side. */
function cornersOf(v: PolygonValues): Point[] {
  const half = halfTurnOf(v)
  const away = sideOf(v) / 2 / Math.sin(half)
  return Array.from({ length: v.sides }, (_, i) => {
    const angle = (2 * i - 1) * half
    return point(away * Math.sin(angle), 0 - away * Math.cos(angle))
  })
}

/**
 * A side with half the rounding at both of its ends. So the hinge of an odd number of sides, which ends in the middle
 * of a rounding, ends where two sides meet.
 */
function roundedSide(from: Point, to: Point, v: PolygonValues): Path {
  const { radius, sides } = v
  const side = sideOf(v)
  const half = Math.PI / sides
  const way = unit(subtract(to, from))
  const cut = scaled(way, radius * Math.tan(half))
  // From the middle of the face to the middle of a rounding, as a share of the way to the square corner.
  const share = 1 - (radius * (1 / Math.cos(half) - 1) * 2 * Math.sin(half)) / side
  return openPath(
    scaled(from, share),
    arcTo(add(from, cut), half),
    lineTo(subtract(to, cut)),
    arcTo(scaled(to, share), half),
  )
}

function develop(v: PolygonValues, say: Say): Development {
  const { sides, radius } = v
  const side = sideOf(v)
  const half = halfTurnOf(v)
  const apothem = side / 2 / Math.tan(half)
  const corner = side / 2 / Math.sin(half)
  const corners = cornersOf(v)
  const ownArcs = sides % 2 === 1 && radius > 0
  const edges = corners.map((from, i): BareEdge => {
    const to = corners[(i + 1) % sides] ?? from
    const name = nameOf(i, sides)
    return ownArcs ? { name, path: roundedSide(from, to, v) } : straightEdge(name, from, to)
  })
  const isEven = sides % 2 === 0
  const top = isEven ? apothem : corner - radius * (1 / Math.cos(half) - 1)
  const box = boundsOf(edges.map((edge) => edge.path))
  const hinge = { from: point(0, -apothem), to: point(0, top) }
  const girth = polygonGirth(sides, side, radius)
  return {
    edges,
    ...(ownArcs ? {} : { radii: edges.map(() => radius) }),
    ...placedOpenings(v, (along, up) => ({ at: point(box.low.x + along, box.low.y + up), turn: 0 })),
    hinge,
    surface: flatSurface,
    labelSpots: spotsBeside(edges, hinge),
    marks: [
      {
        code: 'hinge bottom',
        text: `Mark the object in the middle of its bottom side, ${say(side / 2 - radius * Math.tan(half))} from either end of its straight part.`,
      },
      {
        code: 'hinge top',
        text: `Mark the object ${say(girth / 2)} round its edge from the bottom mark, the same either way: ${isEven ? 'the middle of the opposite side' : 'the opposite corner'}.`,
      },
    ],
    notes: [`All the way round its edge it measures ${say(girth)}; a tape round it checks the other measures.`],
  }
}

const inMm = (mm: number) => `${Number(mm.toFixed(2))} mm`

function sizeProblems(v: PolygonValues): Problem[] {
  if (v.side === undefined && v.acrossFlats === undefined) {
    return [
      {
        code: 'missing',
        field: 'side',
        value: 'not given',
        limit: 'a polygon needs the length of a side or the distance across flats',
        cure: v.sides % 2 === 0 ? 'Measure one of the two; acrossFlats is the easier.' : 'Measure one side.',
      },
    ]
  }
  if (v.acrossFlats !== undefined && v.sides % 2 === 1) {
    return [
      {
        code: 'no_opposite_side',
        field: 'acrossFlats',
        value: inMm(v.acrossFlats),
        limit: `with ${v.sides} sides a corner stands opposite each side`,
        cure: 'Measure one side and give side in its place.',
      },
    ]
  }
  if (v.side !== undefined && v.acrossFlats !== undefined) {
    const across = v.side / Math.tan(halfTurnOf(v))
    return [
      {
        code: 'contradiction',
        field: 'side',
        value: `${inMm(v.side)}, which makes ${inMm(across)} across flats`,
        limit: `acrossFlats is ${inMm(v.acrossFlats)}, and one of the two is enough`,
        cure: 'Keep acrossFlats: it does not depend on where rounded corners begin.',
      },
    ]
  }
  const side = sideOf(v)
  const most = (side - leastFlat) / 2 / Math.tan(halfTurnOf(v))
  if (v.radius <= most) return []
  return [
    {
      code: 'radii_too_big',
      field: 'radius',
      value: inMm(v.radius),
      limit: `with ${v.sides} sides of ${inMm(side)} it is at most ${inMm(most)}, so that ${leastFlat} mm of each side stays straight`,
      cure: 'Measure the radius again; a face without straight sides is a disc.',
    },
  ]
}

export const roundedPolygon = defineTemplate({
  id: 'rounded-polygon',
  title: 'Rounded polygon',
  when: 'A flat face of equal sides and equal corners, sharp or rounded: the lid of a six-sided tin, an eight-sided sign, a square plate.',
  specs,
  edges: names,
  example: {
    measures: { sides: 6, acrossFlats: '170 mm', radius: '15 mm' },
    shows:
      'It measures 579.2 mm round its bare edge; with 1 mm on every side it is cut 172 mm across flats with corners of 16 mm.',
  },
  check: (v) => [...sizeProblems(v), ...openingProblems(v)],
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) =>
    polygonSketch(
      hungAt(develop(v ?? standIn, say), hung),
      cornersOf(v ?? standIn),
      v ?? standIn,
      v !== undefined,
      say,
    ),
})
