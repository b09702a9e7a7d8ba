import { flatten } from '../geometry/flatten.ts'
import { type Path, polyline } from '../geometry/path.ts'
import { difference, offsetRings, type Rings, ringsArea, union } from '../geometry/polygon.ts'
import { mapPoint } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Placed, Sheet } from './sheet.ts'

/** A closed line round pieces, along which the waste is parted before it is lifted. */
export interface WeedBorder {
  readonly name: string
  readonly path: Path
}

/** Borders of one group run together where they are nearer than twice this, mm. */
const together = 10
/** Chords of a border, mm. */
const fine = 0.02

/** Borders `at` mm from the film, round each piece or round what lies together of each group. */
export function weedBorders({ pieces }: Pick<Sheet, 'pieces'>, around: 'piece' | 'group', at: number): WeedBorder[] {
  const grown = (piece: Placed) => offsetRings([ringOf(piece)], at)
  const named = ({ panel, copy, copies }: Placed) => (copies > 1 ? `${panel.name} ${copy}` : panel.name)
  if (around === 'piece') return pieces.flatMap((piece) => lines(grown(piece), named(piece)))
  return [...grouped(pieces)].flatMap(([group, own]) => {
    // what lies no farther apart than this on both sides runs together
    const wide = own.map((piece) => offsetRings([ringOf(piece)], at + together)).reduce<Rings>(union, [])
    const others = pieces.filter((piece) => !own.includes(piece)).flatMap(grown)
    return lines(difference(offsetRings(wide, -together), others), group)
  })
}

const ownGroup = ({ group, panel }: Placed) => group ?? panel.name

function grouped(pieces: readonly Placed[]): Map<string, Placed[]> {
  const found = new Map<string, Placed[]>()
  for (const piece of pieces) found.set(ownGroup(piece), [...(found.get(ownGroup(piece)) ?? []), piece])
  return found
}

const ringOf = ({ panel, place }: Placed) => flatten(cutLine(panel), fine).map((p) => mapPoint(place, p))

/** The outer lines; what is enclosed between pieces is weeded with the rest. */
const lines = (rings: Rings, name: string): WeedBorder[] =>
  rings.filter((ring) => ringsArea([ring]) > 0).map((ring) => ({ name, path: polyline(ring, true) }))
