import { type Box, boundsOf, boxesMeet } from '../geometry/bounds.ts'
import { flatten } from '../geometry/flatten.ts'
import { type Path, polyline } from '../geometry/path.ts'
import { difference, offsetRings, type Rings, ringsArea, union } from '../geometry/polygon.ts'
import { mapPoint } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import { groupName, pieceName } from './piece-names.ts'
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
  const grown = pieces.map((piece) => offsetRings([ringOf(piece)], at))
  if (around === 'piece') return pieces.flatMap((piece, i) => lines(grown[i] ?? [], pieceName(piece)))
  const boxes = grown.map(boxOf)
  return [...grouped(pieces)].flatMap(([group, own]) => {
    // what lies no farther apart than this on both sides runs together
    const wide = own.flatMap((i) => offsetRings([ringOf(pieces[i] as Placed)], at + together))
    const closed = offsetRings(union(wide, []), -together)
    if (closed.length === 0) return []
    const box = boxOf(closed)
    const isOwn = new Set(own)
    const others = grown.filter((_, i) => !isOwn.has(i) && boxesMeet(box, boxes[i] as Box, fine))
    return lines(difference(closed, others.flat()), group)
  })
}

const boxOf = (rings: Rings): Box => boundsOf(rings.map((ring) => polyline(ring)))

/** The numbers of the pieces of each group. */
function grouped(pieces: readonly Placed[]): Map<string, number[]> {
  const found = new Map<string, number[]>()
  for (const [i, piece] of pieces.entries()) {
    const own = found.get(groupName(piece))
    if (own) own.push(i)
    else found.set(groupName(piece), [i])
  }
  return found
}

const ringOf = ({ panel, place }: Placed) => flatten(cutLine(panel), fine).map((p) => mapPoint(place, p))

/** The outer lines; what is enclosed between pieces is weeded with the rest. */
const lines = (rings: Rings, name: string): WeedBorder[] =>
  rings.filter((ring) => ringsArea([ring]) > 0).map((ring) => ({ name, path: polyline(ring, true) }))
