import Flatbush from 'flatbush'
import { deviation } from '../geometry/deviation.ts'
import { type Boxed, boxGap } from './nearest-line.ts'

/** Two lines that are one and the same, by number. */
export interface Double {
  readonly first: number
  readonly again: number
}

/** Lines that lie on one before them, to within `near` mm, each with the first such. */
export function doubles(lines: readonly Boxed[], near: number): Double[] {
  if (lines.length < 2) return []
  const index = new Flatbush(lines.length)
  for (const { box } of lines) index.add(box.low.x, box.low.y)
  index.finish()
  return lines.flatMap((line, again) => {
    const { x, y } = line.box.low
    const first = index
      .search(x - near, y - near, x + near, y + near)
      .filter((other) => other < again)
      .sort((a, b) => a - b)
      .find((other) => {
        const own = lines[other]
        return own && boxGap(own.box, line.box) <= near && deviation(line.path, own.path).distance <= near
      })
    return first === undefined ? [] : [{ first, again }]
  })
}
