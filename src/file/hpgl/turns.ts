import { arcPoint } from '../../geometry/arc.ts'
import { flatten } from '../../geometry/flatten.ts'
import { type Arc, arcTo, openPath } from '../../geometry/path.ts'
import { add, between, distance, leftOf, type Point, scaled, subtract, turned } from '../../geometry/point.ts'

/** An arc about a whole centre through whole degrees, as HP-GL writes it. */
export interface TurnLeg {
  readonly kind: 'turn'
  readonly centre: Point
  /** degrees, + from the first coordinate's axis to the second's, -180 to 180 and not 0 */
  readonly sweep: number
  /** degrees of the chords to ask the machine for, 1 to 4; undefined where its own 5 are fine enough */
  readonly chord: number | undefined
}

/** The numbers of the arc command AA: HP 5961-0509, page 20-10. */
export const turnNumbers = ({ centre, sweep, chord }: TurnLeg): number[] =>
  chord === undefined ? [centre.x, centre.y, sweep] : [centre.x, centre.y, sweep, chord]

/** How arcs come to whole units. */
export interface TurnKeeping {
  /** units in 1 mm, the same in every direction */
  readonly scale: number
  /** does the map turn left into right? */
  readonly mirrors: boolean
  /** the least and the largest coordinate that may be written for a centre */
  readonly low: number
  readonly high: number
}

interface Turn {
  readonly leg: TurnLeg
  /** the whole unit at which it should end */
  readonly end: Point
  /** does it end there, and not beside it? */
  readonly meets: boolean
}

const degree = Math.PI / 180

/** The chord of an arc command that states none, degrees: HP 5961-0509, page 20-13. */
const ownChord = 5

/** How far a point moves by being rounded in both coordinates, at most, units. */
const rounding = Math.SQRT1_2

/**
 * An arc in units as turns of whole degrees, each from one whole unit to within half a unit of another, and the points
 * of the part of a degree that is left over. A turn, drawn with the chords it asks for, stays as near to the arc as
 * rounded chords would: `tolerance` and half a unit each way. Undefined where chords are shorter to write or no turn
 * holds that.
 * @param at the whole unit at which the tool stands
 * @param tolerance units
 */
export function turnsOf(
  from: Point,
  arc: Arc,
  at: Point,
  tolerance: number,
  { low, high }: Pick<TurnKeeping, 'low' | 'high'>,
): { readonly turns: readonly Turn[]; readonly rest: readonly Point[] } | undefined {
  const degrees = Math.abs(arc.sweep) / degree
  const whole = Math.floor(degrees + 1e-9)
  const chords = flatten(openPath(from, arc), tolerance).length - 1
  const turns: Turn[] = []
  const pointAt = (done: number) => arcPoint(from, arc, done >= degrees - 1e-9 ? 1 : done / degrees)
  let stand = at
  for (let done = 0; done < whole; ) {
    const wanted = circleOf(from, arc)
    let turn: Turn | undefined
    let part = Math.min(180, whole - done)
    for (; part > 0 && !turn; part--) {
      const end = pointAt(done + part)
      turn = turnTo(stand, { x: Math.round(end.x) + 0, y: Math.round(end.y) + 0 }, part * Math.sign(arc.sweep), {
        wanted,
        tolerance,
        low,
        high,
      })
    }
    // A turn and the move to the unit it should reach take about as many bytes as three chords.
    if (!turn || chords <= 3 * (turns.length + 1)) return undefined
    turns.push(turn)
    stand = turn.end
    done += part + 1
  }
  if (turns.length === 0) return undefined
  const left = degrees - whole
  const rest =
    left > 1e-9
      ? flatten(openPath(pointAt(whole), arcTo(arc.to, (arc.sweep * left) / degrees)), tolerance).slice(1)
      : []
  return { turns, rest }
}

interface Circle {
  readonly centre: Point
  readonly radius: number
}

interface Limits {
  readonly wanted: Circle
  readonly tolerance: number
  readonly low: number
  readonly high: number
}

/** Only for arcs that turn by a degree or more: the centre of a flat one is too far to count with. */
function circleOf(from: Point, { to, sweep }: Arc): Circle {
  return {
    centre: centreOf(from, to, sweep),
    radius: distance(from, to) / (2 * Math.sin(Math.abs(sweep) / 2)),
  }
}

const centreOf = (from: Point, to: Point, sweep: number): Point =>
  add(between(from, to, 0.5), scaled(leftOf(subtract(to, from)), 0.5 / Math.tan(sweep / 2)))

/** The turn by `sweep` degrees about the whole unit nearest to where its centre should be, if it is good enough. */
function turnTo(from: Point, end: Point, sweep: number, { wanted, tolerance, low, high }: Limits): Turn | undefined {
  const exact = centreOf(from, end, sweep * degree)
  const centre = { x: Math.round(exact.x) + 0, y: Math.round(exact.y) + 0 }
  if (Math.min(centre.x, centre.y) < low || Math.max(centre.x, centre.y) > high) return undefined
  const spoke = subtract(from, centre)
  const radius = Math.hypot(spoke.x, spoke.y)
  const miss = distance(add(centre, turned(spoke, sweep * degree)), end)
  if (radius === 0 || miss >= 0.5) return undefined
  const room = tolerance + rounding - farthest(centre, spoke, sweep * degree, wanted)
  if (room <= 0) return undefined
  // Chords of an angle c lie within r (1 - cos(c / 2)) of their arc.
  const chord = Math.floor((4 * Math.asin(Math.min(Math.SQRT1_2, Math.sqrt(room / (2 * radius))))) / degree)
  if (chord < 1) return undefined
  const leg: TurnLeg = { kind: 'turn', centre, sweep, chord: chord < ownChord ? chord : undefined }
  return { leg, end, meets: miss < 1e-6 }
}

/** How far an arc (`spoke` from its centre to its start, `sweep` rad) leaves a circle at the most. */
function farthest(centre: Point, spoke: Point, sweep: number, wanted: Circle): number {
  const apart = subtract(centre, wanted.centre)
  const start = Math.atan2(spoke.y, spoke.x)
  const off = (angle: number) => {
    const p = add(apart, turned(spoke, angle))
    return Math.abs(Math.hypot(p.x, p.y) - wanted.radius)
  }
  // The distance from the other centre is at an extreme along the line of both centres.
  const along = Math.atan2(apart.y, apart.x)
  const turn = 2 * Math.PI
  const inside = [along, along + Math.PI]
    .map((angle) => ((((angle - start) * Math.sign(sweep)) % turn) + turn) % turn)
    .filter((angle) => angle < Math.abs(sweep))
    .map((angle) => angle * Math.sign(sweep))
  return Math.max(...[0, sweep, ...inside].map(off))
}
