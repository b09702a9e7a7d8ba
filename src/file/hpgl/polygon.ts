import { lineTo, type Segment } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'

/** One ring of a polygon, plotter units; its last edge ends at its start. */
export interface Ring {
  readonly start: Point
  readonly edges: readonly Segment[]
  /** whether each edge was defined with the pen down */
  readonly drawn: readonly boolean[]
}

/** The polygon buffer: it grows while a polygon is defined, and is kept after. */
export interface Polygon {
  readonly rings: Ring[]
  /** the ring that is being defined; undefined where the next point begins one */
  open: { readonly start: Point; readonly edges: Segment[]; readonly drawn: boolean[] } | undefined
}

/** A polygon whose first vertex is `start`. */
export const polygonFrom = (start: Point): Polygon => ({ rings: [], open: { start, edges: [], drawn: [] } })

/** One ring, all of it drawn. */
export const ringOf = (start: Point, edges: readonly Segment[]): Ring => ({
  start,
  edges,
  drawn: edges.map(() => true),
})

/** Closes the open ring, with an edge of its own where its end is not its start; a single point is no ring. */
export function closeRing(polygon: Polygon, down: boolean): void {
  const { open } = polygon
  polygon.open = undefined
  const end = open?.edges.at(-1)?.to
  if (!open || !end) return
  if (end.x !== open.start.x || end.y !== open.start.y) {
    open.edges.push(lineTo(open.start))
    open.drawn.push(down)
  }
  polygon.rings.push(open)
}

/** A stretch of a ring that is drawn in one. */
export interface Stretch {
  readonly start: Point
  readonly edges: readonly Segment[]
}

/** The stretches of a ring that were defined with the pen down, in order. */
export function drawnStretches({ start, edges, drawn }: Ring): Stretch[] {
  const found: { start: Point; edges: Segment[] }[] = []
  let from = start
  let wasDrawn = false
  edges.forEach((edge, i) => {
    if (drawn[i]) {
      if (!wasDrawn) found.push({ start: from, edges: [] })
      found.at(-1)?.edges.push(edge)
    }
    wasDrawn = drawn[i] === true
    from = edge.to
  })
  return found
}
