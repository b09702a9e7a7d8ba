import { crossMark } from '../geometry/cross-mark.ts'
import { flatten } from '../geometry/flatten.ts'
import { endOf, lineTo, openPath, type Path, rectangle } from '../geometry/path.ts'
import { distance, type Point } from '../geometry/point.ts'
import { mirrorAcross, transform } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import { letter } from '../panel/lettering.ts'
import { pointCross } from '../panel/point-cross.ts'
import { crossArm } from '../sheet/cross-places.ts'
import { insideParts } from '../sheet/inside-parts.ts'
import { pieceName, pieceWords } from '../sheet/piece-names.ts'
import type { Placed, Sheet } from '../sheet/sheet.ts'
import { edgeOf } from '../sheet/stock.ts'
import { operations, type Stroke } from './stroke.ts'

export interface StrokeChoice {
  readonly cut: 'kiss' | 'through'
  readonly hasPen: boolean
  /** lines between pieces that belong to none of them */
  readonly beside?: readonly Stroke[]
}

/**
 * Strokes for the film side of a sheet in order: pen, kiss, through; within each, a piece at a time, openings first.
 * Nothing of the slit is among them: film up, it would cut the panel in two.
 */
export function filmStrokes(sheet: Sheet, choice: StrokeChoice): Stroke[] {
  const cuts = sheet.pieces.flatMap((piece) => pieceStrokes(piece, choice))
  const all = [...crossStrokes(sheet, 'through'), ...cuts, ...(choice.beside ?? [])]
  return operations.flatMap((operation) => all.filter((stroke) => stroke.operation === operation))
}

/**
 * Strokes for the liner side: the sheet turned over like a page, so left and right are changed over about the middle
 * of its length. The crosses come first: they must fall on the crosses of the first pass.
 */
export function linerStrokes(sheet: Sheet): Stroke[] {
  const slits = sheet.pieces.flatMap((piece) =>
    piece.panel.slits.map(
      ({ from, to }, i): Stroke => ({
        operation: 'slit',
        name: `${pieceName(piece)}: slit ${i + 1}`,
        piece: pieceWords(piece),
        path: transform(openPath(from, lineTo(to)), piece.place),
      }),
    ),
  )
  if (slits.length === 0) return []
  const turnedOver = mirrorAcross(sheet.length / 2)
  const onFilm = [...crossStrokes(sheet, 'slit'), ...slits.map((stroke) => withinSheet(stroke, sheet))]
  return onFilm.map((stroke) => ({ ...stroke, path: transform(stroke.path, turnedOver) }))
}

/** A name that no stroke of a piece has, because those put what they are behind the piece's name and a colon. */
const crossName = (number: number) => `lining-up cross ${number}`
const crossNames: readonly string[] = [1, 2].map(crossName)

/** Is the stroke the edge of a piece, along which it is cut out? */
export const isOutline = ({ name }: Pick<Stroke, 'name'>): boolean => name.endsWith(': outline')

/** Is the stroke one of a lining-up cross? */
export const isLiningUp = ({ name }: Stroke): boolean => crossNames.includes(name)

function pieceStrokes(piece: Placed, { cut, hasPen }: StrokeChoice): Stroke[] {
  const { panel, place } = piece
  const name = pieceName(piece)
  const whole = pieceWords(piece)
  const onSheet = (operation: Stroke['operation'], what: string, path: Path): Stroke => ({
    operation,
    name: `${name}: ${what}`,
    piece: whole,
    path: transform(path, place),
  })
  const drawn = hasPen
    ? [
        ...panel.ticks
          .filter((tick) => tick.make === 'pen')
          .map((tick) => onSheet('pen', `${tick.role} tick`, tick.path)),
        ...panel.points.flatMap((p) => pointCross(p).map((path) => onSheet('pen', 'measured place', path))),
        ...panel.labels.flatMap((label) =>
          letter(label.text, label.height, label.at, label.turn, 'middle').map((path) => onSheet('pen', 'label', path)),
        ),
      ]
    : []
  return [
    ...drawn,
    ...panel.ticks
      .filter((tick) => tick.make === 'waste')
      .map((tick) => onSheet('kiss', `${tick.role} tick`, tick.path)),
    ...panel.inner.map((path) => onSheet('kiss', 'inside', path)),
    ...panel.holes.map((hole) => onSheet(cut, 'opening', hole)),
    onSheet(cut, 'outline', cutLine(panel)),
  ]
}

/** Two crosses at the sheet's ends, at different heights so that a sheet laid down wrong way up shows. */
function crossStrokes(sheet: Sheet, operation: Stroke['operation']): Stroke[] {
  return sheet.crosses.flatMap((place, i) =>
    crossMark(place, crossArm).map((path) => ({ operation, name: crossName(i + 1), path })),
  )
}

/** A slit's ends cut back to the film and to what the machine reaches, along its own line. */
function withinSheet(stroke: Stroke, sheet: Sheet): Stroke {
  const { start } = stroke.path
  const end = endOf(stroke.path)
  const within = (ring: readonly Point[]) => (part: readonly [Point, Point]) => insideParts(part[0], part[1], ring)
  const film = edgeOf(sheet.stock, sheet.length)
  const reached = flatten(rectangle(sheet.reached.low, sheet.reached.high))
  const parts = within(film)([start, end]).flatMap(within(reached))
  const longest = parts.reduce<readonly [Point, Point] | undefined>(
    (a, b) => (a && distance(a[0], a[1]) >= distance(b[0], b[1]) ? a : b),
    undefined,
  )
  return longest ? { ...stroke, path: openPath(longest[0], lineTo(longest[1])) } : stroke
}
