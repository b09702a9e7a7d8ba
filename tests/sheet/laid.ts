import { boundsOf } from '../../src/geometry/bounds.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { polyline } from '../../src/geometry/path.ts'
import type { Point } from '../../src/geometry/point.ts'
import { difference, intersection, offsetRings, type Rings, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { transform } from '../../src/geometry/transform.ts'
import { cutLine } from '../../src/panel/cut-line.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { type Laid, layOut } from '../../src/sheet/lay-out.ts'
import type { Piece, Pin, Placed, Sheet } from '../../src/sheet/sheet.ts'
import { edgeOf, type Stock } from '../../src/sheet/stock.ts'

/** A roll without margin of its own beside what a test says. */
export const roll: Stock = {
  name: 'roll',
  kind: 'roll',
  width: 600,
  length: 25000,
  margin: 10,
  badSpots: [],
  turn: 'none',
  count: 1,
  shelved: false,
}

export const copiesOf = (panel: Panel, copies: number): Piece[] =>
  Array.from({ length: copies }, (_, i) => ({ panel, copy: i + 1, copies }))

/** Pieces at places given by hand, from the left and the bottom edge, turned by degrees. */
export const pinned = (panel: Panel, x: number, y: number, degrees = 0, sheet = 1): Piece => {
  const pin: Pin = { stock: 'roll', sheet, x, y, angle: (degrees * Math.PI) / 180 }
  return { panel, copy: 1, copies: 1, pin }
}

interface Wish {
  readonly gap?: number
  /** where the machine's reach begins and ends */
  readonly from?: Point
  readonly reach?: Point
  readonly spare?: number
  readonly inCorners?: boolean
}

export const laidOn = (
  pieces: readonly Piece[],
  stocks: readonly Stock[],
  { gap = 5, from = { x: 0, y: 0 }, reach = { x: 5000, y: 3000 }, spare = 0, inCorners = false }: Wish = {},
): Laid =>
  layOut(
    { pieces, stocks, room: gap / 2, reach: { low: from, high: reach }, spare, inCorners, border: 0 },
    { seed: 1, rounds: 0 },
  )

/** The film of a placed piece, its openings taken out. */
const filmOf = ({ panel, place }: Placed): Rings => [
  flatten(transform(cutLine(panel), place), 0.002),
  ...ringsOf(
    panel.holes.map((hole) => transform(hole, place)),
    0.002,
  ).map((ring) => [...ring].reverse()),
]

/** What is wrong with how pieces lie, by growing whole films and looking for what they have in common. */
export function faultsOf(sheet: Sheet, gap: number): string[] {
  const { stock, length, margin, reached, pieces } = sheet
  const faults: string[] = []
  const films = pieces.map(filmOf)
  const edge = edgeOf(stock, length)
  films.forEach((film, i) => {
    const name = pieces[i]?.panel.name ?? ''
    const [outer = []] = film
    // 0.01 mm are allowed for chords and for pieces that touch
    const wide = offsetRings([outer], margin - 0.01)
    if (ringsArea(difference(wide, [edge])) > 1e-3) faults.push(`${name} is nearer than ${margin} mm to the edge`)
    const { low, high } = boundsOf([polyline(outer)])
    const past = [reached.low.x - low.x, reached.low.y - low.y, high.x - reached.high.x, high.y - reached.high.y]
    if (Math.max(...past) > 0.01) faults.push(`${name} lies where the machine does not reach`)
    for (const spot of stock.badSpots) {
      if (ringsArea(intersection(offsetRings(film, -0.01), [spot])) > 1e-3) faults.push(`${name} lies on a bad spot`)
    }
    const grown = offsetRings(film, gap - 0.01)
    films.forEach((other, k) => {
      if (k <= i || ringsArea(intersection(grown, other)) < 1e-3) return
      faults.push(`${name} is nearer than ${gap} mm to ${pieces[k]?.panel.name}`)
    })
    const { turn } = stock
    const quarters = (pieces[i]?.angle ?? 0) / (Math.PI / 2)
    if (turn === 'none' && quarters !== 0) faults.push(`${name} is turned`)
    if (turn === 'quarter' && Math.abs(quarters - Math.round(quarters)) > 1e-9) faults.push(`${name} lies askew`)
    const { a = 0, b = 0, c = 0, d = 0 } = pieces[i]?.place ?? {}
    if (Math.abs(a * d - b * c - 1) > 1e-9) faults.push(`${name} is mirrored or of another size`)
  })
  return faults
}
