import { arcRadius } from '../geometry/arc.ts'
import { boundsOf } from '../geometry/bounds.ts'
import { type Path, type Piece, pieces } from '../geometry/path.ts'
import { add, between, cross, distance, type Point, scaled, subtract } from '../geometry/point.ts'

/** An opening as a person marks it out, mm on the flat panel. */
export type OpeningForm =
  | { readonly kind: 'round'; readonly middle: Point; readonly diameter: number }
  | {
      readonly kind: 'rectangular'
      /** sharp, in the order of the path */
      readonly corners: readonly Point[]
      /** rounding of its corners, 0 for none */
      readonly radius: number
    }

/** A form that is not exact to this is none, mm. */
const exact = 1e-6

/** What a closed path is by its own segments; undefined where it is neither a circle nor a rectangle with straight sides. */
export function openingForm(path: Path): OpeningForm | undefined {
  const own = [...pieces(path)]
  return roundForm(path, own) ?? rectangularForm(own)
}

function roundForm(path: Path, own: readonly Piece[]): OpeningForm | undefined {
  const { low, high } = boundsOf([path])
  const middle = between(low, high, 0.5)
  const radius = (high.x - low.x) / 2
  const isOnIt = ({ from, segment }: Piece) =>
    segment.kind === 'arc' &&
    Math.abs(arcRadius(from, segment) - radius) < exact &&
    Math.abs(distance(from, middle) - radius) < exact
  return own.every(isOnIt) ? { kind: 'round', middle, diameter: 2 * radius } : undefined
}

function rectangularForm(own: readonly Piece[]): OpeningForm | undefined {
  const sides = own.filter(({ segment }) => segment.kind === 'line')
  const bends = own.filter(({ segment }) => segment.kind !== 'line')
  if (sides.length !== 4 || (bends.length !== 0 && bends.length !== 4)) return undefined
  const radii = bends.map(({ from, segment }) => (segment.kind === 'arc' ? arcRadius(from, segment) : Number.NaN))
  const radius = radii[0] ?? 0
  if (!radii.every((r) => Math.abs(r - radius) < exact)) return undefined
  const corners = sides.map((side, i) => meeting(sides[(i + 3) % 4] as Piece, side))
  return { kind: 'rectangular', corners, radius }
}

/** Where two straight sides meet when they are lengthened. */
function meeting(a: Piece, b: Piece): Point {
  const way = subtract(a.segment.to, a.from)
  const next = subtract(b.segment.to, b.from)
  return add(a.from, scaled(way, cross(subtract(b.from, a.from), next) / cross(way, next)))
}
