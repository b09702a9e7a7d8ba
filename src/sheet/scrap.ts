import { flatten } from '../geometry/flatten.ts'
import type { Point } from '../geometry/point.ts'
import { difference, intersection, offsetRings, type Rings, ringsArea } from '../geometry/polygon.ts'
import { mapPoint, mirrorAcross } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Placed, Sheet } from './sheet.ts'
import { edgeOf } from './stock.ts'

/** Where on one side of a sheet a tool may go down without harm: on film that it reaches, outside what is taken. */
export interface Scrap {
  readonly film: Rings
  /** the part of it along the edge of the film, on which no piece lies */
  readonly margin: Rings
  readonly taken: readonly Rings[]
  /** what is cut on it all the same, open */
  readonly lines: readonly (readonly Point[])[]
}

/** Chords of a piece's edge, mm: everything keeps clear of it by more. */
const coarse = 0.1

/**
 * The scrap of a sheet as one of its sides faces the tool: all that is neither a piece nor a bad spot.
 * @param reach ring of where the tool gets to, mm, as the sheet lies on the machine
 */
export function scrapOf(sheet: Sheet, faces: 'film' | 'liner', reach: readonly Point[]): Scrap {
  const turned = mirrorAcross(sheet.length / 2)
  const lying = (rings: Rings): Rings =>
    faces === 'film' ? rings : rings.map((ring) => ring.map((p) => mapPoint(turned, p)).reverse())
  const edge = lying([edgeOf(sheet.stock, sheet.length)])
  const film = intersection(edge, [reach])
  return {
    film,
    margin: difference(film, offsetRings(edge, -sheet.margin, 'mitre')),
    taken: [...sheet.pieces.map((piece) => lying(filmOf(piece))), ...sheet.stock.badSpots.map((spot) => lying([spot]))],
    lines: [],
  }
}

/** The film of a piece: inside its openings is scrap. */
function filmOf({ panel, place }: Placed): Rings {
  const rings = [cutLine(panel), ...panel.holes].map((path) => flatten(path, coarse).map((p) => mapPoint(place, p)))
  return rings.map((ring, i) => (ringsArea([ring]) > 0 === (i === 0) ? ring : ring.toReversed()))
}
