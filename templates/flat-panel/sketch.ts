import { lineTo, openPath, rectangle } from '../../src/geometry/path.ts'
import { add, type Point, point, scaled, subtract, unit } from '../../src/geometry/point.ts'
import { following, mapPoint, scaling, transform, translation } from '../../src/geometry/transform.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Picture, Words } from '../../src/picture/picture.ts'
import { rectangularFace } from '../flat-face.ts'
import { hungAt } from '../hung.ts'
import { placedOpenings } from '../openings.ts'
import type { FlatValues } from './template.ts'

const standIn: FlatValues = {
  width: 320,
  height: 180,
  radius: { bottomLeft: 20, bottomRight: 20, topRight: 20, topLeft: 20 },
  openings: [
    {
      shape: 'rectangular',
      diameter: undefined,
      width: 70,
      height: 40,
      radius: 6,
      fromLeft: 200,
      fromBottom: 30,
    },
  ],
  points: [],
}

/** The flat face with its measures, or with the letters of the fields; 150 mm wide. */
export function flatSketch(values: FlatValues | undefined, hung: Stretch | undefined, say: Say): Picture {
  const shown = values ?? standIn
  const scale = Math.min(100 / shown.width, 62 / shown.height)
  const [w, h] = [shown.width * scale, shown.height * scale]
  const low = point((150 - w) / 2 - 4, 12)
  const place = following(scaling(scale, scale), translation(low.x, low.y))
  const { bottomLeft, bottomRight, topRight, topLeft } = shown.radius
  const radii = [bottomLeft, bottomRight, topRight, topLeft] as const
  const [middle, own] = [point(shown.width / 2, shown.height / 2), rectangularFace(shown.width, shown.height, radii)]
  const { hinge } = hungAt({ ...own, holes: [], marks: [], notes: [] }, hung)
  const [foot, head] = [hinge.from, hinge.to].map((p) => mapPoint(place, add(p, middle))) as [Point, Point]
  const face = rectangle(point(0, 0), point(shown.width, shown.height), radii)
  const items: (Drawn | Words)[] = [
    { kind: 'drawn', style: 'object', path: transform(face, place) },
    ...placedOpenings(shown, (x, y) => ({ at: point(x, y), turn: 0 })).holes.map(
      ({ path }): Drawn => ({ kind: 'drawn', style: 'object', part: 'opening', path: transform(path, place) }),
    ),
    {
      kind: 'drawn',
      style: 'hinge',
      part: 'hinge',
      path: openPath(foot, lineTo(head)),
    },
    ...dimension(point(low.x, low.y + h), point(low.x + w, low.y + h), 8, values ? say(shown.width) : 'A  width', 4),
    ...dimension(point(low.x + w, low.y), point(low.x + w, low.y + h), -8, values ? say(shown.height) : 'B  height', 4),
  ]
  const inward = scaled(unit(subtract(head, foot)), 6)
  for (const path of [openPath(foot, lineTo(add(foot, inward))), openPath(head, lineTo(subtract(head, inward)))]) {
    items.push({ kind: 'drawn', style: 'tick', part: 'mark', path })
  }
  const first = shown.openings[0]
  if (!values && first) {
    const near = low.x + first.fromLeft * scale
    const y = low.y + (first.fromBottom + 20) * scale
    items.push(...dimension(point(low.x, y), point(near, y), 0, 'fromLeft', 3.5))
    const x = near + 20 * scale
    items.push(...dimension(point(x, low.y), point(x, low.y + first.fromBottom * scale), 0, '', 3.5))
    items.push({ kind: 'words', at: point(x + 2, low.y + 3), text: 'fromBottom', size: 3.5, anchor: 'start', turn: 0 })
    items.push({
      kind: 'words',
      at: point(low.x - 3, low.y - 6),
      text: 'R  radius of each corner',
      size: 4,
      anchor: 'start',
      turn: 0,
    })
  }
  return { title: 'Where to measure', width: 150, height: h + 36, items }
}
