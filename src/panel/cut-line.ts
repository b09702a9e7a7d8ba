import { crossings } from '../geometry/intersect.ts'
import { pathLength, pathPart } from '../geometry/length.ts'
import { closedPath, type Path, type Segment } from '../geometry/path.ts'
import type { Panel, Tick } from './panel.ts'
import { rootRadius } from './ticks.ts'

/** The closed line the blade follows round a panel: its outline, with notches let in where ticks are notches. */
export function cutLine({ outline, ticks }: Panel): Path {
  const notches = ticks
    .filter((tick) => tick.make === 'notch')
    .map((tick) => ({ tick, length: lengthOn(outline, tick) }))
    .sort((a, b) => a.length - b.length)
  if (notches.length === 0) return outline
  const segments: Segment[] = []
  let done = 0
  for (const { tick, length } of notches) {
    segments.push(...pathPart(outline, done, length - rootRadius).segments, ...tick.path.segments)
    done = length + rootRadius
  }
  segments.push(...pathPart(outline, done, pathLength(outline)).segments)
  const last = segments.pop()
  return closedPath(outline.start, last ? [...segments, { ...last, to: outline.start }] : [])
}

/** mm along the outline at which a tick stands. */
function lengthOn(outline: Path, tick: Tick): number {
  const met = crossings(outline, tick.at, tick.inward)
  const own = met.reduce(
    (best, c) => (Math.abs(c.reach) < Math.abs(best.reach) ? c : best),
    met[0] ?? { reach: 0, length: 0 },
  )
  return own.length
}
