import { type Box, boundsOf } from '../geometry/bounds.ts'
import { polyline } from '../geometry/path.ts'
import { add, type Point, point, turned } from '../geometry/point.ts'
import { transform, translation } from '../geometry/transform.ts'
import type { Picture, Words } from './picture.ts'
import { textWidth } from './text-width.ts'

const starts = { start: 0, middle: -0.5, end: -1 } as const

/** The upright box round words, with room for what reaches below the baseline. */
export const wordsBox = (words: Words): Box => boundsOf([polyline(wordsCorners(words))])

/** The corners of the box that words take up. */
export function wordsCorners({ at, text, size, anchor, turn }: Words): Point[] {
  const left = starts[anchor] * textWidth(text, size)
  const right = left + textWidth(text, size)
  const corners = [point(left, -0.25 * size), point(right, -0.25 * size), point(right, size), point(left, size)]
  return corners.map((corner) => add(at, turned(corner, turn)))
}

/** The picture with its items moved, and its size set, so that all of them lie `margin` mm inside it. */
export function fitted(picture: Picture, margin: number): Picture {
  const paths = picture.items.map((item) => (item.kind === 'words' ? polyline(wordsCorners(item)) : item.path))
  const { low, high } = boundsOf(paths)
  const [x, y] = [margin - low.x, margin - low.y]
  return {
    ...picture,
    width: high.x - low.x + 2 * margin,
    height: high.y - low.y + 2 * margin,
    items: picture.items.map((item) =>
      item.kind === 'words'
        ? { ...item, at: add(item.at, point(x, y)) }
        : { ...item, path: transform(item.path, translation(x, y)) },
    ),
  }
}
