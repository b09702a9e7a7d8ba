import { roundedCorners } from '../src/geometry/edges.ts'
import { crossings } from '../src/geometry/intersect.ts'
import { add, distance, scaled, subtract, unit } from '../src/geometry/point.ts'
import type { Development } from '../src/panel/development.ts'
import type { Stretch } from '../src/panel/panel.ts'
import { outlineOf } from './flat-face.ts'

/** The face hung from another line: as far as the face itself goes, since film may stand past its edges. */
export function hungAt(face: Development, hung: Stretch | undefined): Development {
  if (!hung) return face
  const { from, to } = hung
  const way = unit(subtract(to, from))
  const outline = outlineOf(face.edges)
  const met = crossings(face.radii ? roundedCorners(outline, face.radii) : outline, from, way).map(({ reach }) => reach)
  const on = (reach: number) => add(from, scaled(way, reach))
  const hinge = { from: on(Math.max(0, ...met.slice(0, 1))), to: on(Math.min(distance(from, to), ...met.slice(-1))) }
  return { ...face, hinge }
}

/** Off the middle by less than this is in the middle, mm. */
const near = 0.01

/** Does a panel that is laid out about its upright middle hang there, and not where a job asks otherwise? */
export const hangsInMiddle = (hung: Stretch | undefined): boolean =>
  hung === undefined || (Math.abs(hung.from.x) < near && Math.abs(hung.to.x) < near)
