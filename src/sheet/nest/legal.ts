import { notBed } from './beds.ts'
import { touches } from './overlap.ts'
import type { NestProblem, NestState, Ring } from './problem.ts'
import { ringBounds } from './rings.ts'
import { type Laid, type Shape, shapeOf, turnedBy } from './shape.ts'

/** How far along x an outline reaches when it is turned by `angle` about its origin, mm. */
export function reachOf(ring: Ring, angle: number): number {
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  let most = -Infinity
  for (const { x, y } of ring) most = Math.max(most, x * c - y * s)
  return most
}

interface Lying {
  readonly laid: Laid
  readonly x: number
  readonly y: number
  readonly isFixed: boolean
}

/** What a layout is checked against, made once for a problem. */
export interface Rules {
  readonly shapes: readonly Shape[]
  readonly obstacles: readonly (readonly Laid[])[]
  readonly turned: Map<Shape, Map<number, Laid>>
}

export const rulesOf = (problem: NestProblem, shapes: readonly Shape[]): Rules => ({
  shapes,
  obstacles: problem.beds.map((bed) => notBed(bed).map((region) => shapeOf(region, [0]).exact)),
  turned: new Map(),
})

/** Outlines reach past a bed's box by no more than this, mm, beyond the hair they are drawn in by. */
const boxSlack = 1e-7

/**
 * Does no piece overlap another, or reach past its bed, by more than two hairs? Checked with the true outlines. What pinned
 * pieces do among themselves is not asked.
 */
export function isLegal({ pieces, beds }: NestProblem, state: NestState, rules: Rules): boolean {
  return beds.every(({ region }, b) => {
    const box = ringBounds(region.outer)
    const lying: Lying[] = []
    for (const [i, place] of state.places.entries()) {
      if (place?.bed !== b) continue
      lying.push({
        laid: exactAt(rules, i, place.angle),
        x: place.x,
        y: place.y,
        isFixed: pieces[i]?.pinned !== undefined,
      })
    }
    const fits = lying.every(
      ({ laid, x, y, isFixed }) =>
        isFixed ||
        (x + laid.lowX >= box.lowX - boxSlack &&
          x + laid.highX <= box.highX + boxSlack &&
          y + laid.lowY >= box.lowY - boxSlack &&
          y + laid.highY <= box.highY + boxSlack),
    )
    if (!fits) return false
    for (const laid of rules.obstacles[b] ?? []) lying.push({ laid, x: 0, y: 0, isFixed: true })
    return areApart(lying)
  })
}

function exactAt({ shapes, turned }: Rules, i: number, angle: number): Laid {
  const shape = shapes[i] as Shape
  if (shape.isFree) return turnedBy(shape.exact, angle)
  const known = turned.get(shape) ?? new Map<number, Laid>()
  turned.set(shape, known)
  const laid = known.get(angle) ?? turnedBy(shape.exact, angle)
  known.set(angle, laid)
  return laid
}

function areApart(lying: Lying[]): boolean {
  lying.sort((a, b) => a.x + a.laid.lowX - b.x - b.laid.lowX)
  for (let p = 0; p < lying.length; p++) {
    const a = lying[p] as Lying
    const right = a.x + a.laid.highX
    for (let q = p + 1; q < lying.length; q++) {
      const b = lying[q] as Lying
      if (b.x + b.laid.lowX > right) break
      if (a.isFixed && b.isFixed) continue
      if (touches(a.laid, a.x - b.x, a.y - b.y, b.laid)) return false
    }
  }
  return true
}
