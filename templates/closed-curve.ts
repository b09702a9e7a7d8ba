import { boundsOf, boxHeight, boxWidth } from '../src/geometry/bounds.ts'
import { pathLength } from '../src/geometry/length.ts'
import { endOf, type Path, type Segment } from '../src/geometry/path.ts'
import { type Point, point } from '../src/geometry/point.ts'
import type { BareEdge, Development } from '../src/panel/development.ts'
import type { Say } from '../src/panel/template.ts'
import { flatSurface, openingsFrom, outlineOf } from './flat-face.ts'
import { type OpeningValues, placedOpenings } from './openings.ts'

/** Opening fields of a face without straight sides. */
export const openingsFromBox = openingsFrom(
  'from an upright straight-edge that touches the face on the left, level',
  'from a level straight-edge that touches the face below',
)

/** How the two edges of a closed curve are called. */
export const halfNames = ['bottom', 'top'] as const

const opposite = ({ x, y }: Point): Point => ({ x: 0 - x, y: 0 - y })

/** Turned by half a turn about the origin, without rounding. */
function turnedHalf(segment: Segment): Segment {
  const to = opposite(segment.to)
  return segment.kind === 'cubic'
    ? { ...segment, c1: opposite(segment.c1), c2: opposite(segment.c2), to }
    : { ...segment, to }
}

/**
 * A closed curve that half a turn about the origin brings back onto itself, from its lower half: left to right below,
 * its ends opposite each other about the origin.
 */
export function twoHalves(lower: Path): [BareEdge, BareEdge] {
  const top: Path = { start: endOf(lower), segments: lower.segments.map(turnedHalf), closed: false }
  return [
    { name: 'bottom', path: lower },
    { name: 'top', path: top },
  ]
}

/**
 * A flat face within a closed curve about the origin, hung from the upright line through its middle. `girth` is the
 * length of its edge, mm; `mark` says how the foot of the hinge is found on the object.
 */
export function roundFace(
  edges: readonly BareEdge[],
  face: { readonly mark: string; readonly girth?: number; readonly openings: OpeningValues },
  say: Say,
): Development {
  const outline = outlineOf(edges)
  const box = boundsOf([outline])
  const girth = face.girth ?? pathLength(outline)
  const spots = [
    point(0.45, 0.3),
    point(-0.45, 0.3),
    point(0.45, -0.3),
    point(-0.45, -0.3),
    point(0.6, 0),
    point(-0.6, 0),
  ]
  return {
    edges,
    ...placedOpenings(face.openings, (along, up) => ({ at: point(box.low.x + along, box.low.y + up), turn: 0 })),
    hinge: { from: point(0, box.low.y), to: point(0, box.high.y) },
    surface: flatSurface,
    labelSpots: spots.map(({ x, y }) => ({
      at: point((x * boxWidth(box)) / 2, (y * boxHeight(box)) / 2),
      turn: 0,
    })),
    marks: [
      { code: 'hinge bottom', text: face.mark },
      {
        code: 'hinge top',
        text: `Mark the object ${say(girth / 2)} round its edge from the bottom mark, the same either way; straight across that is ${say(boxHeight(box))}.`,
      },
    ],
    notes: [`All the way round its edge it measures ${say(girth)}; a tape round it checks the other measures.`],
  }
}
