import { between, direction, point, scaled } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Picture, Words } from '../../src/picture/picture.ts'
import { drawSolid, leader, sleeveOn } from '../solid-sketch.ts'
import { type PrismValues, sharpSide } from './template.ts'

/** What the diagram shows without values. */
export const standIn: PrismValues = {
  sides: 6,
  side: 40,
  acrossFlats: undefined,
  height: 60,
  radius: 4,
  girth: undefined,
  covered: undefined,
  seam: 'corner',
  overlap: undefined,
  middles: 'no',
  openings: [],
  points: [],
}

/** The object with its measures, or with the letters of the fields; 150 mm wide. */
export function prismSketch(
  values: PrismValues | undefined,
  film: Development,
  hung: Stretch | undefined,
  say: Say,
): Picture {
  const shown = values ?? standIn
  const { sides, height, radius } = shown
  const side = sharpSide(shown)
  const out = side / (2 * Math.sin(Math.PI / sides))
  const first = -Math.PI / 2 - Math.PI / sides
  const corners = Array.from({ length: sides }, (_, i) => scaled(direction(first + (2 * Math.PI * i) / sides), out))
  const solid = drawSolid({ corners, radius, height }, point(24, 16), point(74, 68))
  const { at, round } = solid
  const [a, b] = [corners[0] ?? point(0, 0), corners[1] ?? point(0, 0)]
  const roof = solid.high.y

  const arc = (2 * Math.PI * radius) / sides
  const step = side - 2 * radius * Math.tan(Math.PI / sides) + arc
  // The seam stands behind, so that the hinge comes to the front; a part wrap begins at the front's left corner.
  const behind = Math.floor(sides / 2)
  const from =
    shown.covered !== undefined
      ? -arc / 2
      : shown.seam === 'corner'
        ? behind * step - arc / 2
        : behind * step + (step - arc) / 2
  const to = from + (shown.covered ?? sides) * step
  const [begin, end] = [at(round(from), height), at(round(to), height)]
  const part = shown.covered !== undefined
  const text = (letter: string, name: string, mm: number) => (values ? say(mm) : `${letter}  ${name}`)

  const words = (letter: string, name: string, mm: number) => (values ? `${name} ${say(mm)}` : `${letter}  ${name}`)

  const items: (Drawn | Words)[] = [
    ...solid.items,
    ...sleeveOn(solid, { film, hung: hung ?? film.hinge, from, to, height }),
    ...dimension(
      point(solid.low.x, at(a, 0).y),
      point(solid.low.x, at(a, height).y),
      7,
      text('B', 'height', height),
      4,
    ),
    ...leader(begin, point(begin.x + 3, roof + 6), part ? 'film begins' : 'seam'),
    ...(part ? leader(end, point(end.x + 3, roof + 13), 'film ends') : []),
  ]
  if (!values || values.side !== undefined) {
    items.push(...dimension(at(a, 0), at(b, 0), -8, text('A', 'side', side), 4))
  }
  if (!values || values.acrossFlats !== undefined) {
    const opposite = corners[sides / 2] ?? a
    const next = corners[sides / 2 + 1] ?? b
    const [near, far] = [at(between(a, b, 0.5), height), at(between(opposite, next, 0.5), height)]
    items.push(...dimension(near, far, 0, '', 4))
    items.push(
      ...leader(
        between(near, far, 0.5),
        point(solid.high.x + 6, roof - 1),
        words('D', 'across flats', values?.acrossFlats ?? 0),
      ),
    )
  }
  if (!values || values.girth !== undefined) {
    const tape = at(between(b, corners[2] ?? b, 0.7), height / 2)
    items.push(...leader(tape, point(solid.high.x + 6, tape.y - 3), words('G', 'girth', values?.girth ?? 0)))
  }
  if (!values || radius > 0) {
    const corner = at(b, 0)
    items.push(
      ...leader(point(corner.x, corner.y + 3), point(solid.high.x + 6, corner.y + 2), words('R', 'radius', radius)),
    )
  }
  return { title: 'Where to measure', width: 150, height: roof + 22, items }
}
