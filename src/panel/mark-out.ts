import { boundsOf } from '../geometry/bounds.ts'
import { endOf, type Path } from '../geometry/path.ts'
import { distance } from '../geometry/point.ts'
import { handLines, longestThread } from './hand-lines.ts'
import { byPoints, byRound } from './mark-out-points.ts'
import { bySwinging, swungFrom } from './mark-out-swung.ts'
import type { MarkOut } from './mark-out-words.ts'
import type { Panel } from './panel.ts'
import type { Say } from './template.ts'

/**
 * How to mark a panel out with tape and pencil on a scrap with no straight edge. Whoever follows the figures gets the
 * edge within 0.3 mm and what their rounding makes of it, and measures at the end that show a mistake.
 */
export function markOut(panel: Panel, say: Say): MarkOut {
  const { low, high } = boundsOf([panel.outline])
  // Where so long a panel lies there is room for as long a thread.
  const thread = Math.max(longestThread, distance(low, high))
  const swung = swungFrom(panel, thread)
  if (swung) return bySwinging(swung, say)
  const round = handLines(plainOutline(panel), thread)
  const [only] = round
  return only?.kind === 'arc' && round.length === 1 ? byRound(panel, only, say) : byPoints(panel, round, say)
}

/** The edges from sharp corner to sharp corner as one closed path, before openings are bitten out of it. */
function plainOutline({ edges }: Panel): Path {
  const segments = edges.flatMap(({ outline }, i) => {
    const next = (edges[(i + 1) % edges.length] as Panel['edges'][number]).outline.start
    const isStep = distance(endOf(outline), next) > 1e-9
    return isStep ? [...outline.segments, { kind: 'line', to: next } as const] : outline.segments
  })
  return { start: (edges[0] as Panel['edges'][number]).outline.start, segments, closed: true }
}
