import type { BoxPlace, BoxTurn } from './boxes.ts'
import { type Field, type Plot, put } from './field.ts'
import { hair } from './hair.ts'
import type { NestState } from './problem.ts'
import type { Search } from './search.ts'
import type { Laid } from './shape.ts'

interface BoxLaid {
  readonly way: BoxTurn
  readonly laid: Laid
}

/** Each piece's ways to lie where all of them are upright boxes on one strip of film; else undefined. */
export function boxesOf({ problem, field }: Search, best: NestState): BoxLaid[][] | undefined {
  const [bed] = problem.beds
  const isPlain = problem.beds.length === 1 && bed?.paid === 'length' && field.count === field.free
  if (!isPlain || best.places.some((place) => !place)) return undefined
  const all: BoxLaid[][] = []
  for (const shape of field.shapes) {
    const ways = shape.laid.map((laid) => ({
      way: { across: laid.highY - laid.lowY + 2 * hair, along: laid.highX - laid.lowX + 2 * hair },
      laid,
    }))
    if (shape.isFree || ways.some(({ way }) => shape.area < way.across * way.along * (1 - 1e-9))) return undefined
    all.push(
      ways.filter(({ way }, k) => ways.findIndex((other) => Math.abs(other.way.across - way.across) < 1e-9) === k),
    )
  }
  return all
}

export const stripWidth = ({ plots }: Field): number => (plots[0] as Plot).highY - (plots[0] as Plot).lowY

export function putBoxes(field: Field, boxes: readonly (readonly BoxLaid[])[], places: readonly BoxPlace[]): void {
  const plot = field.plots[0] as Plot
  for (const [i, { turn, x, y }] of places.entries()) {
    const box = boxes[i]?.[turn]
    if (box) put(field, i, box.laid, plot.lowX + x + hair - box.laid.lowX, plot.lowY + y + hair - box.laid.lowY, 0)
  }
}
