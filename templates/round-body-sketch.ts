import { cubicTo, endOf, lineTo, openPath, type Path, polyline } from '../src/geometry/path.ts'
import { type Point, point } from '../src/geometry/point.ts'
import type { Stretch } from '../src/panel/panel.ts'
import type { Drawn, LineStyle, Words } from '../src/picture/picture.ts'
import { textWidth } from '../src/picture/text-width.ts'
import { hangsInMiddle } from './hung.ts'
import type { Stack } from './stacked-bands.ts'

/** Height of letters in a sketch, mm. */
export const lettering = 4

/** A place on the side of a body of revolution, in the object's mm: distance from the axis and height. */
export interface SidePoint {
  readonly r: number
  readonly z: number
}

/** The part of the picture that the body fills, mm. */
export interface Frame {
  readonly low: Point
  readonly high: Point
}

/** How a body of revolution, seen from a little above, comes to lie in the picture. */
export interface BodyView {
  readonly middle: number
  readonly x: (r: number) => number
  readonly y: (z: number) => number
  /** how far a level circle of radius `r` dips in front of its middle, mm of the picture */
  readonly dip: (r: number) => number
}

/** Depth of a level circle as drawn, over its width: seen from 10 degrees above. */
const tilt = 0.17

/** The largest view of a side that stays inside the frame, dips among it. */
export function bodyView(side: readonly SidePoint[], { low, high }: Frame): BodyView {
  const widest = Math.max(...side.map(({ r }) => r))
  const [foot, head] = [Math.min(...side.map(({ z }) => z)), Math.max(...side.map(({ z }) => z))]
  const scale = Math.min((high.x - low.x) / (2 * widest), (high.y - low.y) / (head - foot + 2 * tilt * widest))
  const middle = (low.x + high.x) / 2
  const base = low.y + tilt * widest * scale
  return {
    middle,
    x: (r) => middle + r * scale,
    y: (z) => base + (z - foot) * scale,
    dip: (r) => r * scale * tilt,
  }
}

/** Front or back half of a level circle, from left to right, as two cubics (0.5523: Mortensen). */
export function levelHalf({ middle, x, y, dip }: BodyView, { r, z }: SidePoint, half: 'front' | 'back'): Path {
  const k = 0.5523
  const a = x(r) - middle
  const d = half === 'front' ? -dip(r) : dip(r)
  const at = (u: number, v: number) => point(middle + a * u, y(z) + d * v)
  return openPath(at(-1, 0), cubicTo(at(-1, k), at(-k, 1), at(0, 1)), cubicTo(at(k, 1), at(1, k), at(1, 0)))
}

/** Left and right outline of the body through the points of its side. */
export function silhouettes(view: BodyView, side: readonly SidePoint[]): Path[] {
  return [-1, 1].map((hand) => polyline(side.map(({ r, z }) => point(view.x(hand * r), view.y(z)))))
}

/** The line up the front of the body at `turn` radians to the right of the middle. */
export function upFront(view: BodyView, side: readonly SidePoint[], turn: number): Path {
  return polyline(side.map(({ r, z }) => point(view.x(r * Math.sin(turn)), view.y(z) - view.dip(r) * Math.cos(turn))))
}

export const drawn = (style: LineStyle, ...paths: readonly Path[]): Drawn[] =>
  paths.map((path) => ({ kind: 'drawn', path, style }))

/** The hinge up the side of the body, at the front unless `turn` says otherwise, with a mark at each end. */
export function hingeUpSide(view: BodyView, side: readonly SidePoint[], turn = 0): Drawn[] {
  const line = upFront(view, side, turn)
  const [from, to] = [line.start, endOf(line)]
  const long = Math.min(5, Math.abs(to.y - from.y) / 3)
  const shows = Math.cos(turn) > 0
  const marked = (at: Point, up: number): Drawn => ({
    kind: 'drawn',
    style: shows ? 'tick' : 'hidden',
    part: 'mark',
    path: openPath(at, lineTo(point(at.x, at.y + up))),
  })
  return [
    { kind: 'drawn', style: shows ? 'hinge' : 'hidden', part: 'hinge', path: line },
    marked(from, long),
    marked(to, -long),
  ]
}

/** The hinge of the lowest band is shown this far round from the front, so that what lies opposite shows beside it. */
const stackAt = -0.5

/**
 * The hinge and the closing seam of each of a stack of bands, opposite each other; `seams` as the stack has them, the
 * seam of the lowest behind. A hinge that a job asks for elsewhere is left to the marks.
 * @param levels of the edges between bands, from the lowest up
 */
export function stackUpSide(
  view: BodyView,
  side: readonly SidePoint[],
  levels: readonly SidePoint[],
  seams: Stack['seams'],
  hung: Stretch | undefined,
): Drawn[] {
  return levels.slice(1).flatMap((high, i) => {
    const low = levels[i] ?? high
    const own = [low, ...side.filter(({ z }) => z > low.z + 1e-9 && z < high.z - 1e-9), high]
    const isTurned = seams === 'half round' && i % 2 === 1
    const [hinge, seam] = isTurned ? [stackAt + Math.PI, stackAt] : [stackAt, stackAt + Math.PI]
    return [
      {
        kind: 'drawn',
        style: isTurned ? 'object' : 'hidden',
        part: 'left edge',
        path: upFront(view, own, seam),
      } as const,
      ...(hangsInMiddle(hung) ? hingeUpSide(view, own, hinge) : []),
    ]
  })
}

export function words(text: string, at: Point, anchor: Words['anchor'] = 'start'): Words {
  return { kind: 'words', at, text, size: lettering, anchor, turn: 0 }
}

/** A text to the right of the body, led to the place it speaks of. */
export interface Callout {
  readonly text: string
  readonly to: Point
}

/**
 * Texts one below the other from `x` on, as near to the height of their places as they can stand 6 mm apart between
 * `low` and `high`, each with a line to its place. Those that come lowest first.
 */
export function callouts(list: readonly Callout[], x: number, low: number, high: number): (Drawn | Words)[] {
  const apart = 6
  const heights: number[] = []
  for (const { to } of list) heights.push(Math.max(to.y - lettering / 3, (heights.at(-1) ?? low - apart) + apart))
  for (let i = list.length - 1; i >= 0; i--) {
    const ceiling = (heights[i + 1] ?? high + apart) - apart
    heights[i] = Math.min(heights[i] ?? ceiling, ceiling)
  }
  return list.flatMap(({ text, to }, i) => {
    const y = heights[i] ?? to.y
    const near = point(x - 1.5, y + lettering / 3)
    return [...drawn('dimension', polyline([to, point(x - 6, near.y), near])), words(text, point(x, y))]
  })
}

/** Does the text fit between `x` and the right edge of a picture 150 mm wide? */
export const fits = (text: string, x: number): boolean => x + textWidth(text, lettering) <= 149
