import { type Box, boundsOf } from '../geometry/bounds.ts'
import { type Deviation, deviation } from '../geometry/deviation.ts'
import type { Path } from '../geometry/path.ts'

/** A line with the box round it, so that lines far off need not be looked at. */
export interface Boxed {
  readonly path: Path
  readonly box: Box
}

export const boxed = (path: Path): Boxed => ({ path, box: boundsOf([path]) })

/** The most that a side of one box lies from the same side of the other, mm: lines are no nearer than their boxes. */
export function boxGap(a: Box, b: Box): number {
  return Math.max(
    Math.abs(a.low.x - b.low.x),
    Math.abs(a.low.y - b.low.y),
    Math.abs(a.high.x - b.high.x),
    Math.abs(a.high.y - b.high.y),
  )
}

/** How far `line` lies from the nearest of `others`, looked for from both; nothing when none comes within `reach` mm. */
export function nearestLine(line: Boxed, others: readonly Boxed[], reach = Infinity): Deviation | undefined {
  const near = others
    .map((other) => ({ other, gap: boxGap(line.box, other.box) }))
    .filter(({ gap }) => gap <= reach)
    .sort((a, b) => a.gap - b.gap)
  let best: Deviation | undefined
  for (const { other, gap } of near) {
    if (best && gap >= best.distance) break
    const found = deviation(line.path, other.path)
    if (found.distance <= reach && found.distance < (best?.distance ?? Infinity)) best = found
  }
  return best
}
