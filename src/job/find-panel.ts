import { type Box, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { type Deviation, deviation } from '../geometry/deviation.ts'
import { between } from '../geometry/point.ts'
import { following, mirrorAcross, quarterTurn, transform, translation } from '../geometry/transform.ts'
import { type Boxed, boxed, nearestLine } from './nearest-line.ts'

/** Where a panel's drawing was found among the lines of a cut file. */
export interface FoundPanel {
  /** places where every line of the drawing is cut */
  readonly copies: number
  /** of them, those turned over like a page */
  readonly mirrored: number
  /** places where the outline is cut and an opening of the drawing is not */
  readonly incomplete: number
  /** closed lines of the drawing */
  readonly lines: number
  /** of them, those found at the best place */
  readonly found: number
  /** the others, as a person may find them in the drawing */
  readonly missing: readonly string[]
  /** farthest that a line found lies from the drawing, over every copy, mm; of no copy, at the best place */
  readonly worst?: Deviation
}

/** A line farther off than this, mm, is another line. */
const reach = 1
/** A place this good, mm, is taken without trying others: a panel that looks alike mirrored is not called mirrored. */
const sure = 0.1

const asDrawn = translation(0, 0)
const halfTurn = following(quarterTurn, quarterTurn)
const quarters = [asDrawn, quarterTurn, halfTurn, following(halfTurn, quarterTurn)]
const ways = [
  ...quarters.map((turn) => ({ turn, mirrored: false })),
  ...quarters.map((turn) => ({ turn: following(mirrorAcross(0), turn), mirrored: true })),
]

/** The drawing laid on one line of the file. */
interface Try {
  readonly mirrored: boolean
  readonly missing: readonly Boxed[]
  readonly worst: Deviation
}

/**
 * Looks for a panel, drawn somewhere on a page of its own, among the closed lines of a cut file: its largest line, the
 * outline, is laid centre on centre on each line whose box has the same size within 1 mm, in each of four quarter turns
 * and mirrored, and the openings must then lie where the file has them. Of the ways to lie, the best counts.
 * @param drawn closed lines of the drawing, one at least
 * @param cut closed lines of the file
 */
export function findPanel(drawn: readonly Boxed[], cut: readonly Boxed[]): FoundPanel {
  const [outline, ...openings] = [...drawn].sort((a, b) => area(b.box) - area(a.box))
  if (!outline) throw new RangeError('a panel without a closed line')
  const all = cut.flatMap((line) => triesOn(line, outline, openings, cut) ?? [])
  const places = all.filter((place) => place.worst.distance <= reach)
  const whole = places.filter((place) => place.missing.length === 0)
  const lines = drawn.length
  const counts = { copies: whole.length, incomplete: places.length - whole.length, lines }
  if (whole.length > 0) {
    const mirrored = whole.filter((place) => place.mirrored).length
    const worst = whole.map((place) => place.worst).reduce((a, b) => (b.distance > a.distance ? b : a))
    return { ...counts, mirrored, found: lines, missing: [], worst }
  }
  const best = places.reduce<Try | undefined>((a, b) => (a && !isBetter(b, a) ? a : b), undefined)
  if (best) {
    const missing = best.missing.map((line) => openingWords(line.box, outline.box))
    return { ...counts, mirrored: 0, found: lines - missing.length, missing, worst: best.worst }
  }
  const off = all.map((place) => place.worst.distance).sort((a, b) => a - b)[0]
  const missing = [
    `outline ${sizeWords(outline.box)}${off === undefined ? '' : ` (the nearest of that size is ${off.toFixed(3)} mm off)`}`,
    ...openings.map((line) => openingWords(line.box, outline.box)),
  ]
  return { ...counts, mirrored: 0, found: 0, missing }
}

const area = (box: Box) => boxWidth(box) * boxHeight(box)

/** The best way for the drawing to lie with its outline on `line`, if the size allows any. */
function triesOn(line: Boxed, outline: Boxed, openings: readonly Boxed[], cut: readonly Boxed[]): Try | undefined {
  let best: Try | undefined
  for (const { turn, mirrored } of ways) {
    const turned = boxed(transform(outline.path, turn))
    if (!isSameSize(turned.box, line.box)) continue
    const [from, to] = [middle(turned.box), middle(line.box)]
    const place = following(turn, translation(to.x - from.x, to.y - from.y))
    const edge = deviation(line.path, transform(outline.path, place))
    const looked = openings.map((opening) => {
      const laid = boxed(transform(opening.path, place))
      return { opening, met: nearestLine(laid, cut, reach) }
    })
    const own: Try = {
      mirrored,
      missing: looked.flatMap(({ opening, met }) => (met ? [] : [opening])),
      worst: looked.reduce((worst, { met }) => (met && met.distance > worst.distance ? met : worst), edge),
    }
    if (!best || isBetter(own, best)) best = own
    if (best.missing.length === 0 && best.worst.distance <= sure) break
  }
  return best
}

/** Does the outline lie, and then are fewer openings missing, and then is it nearer? */
function isBetter(a: Try, b: Try): boolean {
  const [aLies, bLies] = [a.worst.distance <= reach, b.worst.distance <= reach]
  if (aLies !== bLies) return aLies
  if (aLies && a.missing.length !== b.missing.length) return a.missing.length < b.missing.length
  return a.worst.distance < b.worst.distance
}

const middle = (box: Box) => between(box.low, box.high, 0.5)

const isSameSize = (a: Box, b: Box) =>
  Math.abs(boxWidth(a) - boxWidth(b)) <= reach && Math.abs(boxHeight(a) - boxHeight(b)) <= reach

const sizeWords = (box: Box) => `${boxWidth(box).toFixed(1)} x ${boxHeight(box).toFixed(1)} mm`

function openingWords(own: Box, outline: Box): string {
  const right = (own.low.x - outline.low.x).toFixed(1)
  const up = (own.low.y - outline.low.y).toFixed(1)
  return `opening ${sizeWords(own)}, ${right} mm from the left and ${up} mm from the bottom`
}
