import { toChord } from '../geometry/chord.ts'
import { flatten } from '../geometry/flatten.ts'
import type { Point } from '../geometry/point.ts'
import type { Problem } from '../measure/problem.ts'
import { isIn } from '../sheet/regions.ts'
import type { Sheet } from '../sheet/sheet.ts'
import { edgeOf } from '../sheet/stock.ts'
import type { Stroke } from './stroke.ts'

/** A cut on the very edge is on the film, mm. */
const onEdge = 1e-3

/** Strokes that leave the film, each told once with its place. A pen off the film draws on the table, so it counts too. */
export function strayStrokes(sheet: Sheet, strokes: readonly Stroke[]): Problem[] {
  const edge = edgeOf(sheet.stock, sheet.length)
  return strokes.flatMap(({ name, path }): Problem[] => {
    const points = flatten(path, 0.1)
    const line = path.closed ? [...points, ...points.slice(0, 1)] : points
    const off = line.find((p) => !isIn(edge, p) && away(edge, p) > onEdge)
    if (!off) return []
    const value = `at ${off.x.toFixed(1)}, ${off.y.toFixed(1)} mm of sheet ${sheet.number}`
    const limit = `there is no film of ${sheet.stock.name}`
    return [{ code: 'off_the_film', field: name, value, limit, cure: 'Give a wider margin, or move the piece.' }]
  })
}

/** mm from a point to the nearest edge of a ring. */
const away = (ring: readonly Point[], p: Point): number =>
  ring.reduce((least, b, i) => Math.min(least, toChord(p, ring.at(i - 1) ?? b, b)), Infinity)
