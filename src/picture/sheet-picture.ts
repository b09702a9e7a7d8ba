import { type Box, boundsOf, boxesMeet, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { flatten } from '../geometry/flatten.ts'
import { lineTo, openPath, polyline, rectangle } from '../geometry/path.ts'
import { between, type Point, point } from '../geometry/point.ts'
import { difference, intersection, offsetRings, type Rings, ringsArea, ringsOf } from '../geometry/polygon.ts'
import { following, type Matrix, mirrorAcross, transform, translation } from '../geometry/transform.ts'
import type { Panel } from '../panel/panel.ts'
import type { Offcut } from '../sheet/left-over.ts'
import { pieceTitle } from '../sheet/piece-names.ts'
import { lieMatrix } from '../sheet/placing.ts'
import { type Placed, type Sheet, usableBox } from '../sheet/sheet.ts'
import { edgeOf } from '../sheet/stock.ts'
import type { Stroke } from '../stroke/stroke.ts'
import { isLiningUp, isOutline } from '../stroke/strokes.ts'
import { markBoxes } from './mark-boxes.ts'
import type { Drawn, Filled, Picture, Words } from './picture.ts'
import { strokeStyles } from './strokes-picture.ts'
import { fills } from './styles.ts'
import { textWidth } from './text-width.ts'

/** Sizes of words, mm, the one liked best first; the last is taken even where it does not fit. */
const sizes = [8, 7, 6, 5, 4, 3]
const leastSize = 3
/** Where the middle of a name may stand, as shares of the piece's box, the one liked best first. */
const placesAlong = [0.25, 0.75, 0.5, 0.15, 0.85, 0.35, 0.65, 0.08, 0.92]
const placesUp = [0.3, 0.7, 0.5, 0.15, 0.85, 0.22, 0.4, 0.6, 0.78, 0.08, 0.92]
/** mm kept free round words */
const clear = 1.5
/** How far words reach above and below the middle between them, as a share of their size. */
const halfLine = 0.55
/** The baseline below that middle, as a share of the size. */
const baseline = 0.36

const feedWords = 'film runs this way'

/** What is drawn of a sheet beside its strokes. */
interface Beside {
  /** what is left of it and worth keeping */
  readonly keep: readonly Offcut[]
}

/** A sheet as it lies film side up, with both sides' strokes, 1:1, the names of its pieces and the way the film runs. */
export function sheetPicture(
  sheet: Sheet,
  film: readonly Stroke[],
  liner: readonly Stroke[],
  beside?: Beside,
): Picture {
  const back = mirrorAcross(sheet.length / 2)
  const drawn = (stroke: Stroke): Drawn => ({ kind: 'drawn', path: stroke.path, style: strokeStyles[stroke.operation] })
  const slits = liner.filter((stroke) => !isLiningUp(stroke)).map((s) => ({ ...s, path: transform(s.path, back) }))
  const outlines = sheet.pieces.map(({ panel, place }) => transform(panel.outline, place))
  const taken = [...outlines.map((path) => boundsOf([path])), ...[...film, ...slits].map((s) => boundsOf([s.path]))]
  const items = [
    ...(beside ? keptItems(beside.keep) : []),
    ...stockItems(sheet),
    ...sheet.pieces.map(({ panel, place }): Drawn => {
      const { from, to } = panel.hinge
      return { kind: 'drawn', path: transform(openPath(from, lineTo(to)), place), style: 'hinge' }
    }),
    ...film.map(drawn),
    ...slits.map(drawn),
    ...namesOf(sheet.pieces),
    ...(beside ? cuttingOrder(film) : []),
    ...(sheet.stock.outline ? [] : feedArrow(sheet, taken)),
  ]
  return { title: `Sheet ${sheet.number}`, width: sheet.length, height: sheet.width, items }
}

/** The film's edge, what of it can be used and its bad spots. */
export function stockItems(sheet: Sheet): (Drawn | Filled)[] {
  const { stock, length, width, margin, reached } = sheet
  const edge = polyline(edgeOf(stock, length), true)
  const { low, high } = usableBox(sheet)
  const isLess = low.x > 0 || low.y > 0 || high.x < length || high.y < width
  const usable = flatten(rectangle(low, high))
  const inset = stock.outline
    ? intersection(offsetRings([stock.outline], -margin, 'mitre'), [flatten(rectangle(reached.low, reached.high))])
    : [usable]
  const spots = stock.badSpots.map((ring) => polyline(ring, true))
  return [
    ...spots.map((path): Filled => ({ kind: 'filled', path, colour: fills.bad })),
    { kind: 'drawn', path: edge, style: 'stock' },
    ...(isLess ? inset.map((ring): Drawn => ({ kind: 'drawn', path: polyline(ring, true), style: 'margin' })) : []),
    ...spots.map((path): Drawn => ({ kind: 'drawn', path, style: 'bad' })),
  ]
}

/** Offcuts that are kept, each with the size of the largest rectangle in it. */
function keptItems(keep: readonly Offcut[]): (Drawn | Filled | Words)[] {
  return keep.flatMap(({ outline, box }): (Drawn | Filled | Words)[] => {
    const path = polyline(outline, true)
    const text = `keep ${Math.floor(boxWidth(box))} x ${Math.floor(boxHeight(box))}`
    const upright = boxHeight(box) > boxWidth(box)
    const long = Math.max(boxWidth(box), boxHeight(box))
    const size = Math.max(leastSize, Math.min(8, (0.8 * long) / textWidth(text, 1)))
    const spot = { at: between(box.low, box.high, 0.5), size, turn: upright ? Math.PI / 2 : 0 }
    return [{ kind: 'filled', path, colour: fills.kept }, { kind: 'drawn', path, style: 'kept' }, wordsAt(spot, text)]
  })
}

/** mm that words about a place on an edge stand inside of it, so that those of neighbours keep apart */
const inside = 12

/** A place that far inside a box from its edge, or in the middle of a smaller one. */
function inward({ low, high }: Box, { x, y }: Point): Point {
  const clamp = (value: number, min: number, max: number) =>
    max - min < 2 * inside ? (min + max) / 2 : Math.max(min + inside, Math.min(max - inside, value))
  return point(clamp(x, low.x, high.x), clamp(y, low.y, high.y))
}

/**
 * How early each outline is cut, inside of where the tool begins it: as 1st and 2nd, since a bare number would seem to
 * be a copy's.
 */
function cuttingOrder(film: readonly Stroke[]): Words[] {
  return film.filter(isOutline).map(({ path }, i) => ({
    ...wordsAt({ at: inward(boundsOf([path]), path.start), size: 5, turn: 0 }, ordinal(i + 1)),
    bold: true,
  }))
}

function ordinal(n: number): string {
  const isTeen = n % 100 > 10 && n % 100 < 14
  return `${n}${(isTeen ? undefined : ['th', 'st', 'nd', 'rd'][n % 10]) ?? 'th'}`
}

/** A place for words: their middle, size and turn. */
interface Spot {
  readonly at: Point
  readonly size: number
  readonly turn: number
}

/** Each piece's name on it; copies that lie alike carry it at the same place. */
function namesOf(pieces: readonly Placed[]): Words[] {
  const spots = new Map<Panel, Map<number, Spot>>()
  return pieces.map((piece): Words => {
    const { panel, copies, angle, place } = piece
    const known = spots.get(panel) ?? new Map<number, Spot>()
    const spot = known.get(angle) ?? nameSpot(panel, lieMatrix(angle, 0, 0), pieceTitle({ ...piece, copy: copies }))
    spots.set(panel, known.set(angle, spot))
    // the spot is worked out with the panel at the origin, which lies elsewhere on the sheet
    const shift = following(translation(spot.at.x, spot.at.y), translation(place.e, place.f))
    return wordsAt({ ...spot, at: point(shift.e, shift.f) }, pieceTitle(piece))
  })
}

function wordsAt({ at, size, turn }: Spot, text: string): Words {
  const foot = point(at.x + baseline * size * Math.sin(turn), at.y - baseline * size * Math.cos(turn))
  return { kind: 'words', at: foot, text, size, anchor: 'middle', turn }
}

/** The box of words at a spot, level or turned a quarter, with the room round them. */
function wordsBox({ at, size, turn }: Spot, text: string): Box {
  const [long, thick] = [textWidth(text, size) / 2 + clear, halfLine * size + clear]
  const half = turn === 0 ? point(long, thick) : point(thick, long)
  return { low: point(at.x - half.x, at.y - half.y), high: point(at.x + half.x, at.y + half.y) }
}

/**
 * Where a name stands on a panel laid down by `lie`: on the film and clear of hinge, ticks, slits, openings and labels
 * where there is such a place, else on the film, else inside the box of the piece, each level before turned; else in
 * the middle of the box at 3 mm.
 */
function nameSpot(panel: Panel, lie: Matrix, text: string): Spot {
  const outline = transform(panel.outline, lie)
  const box = boundsOf([outline])
  const inBox = [0, Math.PI / 2].flatMap((turn) =>
    sizes.flatMap((size) =>
      placesUp.flatMap((up) =>
        placesAlong.map((along): Spot => {
          const at = point(box.low.x + boxWidth(box) * along, box.low.y + boxHeight(box) * up)
          return { at, size, turn }
        }),
      ),
    ),
  )
  const fitting = inBox.map((spot) => ({ spot, own: wordsBox(spot, text) })).filter(({ own }) => isWithin(own, box))
  const film = ringsOf([outline], 0.1)
  const taken = markBoxes(panel, lie)
  const isOn = ({ own }: { own: Box }) => isOnFilm(own, film)
  const isFree = ({ own }: { own: Box }) => !taken.some((other) => boxesMeet(own, other))
  const found = fitting.find((each) => isFree(each) && isOn(each)) ?? fitting.find(isOn) ?? fitting[0]
  return found?.spot ?? { at: between(box.low, box.high, 0.5), size: leastSize, turn: 0 }
}

const isWithin = (inner: Box, outer: Box): boolean =>
  inner.low.x >= outer.low.x &&
  inner.high.x <= outer.high.x &&
  inner.low.y >= outer.low.y &&
  inner.high.y <= outer.high.y

const isOnFilm = ({ low, high }: Box, film: Rings): boolean =>
  ringsArea(difference(ringsOf([rectangle(low, high)]), film)) < 0.01

/** mm of the arrow's shaft, and of its heads along and across it */
const shaft = 24
const head = point(5, 2)
/** mm between the arrow and the edge of the film */
const rim = 2

/**
 * A line along the film with a head at both ends, and words behind it, in a corner of the sheet or above a piece,
 * clear of all that is `taken`; nothing where there is no such room. Both heads, because which end a machine takes
 * first is its own affair.
 */
function feedArrow(sheet: Sheet, taken: readonly Box[]): (Drawn | Words)[] {
  const whole = { low: point(rim, rim), high: point(sheet.length - rim, sheet.width - rim) }
  for (const size of sizes) {
    const long = shaft + size + textWidth(feedWords, size) + 2 * clear
    const high = 2 * halfLine * size + 2 * clear
    const [{ low }, far] = [whole, point(whole.high.x - long, whole.high.y - high)]
    const corners = [far.y, low.y].flatMap((y) => [low.x, far.x].map((x) => point(x, y)))
    for (const { x, y } of [...corners, ...taken.map((box) => point(box.low.x, box.high.y))]) {
      const own = { low: point(x, y), high: point(x + long, y + high) }
      if (!isWithin(own, whole) || taken.some((box) => boxesMeet(own, box))) continue
      const level = y + high / 2
      const [left, right] = [x + clear, x + clear + shaft]
      const headAt = (tip: number, back: number) =>
        polyline([point(tip + back, level + head.y), point(tip, level), point(tip + back, level - head.y)])
      const lines = [polyline([point(left, level), point(right, level)]), headAt(left, head.x), headAt(right, -head.x)]
      return [
        ...lines.map((path): Drawn => ({ kind: 'drawn', path, style: 'dimension' })),
        {
          kind: 'words',
          at: point(right + size, level - baseline * size),
          text: feedWords,
          size,
          anchor: 'start',
          turn: 0,
        },
      ]
    }
  }
  return []
}
