import { lineTo, openPath, type Path, polyline } from '../geometry/path.ts'
import {
  add,
  between,
  direction,
  distance,
  leftOf,
  type Point,
  point,
  scaled,
  subtract,
  unit,
} from '../geometry/point.ts'
import type { Drawn, Words } from './picture.ts'
import { textWidth } from './text-width.ts'

const line = (from: Point, to: Point): Drawn => drawn(openPath(from, lineTo(to)))
const drawn = (path: Path): Drawn => ({ kind: 'drawn', path, style: 'dimension' })

/** Turn of words along `way` such that they read from below or from the right: above -pi/2, at most pi/2. */
function readableTurn(way: Point): number {
  const angle = Math.atan2(way.y, way.x)
  const slack = 1e-9
  if (angle > Math.PI / 2 + slack) return angle - Math.PI
  return angle <= -Math.PI / 2 + slack ? angle + Math.PI : angle
}

/** Slim head of two lines with its tip at `tip`, pointing along `way`. */
function arrowHead(tip: Point, way: Point, length: number): Drawn {
  const back = subtract(tip, scaled(way, length))
  const wing = scaled(leftOf(way), length / 6)
  return drawn(polyline([add(back, wing), tip, subtract(back, wing)]))
}

/**
 * A dimension line along a-b, `offset` mm to the left of a->b (negative: to the right), with extension lines, arrow
 * heads and `text` of `size` mm (> 0) above its middle. Where the text or the heads have no room between the
 * extension lines they go outside them. Two points in one place are measured along x.
 */
export function dimension(a: Point, b: Point, offset: number, text: string, size: number): (Drawn | Words)[] {
  const length = distance(a, b)
  const way = length > 0 ? unit(subtract(b, a)) : point(1, 0)
  const aside = scaled(leftOf(way), Math.sign(offset))
  const start = add(a, scaled(leftOf(way), offset))
  const end = add(b, scaled(leftOf(way), offset))
  const head = 0.9 * size
  const items: (Drawn | Words)[] = []

  const gap = 0.35 * size
  if (Math.abs(offset) > gap) {
    for (const [foot, top] of [
      [a, start],
      [b, end],
    ] as const) {
      items.push(line(add(foot, scaled(aside, gap)), add(top, scaled(aside, 0.4 * size))))
    }
  }

  const headsFit = length >= 3 * head
  const wide = textWidth(text, size)
  const textFits = wide + 0.8 * size <= length
  const turn = readableTurn(way)
  const reading = direction(turn)
  const last = reading.x * way.x + reading.y * way.y > 0 ? end : start
  const tail = headsFit ? 0 : 2 * head
  const textStart = Math.max(tail, 0.8 * size)
  const reachLast = textFits ? tail : textStart + wide
  const first = last === end ? start : end
  items.push(line(subtract(first, scaled(reading, tail)), add(last, scaled(reading, reachLast))))
  const inward = headsFit ? -1 : 1
  items.push(arrowHead(start, scaled(way, inward), head), arrowHead(end, scaled(way, -inward), head))

  const foot = textFits ? between(start, end, 0.5) : add(last, scaled(reading, textStart))
  const at = add(foot, scaled(leftOf(reading), 0.4 * size))
  items.push({ kind: 'words', at, text, size, anchor: textFits ? 'middle' : 'start', turn })
  return items
}
