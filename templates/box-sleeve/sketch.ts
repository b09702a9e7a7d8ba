import { point } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Picture, Words } from '../../src/picture/picture.ts'
import { drawSolid, leader, sleeveOn } from '../solid-sketch.ts'
import type { BoxValues } from './template.ts'

type Shown = Pick<BoxValues, 'length' | 'width' | 'height' | 'radius' | 'cover' | 'seam' | 'girth'>

/** What the diagram shows without values. */
export const standIn: BoxValues = {
  length: 300,
  width: 200,
  height: 150,
  radius: 25,
  girth: undefined,
  cover: 'all round',
  seam: 'middle of the back',
  overlap: undefined,
  middles: 'no',
  lid: 'no',
  base: 'no',
  openings: [],
  points: [],
}

const order = ['front', 'right', 'back', 'left']
const corners = ['front right', 'back right', 'back left', 'front left']

/** The way over the film, mm of the plan's outline from the left end of the front's flat stretch. */
function wayOver({ length, width, radius, cover, seam }: Shown): { from: number; to: number } {
  const flats = [length, width, length, width].map((side) => side - 2 * radius)
  const arc = (Math.PI / 2) * radius
  const before = (face: number) => flats.slice(0, face).reduce((sum, own) => sum + own + arc, 0)
  const whole = before(4)
  /** the middle of the corner at the left end of a face */
  const leftOf = (face: number) => before(face) - arc / 2
  if (cover !== 'all round') {
    const run = cover.split(' ')
    const first = order.indexOf(run[0] ?? '')
    const last = first + run.length
    return { from: leftOf(first), to: leftOf(last % 4) + (last >= 4 ? whole : 0) }
  }
  const corner = corners.indexOf(seam)
  const from = corner < 0 ? before(2) + (flats[2] ?? 0) / 2 : leftOf(corner + 1)
  return { from, to: from + whole }
}

/** The box with its measures, or with the letters of the fields; 150 mm wide. */
export function boxSketch(
  values: BoxValues | undefined,
  film: Development,
  hung: Stretch | undefined,
  say: Say,
): Picture {
  const shown = values ?? standIn
  const { length, width, height, radius } = shown
  const [w, d] = [length, width]
  const solid = drawSolid(
    { corners: [point(0, 0), point(w, 0), point(w, d), point(0, d)], radius, height },
    point(24, 16),
    point(80, 66),
  )
  const { at, round } = solid
  const text = (letter: string, name: string, mm: number) => (values ? say(mm) : `${letter}  ${name}`)
  const { from, to } = wayOver(shown)
  const full = shown.cover === 'all round'
  const [begin, end] = [at(round(from), height), at(round(to), height)]
  const roof = solid.high.y
  const items: (Drawn | Words)[] = [
    ...solid.items,
    ...sleeveOn(solid, { film, hung: hung ?? film.hinge, from, to, height }),
    ...dimension(at(point(0, 0), 0), at(point(w, 0), 0), -9, text('A', 'length', length), 4),
    ...dimension(at(point(w, 0), 0), at(point(w, d), 0), -9, text('B', 'width', width), 4),
    ...dimension(at(point(0, 0), 0), at(point(0, 0), height), 9, text('C', 'height', height), 4),
    ...leader(begin, point(begin.x + 3, roof + 6), full ? 'seam' : 'film begins'),
    ...(full ? [] : leader(end, point(end.x + 3, roof + 13), 'film ends')),
  ]
  const words = (letter: string, name: string, mm: number) => (values ? `${name} ${say(mm)}` : `${letter}  ${name}`)
  const aside = solid.high.x + 6
  if (!values || values.girth !== undefined) {
    const tape = at(point(w, d * 0.6), height / 2)
    items.push(...leader(tape, point(aside, Math.min(tape.y + 4, roof - 10)), words('G', 'girth', values?.girth ?? 0)))
  }
  if (!values || radius > 0) {
    const corner = at(point(w - radius * 0.29, d - radius * 0.29), height)
    items.push(...leader(corner, point(aside, roof), words('R', 'radius', radius)))
  }
  return { title: 'Where to measure', width: 150, height: roof + 22, items }
}
