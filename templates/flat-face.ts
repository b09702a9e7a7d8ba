import { boundsOf } from '../src/geometry/bounds.ts'
import { pathLength, stationAt } from '../src/geometry/length.ts'
import { closedPath, lineTo, openPath, type Path } from '../src/geometry/path.ts'
import { between, type Point, point } from '../src/geometry/point.ts'
import type { BareEdge, Development } from '../src/panel/development.ts'
import type { Surface } from '../src/panel/surface.ts'
import { openingSpecs } from './openings.ts'

export const flatSurface: Surface = { kind: 'flat', taper: 0 }

/** The opening fields of a face whose left and bottom are told otherwise; `from` words end the help of each distance. */
export function openingsFrom(left: string, bottom: string) {
  const { openings, points } = openingSpecs
  const { fromLeft, fromBottom } = openings.item
  return {
    openings: {
      ...openings,
      item: {
        ...openings.item,
        fromLeft: { ...fromLeft, help: `to the middle of the left side of the opening, ${left}` },
        fromBottom: { ...fromBottom, help: `to the middle of the lower side of the opening, ${bottom}` },
      },
    },
    points: {
      ...points,
      item: {
        fromLeft: { ...points.item.fromLeft, help: left },
        fromBottom: { ...points.item.fromBottom, help: bottom },
      },
    },
  }
}

/** A straight edge. */
export const straightEdge = (name: string, from: Point, to: Point): BareEdge => ({
  name,
  path: openPath(from, lineTo(to)),
})

/** The bare outline of a face, corners square. */
export function outlineOf(edges: readonly BareEdge[]): Path {
  const [first] = edges
  if (!first) throw new RangeError('a face without edges')
  return closedPath(
    first.path.start,
    edges.flatMap((edge) => edge.path.segments),
  )
}

/** Places for a label on both sides of a hinge, from `half` the way to the edges outward, highest first. */
export function spotsBeside(edges: readonly BareEdge[], hinge: Development['hinge']): Development['labelSpots'] {
  const { low, high } = boundsOf(edges.map((edge) => edge.path))
  return [0.75, 0.25, 0.6, 0.4].flatMap((up) => {
    const on = between(hinge.from, hinge.to, up)
    return [between(on, point(high.x, on.y), 0.5), between(on, point(low.x, on.y), 0.5)].map((at) => ({ at, turn: 0 }))
  })
}

/** The middle of an edge, by length along it. */
export const middleOf = (path: Path): Point => stationAt(path, pathLength(path) / 2).at

/** A face with square corners about its own middle, its hinge upright, from its size and the radii of its corners, mm. */
export function rectangularFace(
  width: number,
  height: number,
  radii: readonly number[],
): Pick<Development, 'edges' | 'radii' | 'hinge' | 'surface' | 'labelSpots'> {
  const [w, h] = [width / 2, height / 2]
  const [a, b, c, d] = [point(-w, -h), point(w, -h), point(w, h), point(-w, h)] as const
  const shares = [
    [0.5, 0.5],
    [-0.5, 0.5],
    [0.5, -0.5],
    [-0.5, -0.5],
    [0.5, 0],
    [-0.5, 0],
  ] as const
  return {
    edges: [
      straightEdge('bottom', a, b),
      straightEdge('right', b, c),
      straightEdge('top', c, d),
      straightEdge('left', d, a),
    ],
    radii,
    hinge: { from: point(0, -h), to: point(0, h) },
    surface: flatSurface,
    labelSpots: shares.map(([x, y]) => ({ at: point(x * w, y * h), turn: 0 })),
  }
}
