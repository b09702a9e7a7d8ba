import { arcTo, lineTo, openPath, type Path, polyline, rectangle } from '../../src/geometry/path.ts'
import { direction, point, scaled } from '../../src/geometry/point.ts'
import { following, type Matrix, scaling, transform, translation, turning } from '../../src/geometry/transform.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, LineStyle, Picture, Words } from '../../src/picture/picture.ts'
import { hangsInMiddle } from '../hung.ts'
import type { LetteringValues } from './template.ts'

type Items = (Drawn | Words)[]

const size = 4
const drawn = (path: Path, style: LineStyle): Drawn => ({ kind: 'drawn', path, style })
const line = (x: number, y: number, toX: number, toY: number, style: LineStyle): Drawn =>
  drawn(openPath(point(x, y), lineTo(point(toX, toY))), style)
const words = (x: number, y: number, text: string, anchor: Words['anchor'] = 'start'): Words => ({
  kind: 'words',
  at: point(x, y),
  text,
  size,
  anchor,
  turn: 0,
})

/** A letter of the stand-in word, 30 mm high: its outlines and its width, mm. */
interface Letter {
  readonly paths: readonly Path[]
  readonly width: number
}

const cap = 30
const stroke = 6
const corners = (...own: readonly (readonly [number, number])[]) =>
  polyline(
    own.map(([x, y]) => point(x, y)),
    true,
  )
const o: Letter = {
  width: 21,
  paths: [
    rectangle(point(0, 0), point(21, cap), [9, 9, 9, 9]),
    rectangle(point(stroke, stroke), point(21 - stroke, cap - stroke), [4, 4, 4, 4]),
  ],
}
const h: Letter = {
  width: 18,
  paths: [
    corners(
      [0, 0],
      [6, 0],
      [6, 12],
      [12, 12],
      [12, 0],
      [18, 0],
      [18, cap],
      [12, cap],
      [12, 18],
      [6, 18],
      [6, cap],
      [0, cap],
    ),
  ],
}
const e: Letter = {
  width: 18,
  paths: [
    corners(
      [0, 0],
      [18, 0],
      [18, 6],
      [6, 6],
      [6, 12],
      [15, 12],
      [15, 18],
      [6, 18],
      [6, 24],
      [18, 24],
      [18, cap],
      [0, cap],
    ),
  ],
}
const word = [h, o, e]
const plainGap = 6
const widthWith = (gap: number) => word.reduce((sum, { width }) => sum + width, gap * (word.length - 1))
const wordWidth = widthWith(plainGap)

/** The stand-in word; `place` says where a letter goes whose middle is `along` mm from the middle of the word. */
function letters(place: (along: number) => Matrix, gap = plainGap): Drawn[] {
  let from = -widthWith(gap) / 2
  return word.flatMap(({ paths, width }) => {
    const own = following(translation(-width / 2, 0), place(from + width / 2))
    from += width + gap
    return paths.map((path) => drawn(transform(path, own), 'object'))
  })
}

/** Letters in their border with every measure of it, or with the letters of the fields; 150 mm wide. */
export function letteringSketch(values: LetteringValues | undefined, say: Say, hung?: Stretch): Picture {
  const arcs = values ? (values.on === 'arc' ? [values.side] : []) : (['outside', 'inside'] as const)
  const hasBacking = !values || values.backing === 'panel'
  const second = arcs.length > 0 || hasBacking
  const foot = second ? 58 : 8
  const items: Items = [...inBorder(foot, values, hung, say)]
  for (const [i, side] of arcs.entries()) {
    items.push(...onArc(side, 26 + 50 * i, values?.radius === undefined ? 'R  radius' : say(values.radius)))
  }
  if (hasBacking) items.push(...onBacking(values ? say(values.backingMargin) : 'E  margin', hung))
  return { title: 'Where to measure', width: 150, height: foot + 77, items }
}

/** No more of the text than has room below the drawing. */
const shortened = (text: string): string => (text.length > 34 ? `${text.slice(0, 34)}…` : text)

/** The word in its border, hung from its middle unless asked otherwise, over `foot` mm. */
function inBorder(foot: number, values: LetteringValues | undefined, hung: Stretch | undefined, say: Say): Items {
  const middle = 62
  const [left, right] = [middle - wordWidth / 2, middle + wordWidth / 2]
  const base = foot + 21
  const margin = 11
  const [low, high] = [point(left - margin, base - margin), point(right + margin, base + cap + margin)]
  const spaceAt = right - e.width
  const caption = values?.text.trim() ?? ''
  return [
    ...letters((along) => translation(middle + along, base)),
    drawn(rectangle(low, high, [4, 4, 4, 4]), 'object'),
    line(low.x - 8, base, high.x + 3, base, 'bare'),
    ...(hangsInMiddle(hung)
      ? [
          line(middle, low.y, middle, high.y, 'hinge'),
          line(middle, low.y, middle, low.y + 6, 'tick'),
          line(middle, high.y, middle, high.y - 6, 'tick'),
          words(middle, low.y - 6, 'hinge: the middle of the text', 'middle'),
        ]
      : []),
    words(high.x + 4, base - 5.5, 'base line'),
    ...dimension(
      point(left, base),
      point(left, base + cap),
      19,
      values ? say(values.capHeight) : 'A  cap height',
      size,
    ),
    ...dimension(
      point(right, base + 3),
      point(high.x, base + 3),
      0,
      values ? `border ${say(values.border)}` : 'B  border',
      size,
    ),
    ...dimension(
      point(spaceAt - plainGap, base + cap),
      point(spaceAt, base + cap),
      margin + 5,
      values ? `spacing ${say(values.spacing)}` : 'S  spacing',
      size,
    ),
    line(high.x - 1, high.y - 1, high.x + 5, high.y - 7, 'dimension'),
    words(high.x + 6, high.y - 9, values ? `corner ${say(values.borderRadius)}` : 'C  corner'),
    ...(caption === '' ? [] : [words(75, foot - 3, `text: “${shortened(caption)}”`, 'middle')]),
  ]
}

/** The word standing on an arc, small. */
function onArc(side: 'outside' | 'inside', x: number, text: string): Items {
  const radius = 23
  const hand = side === 'outside' ? -1 : 1
  const centre = point(x, side === 'outside' ? 10 : 38)
  const small = 8 / cap
  const place = (along: number): Matrix => {
    const turn = (hand * along * small) / radius
    const at = scaled(direction(turn - (hand * Math.PI) / 2), radius)
    return following(scaling(small, small), turning(turn, point(centre.x + at.x, centre.y + at.y)))
  }
  const [from, to] = [point(centre.x - radius, centre.y), point(centre.x + radius, centre.y)]
  return [
    ...letters(place, 12),
    drawn(openPath(from, arcTo(to, hand * Math.PI)), 'bare'),
    line(centre.x - 1.5, centre.y - 1.5, centre.x + 1.5, centre.y + 1.5, 'dimension'),
    line(centre.x - 1.5, centre.y + 1.5, centre.x + 1.5, centre.y - 1.5, 'dimension'),
    ...dimension(from, centre, 0, text, size),
    words(centre.x, 2, `side: ${side}`, 'middle'),
  ]
}

/** The word in its border on its backing panel, small. */
function onBacking(text: string, hung: Stretch | undefined): Items {
  const middle = point(124, 33)
  const small = 8 / cap
  const half = (wordWidth * small) / 2
  const around = (by: number, r: number) =>
    rectangle(point(middle.x - half - by, middle.y - 4 - by), point(middle.x + half + by, middle.y + 4 + by), [
      r,
      r,
      r,
      r,
    ])
  const place = (along: number): Matrix =>
    following(scaling(small, small), translation(middle.x + along * small, middle.y - 4))
  const by = 10
  const edge = point(middle.x - half - by, middle.y - 4 - by)
  return [
    ...letters(place),
    drawn(around(3, 1), 'hidden'),
    drawn(around(by, 4), 'object'),
    ...(hangsInMiddle(hung) ? [line(middle.x, middle.y - 4 - by, middle.x, middle.y + 4 + by, 'hinge')] : []),
    ...dimension(point(edge.x, edge.y + by), point(edge.x + by, edge.y + by), -by - 7, text, size),
    words(middle.x, 2, 'backing: panel', 'middle'),
  ]
}
