import { flatten } from '../geometry/flatten.ts'
import { lineTo, openPath, type Path } from '../geometry/path.ts'
import { add, direction, type Point, point, scaled, subtract } from '../geometry/point.ts'
import { mapPoint, transform, turning } from '../geometry/transform.ts'
import { hullOf } from '../sheet/nest/rings.ts'
import type { Blade } from './blade.ts'
import { tipWay } from './tip.ts'

/** How long a lead-in is, and to which side it bends. */
export interface LeadInForm {
  /** its first leg, offsets */
  readonly firstLeg: number
  /** rad, how near to its direction it brings the blade */
  readonly within: number
  /** does the first leg come from the left of the second, or from the right? */
  readonly from: 'left' | 'right'
}

/** A lead-in with the room that axis and tip take for it, wherever the tip comes down: a convex ring, mm. */
export interface LeadIn {
  readonly path: Path
  readonly room: readonly Point[]
}

const degree = Math.PI / 180

/** Rad from the second leg of a lead-in to the first; no multiple of 15 degrees, as cuts on a sheet often are. */
const legTurn = 82.5 * degree

/** What the second leg must cope with: how far the first may have left the blade from it, rad. */
const leftOver = 170 * degree

const sides = ['left', 'right'] as const
const lengths = [
  { firstLeg: 6, within: degree },
  // Where there is less room; it brings round all headings but a range of 0.7 degrees.
  { firstLeg: 4, within: 3 * degree },
]

/** Lead-ins to be tried, the longest first; those of one length bend to either side. */
export const leadInForms: readonly (readonly LeadInForm[])[] = lengths.map((length) =>
  sides.map((from) => ({ ...length, from })),
)

/** Headings from which a blade may come, rad: all of them a degree apart, none straight along a whole degree. */
export const anyHeading: readonly number[] = Array.from({ length: 360 }, (_, i) => (i + 0.5) * degree)

/**
 * The room is found from every so many of them, and from some beside straight against a leg, rad, that lie the closer the
 * nearer they are to it: there a little decides to which side a blade comes round.
 */
const coarse = 9
const against = Array.from({ length: 18 }, (_, k) => 0.1 * 1.3 ** k * degree).flatMap((off) => [
  Math.PI - off,
  Math.PI + off,
])

/** Travel in a straight line, mm, in which a blade turned by `a0` against it comes round to `a1`; 0 < a1 <= a0 < pi. */
const settlingLength = (offset: number, a0: number, a1: number): number =>
  offset * Math.log(Math.tan(a0 / 2) / Math.tan(a1 / 2))

/**
 * A stroke of the axis on scrap, from 0, 0, that brings a blade of `offset` mm, > 0, round to the direction of x, from a
 * heading that is not known.
 *
 * On a straight way tan(a / 2) falls as exp(-s / L), so from close to 180 degrees the blade hardly turns. Hence two legs
 * at 82.5 degrees: what stands against the first stands across the second, which takes 170 degrees to 1. No stroke
 * serves every heading, because different headings stay different; the longest form leaves out a range of 0.1 degrees.
 */
export function leadIn({ offset }: Pick<Blade, 'offset'>, form: LeadInForm): LeadIn {
  const { firstLeg, within, from } = form
  const bend = scaled(direction(from === 'left' ? -legTurn : legTurn), firstLeg * offset)
  const end = add(bend, point(settlingLength(offset, leftOver, within), 0))
  const path = openPath({ x: 0, y: 0 }, lineTo(bend), lineTo(end))
  const drive = flatten(path)
  const legs = [bend, subtract(end, bend)].map(({ x, y }) => Math.atan2(y, x))
  const headings = [
    ...anyHeading.filter((_, i) => i % coarse === 0),
    ...legs.flatMap((leg) => against.map((angle) => leg + angle)),
  ]
  const tips = headings.flatMap((heading) => tipWay(drive, heading, offset, offset / 50).points)
  return { path, room: hullOf([...drive, ...tips]) }
}

/** A lead-in turned about 0, 0, so that it brings the blade round to the direction `wanted`, rad. */
export function facing({ path, room }: LeadIn, wanted: number): LeadIn {
  const turn = turning(wanted, { x: 0, y: 0 })
  return { path: transform(path, turn), room: room.map((p) => mapPoint(turn, p)) }
}
