import { type Point, point } from '../../geometry/point.ts'
import { Refusal } from '../../measure/problem.ts'
import type { Paper } from './flow.ts'

/**
 * Sheets in exact mm: ISO 216 for A4 and A3, ANSI/ASME Y14.1 for Letter (8.5 x 11 in) and Tabloid (11 x 17 in),
 * 8.5 x 14 in for Legal.
 */
export const paperSizes: Readonly<Record<'A4' | 'A3' | 'Letter' | 'Legal' | 'Tabloid', Paper>> = {
  A4: { name: 'A4', width: 210, height: 297 },
  A3: { name: 'A3', width: 297, height: 420 },
  Letter: { name: 'Letter', width: 215.9, height: 279.4 },
  Legal: { name: 'Legal', width: 215.9, height: 355.6 },
  Tabloid: { name: 'Tabloid', width: 279.4, height: 431.8 },
}

/** Kept free at every edge of a tile's page, mm: printers leave up to about 7 mm blank. */
export const margin = 10
/** What two neighbouring tiles both show, mm. */
const overlap = 10
/** Strip at the foot of a tile's page, above the margin, for its label, mm. */
export const strip = 14

const leastWidth = 200
const leastHeight = 270

/** What one page shows, in the picture's own mm. Rows count from the top, columns from the left, both from 1. */
export interface Tile {
  readonly column: number
  readonly row: number
  readonly low: Point
  readonly high: Point
}

export interface TilePlan {
  readonly landscape: boolean
  readonly columns: number
  readonly rows: number
  readonly tiles: readonly Tile[]
}

const countFor = (length: number, window: number): number =>
  length <= window ? 1 : 1 + Math.ceil((length - window) / (window - overlap))

/** Pages that show a picture of `width` by `height` mm at true size, upright or lying, whichever takes fewer sheets. */
export function tilePlan(width: number, height: number, paper: Paper): TilePlan {
  const short = Math.min(paper.width, paper.height)
  const long = Math.max(paper.width, paper.height)
  if (!(short >= leastWidth && long >= leastHeight)) {
    throw new Refusal([
      {
        code: 'too_small',
        field: 'paper',
        value: `${paper.width} x ${paper.height} mm`,
        limit: `the least is ${leastWidth} x ${leastHeight} mm`,
        cure: 'Choose Letter, A4 or a bigger sheet.',
      },
    ])
  }
  const plans = [false, true].map((landscape) => {
    const window = {
      x: (landscape ? long : short) - 2 * margin,
      y: (landscape ? short : long) - 2 * margin - strip,
    }
    return { landscape, window, columns: countFor(width, window.x), rows: countFor(height, window.y) }
  })
  const best = plans.reduce((a, b) => (b.columns * b.rows < a.columns * a.rows ? b : a))
  const { landscape, window, columns, rows } = best
  const step = point(window.x - overlap, window.y - overlap)
  // the picture sits in the middle of all pages together
  const low = point((width - overlap - columns * step.x) / 2, (height - overlap - rows * step.y) / 2)
  const tiles = Array.from({ length: columns * rows }, (_, i): Tile => {
    const column = (i % columns) + 1
    const row = Math.floor(i / columns) + 1
    const corner = point(low.x + (column - 1) * step.x, low.y + (rows - row) * step.y)
    return { column, row, low: corner, high: point(corner.x + window.x, corner.y + window.y) }
  })
  return { landscape, columns, rows, tiles }
}

/** Centres of the joining crosses, in the picture's mm: two on each seam, in the middle of what both tiles show. */
export function joiningCrosses(plan: TilePlan): Point[] {
  const crosses: Point[] = []
  for (const { column, row, low, high } of plan.tiles) {
    for (const share of [0.25, 0.75]) {
      if (column < plan.columns) crosses.push(point(high.x - overlap / 2, low.y + (high.y - low.y) * share))
      if (row < plan.rows) crosses.push(point(low.x + (high.x - low.x) * share, low.y + overlap / 2))
    }
  }
  return crosses
}
