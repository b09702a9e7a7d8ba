import { crossings } from '../geometry/intersect.ts'
import { add, distance, leftOf, type Point, scaled, subtract, unit } from '../geometry/point.ts'
import type { Panel } from './panel.ts'
import type { Say } from './template.ts'

/** Height of a curved edge over the straight line between its corners, at a distance along that line, mm. */
export interface Ordinate {
  readonly along: number
  readonly height: number
}

/** Ordinates of an edge at even stations; positive to the left of the line from `a` to `b`. */
export function ordinates(edge: Panel['edges'][number], count: number): Ordinate[] {
  const a = edge.outline.start
  const b = edge.outline.segments.at(-1)?.to ?? a
  const way = unit(subtract(b, a))
  const chord = distance(a, b)
  return Array.from({ length: count - 1 }, (_, i) => {
    const along = (chord * (i + 1)) / count
    const foot = add(a, scaled(way, along))
    const met = crossings(edge.outline, foot, leftOf(way))
    const height = met.reduce((best, c) => (Math.abs(c.reach) < Math.abs(best) ? c.reach : best), Infinity)
    return { along, height: Number.isFinite(height) ? height : 0 }
  })
}

/** Steps to mark a panel out with tape and pencil on a scrap with no straight edge; diagonals prove it square. */
export function markOut(panel: Panel, say: Say): string[] {
  const corners = panel.edges.map((edge) => edge.outline.start)
  const [a, b, c, d] = corners as [Point, Point, Point, Point]
  const steps = [
    'On the film side, draw one straight line along a stretched thread. Put point A near its left end.',
    `Mark B on the line, ${say(distance(a, b))} from A.`,
    `C is ${say(distance(b, c))} from B and ${say(distance(a, c))} from A: swing both with tape or thread; C is where they cross.`,
    `D is ${say(distance(a, d))} from A and ${say(distance(b, d))} from B, on the same side.`,
    `Proof: C to D must be ${say(distance(c, d))}, and the diagonals A to C ${say(distance(a, c))} and B to D ${say(distance(b, d))}. Start again if they differ by more than 1 mm.`,
  ]
  for (const edge of panel.edges) {
    const list = ordinates(edge, 8).filter((o) => Math.abs(o.height) > 0.2)
    if (list.length === 0) continue
    const ends = { bottom: 'A to B', right: 'B to C', top: 'C to D', left: 'D to A' }[edge.name]
    const side = (list[0]?.height ?? 0) > 0 ? 'to the left' : 'to the right'
    const text = list.map((o) => `${say(o.along)}: ${say(Math.abs(o.height))}`).join('; ')
    steps.push(
      `The ${edge.name} edge bends: going from ${ends}, square ${side} of the line at ${text}. Join with a bent strip.`,
    )
  }
  for (const tick of panel.ticks) {
    const from = tick.edge === 'bottom' ? a : c
    const name = tick.edge === 'bottom' ? 'A' : 'C'
    steps.push(
      `${tick.role === 'hinge' ? 'Hinge' : 'Seam'} tick on the ${tick.edge} edge: ${say(distance(from, tick.at))} straight from ${name}.`,
    )
  }
  return steps
}
