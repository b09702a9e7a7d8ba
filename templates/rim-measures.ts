import { pathLength } from '../src/geometry/length.ts'
import type { Problem } from '../src/measure/problem.ts'
import type { Development } from '../src/panel/development.ts'
import { wholeTape } from '../src/panel/taped.ts'
import type { AngleSpec, LengthSpec, Say, Values } from '../src/panel/template.ts'
import { bentOpeningNotes } from './openings.ts'
import type { RimWords } from './rim-sketch.ts'
import { type Band, type BandForm, developBand, laidOut, leanOf } from './round-band.ts'
import { type Rim, tangentOfRise } from './slanted-rim.ts'

/** The steepest cut that still makes sense on film, and how near to the lean of the side it may come, radians. */
const steepest = (80 * Math.PI) / 180
const leastBetween = Math.PI / 180
/** The least height of film between two rims, mm (common practice, no source). */
const leastHeight = 5

const under = 'Where a rim slants'

export const rimSpecs = {
  topSlant: {
    kind: 'angle',
    min: 0,
    max: 80,
    optional: true,
    under,
    letter: 'T',
    help: 'for an upper edge that slants: how far its plane leans from a square cut; or give topRise',
  },
  topRise: {
    kind: 'length',
    min: 0,
    max: 5000,
    optional: true,
    under,
    letter: 'R',
    help: 'how much higher the highest place of the upper rim stands than its lowest, straight up; in place of topSlant',
  },
  topHigh: {
    kind: 'length',
    min: 0,
    max: 20000,
    optional: true,
    under,
    letter: 'H',
    help: 'round from the left edge of the film to below the highest place of the upper rim; halfway if left out',
  },
  bottomSlant: {
    kind: 'angle',
    min: 0,
    max: 80,
    optional: true,
    under,
    help: 'for a lower edge that slants: how far its plane leans from a square cut; or give bottomDrop',
  },
  bottomDrop: {
    kind: 'length',
    min: 0,
    max: 5000,
    optional: true,
    under,
    help: 'how much lower the lowest place of the lower rim stands than its highest; in place of bottomSlant',
  },
  bottomLow: {
    kind: 'length',
    min: 0,
    max: 20000,
    optional: true,
    under,
    help: 'round from the left edge of the film to above the lowest place of the lower rim; halfway if left out',
  },
} as const satisfies Record<string, LengthSpec | AngleSpec>

export type RimValues = Values<typeof rimSpecs>

/** What was measured at the level of one end of the film's left edge. */
export interface Level {
  /** across the object, mm */
  readonly across: number
  /** tape round it, mm, and the part of that which stays bare */
  readonly taped: number
  readonly bare: number
}

/** Both rims of a film, where they slant. `lean` is the object's, as in `Foot`. */
export function rimsOf(
  v: Partial<RimValues>,
  bottom: Level,
  top: Level,
  lean: number,
): { readonly bottomRim?: Rim; readonly topRim?: Rim } {
  const left = ({ taped, bare }: Level) => -Math.PI * (1 - bare / taped)
  const rim = (
    level: Level,
    slant: number | undefined,
    rise: number | undefined,
    to: number | undefined,
    turn: number,
  ) => {
    const at = left(level)
    const high = turn + (to === undefined ? 0 : at + (2 * Math.PI * to) / level.taped)
    const tangent =
      slant === undefined ? tangentOfRise(rise ?? 0, high, { radius: level.across / 2, lean, at }) : Math.tan(slant)
    return tangent > 0 ? { tangent, high } : undefined
  }
  const bottomRim = rim(bottom, v.bottomSlant, v.bottomDrop, v.bottomLow, Math.PI)
  const topRim = rim(top, v.topSlant, v.topRise, v.topHigh, 0)
  return { ...(bottomRim && { bottomRim }), ...(topRim && { topRim }) }
}

const rimFields = [
  ['topSlant', 'topRise', 'topHigh'],
  ['bottomSlant', 'bottomDrop', 'bottomLow'],
] as const

export const isSlanted = (v: Partial<RimValues>): boolean =>
  rimFields.some(([slant, rise]) => v[slant] !== undefined || v[rise] !== undefined)

const degrees = (radians: number) => `${((radians * 180) / Math.PI).toFixed(1)} degrees`

/** Slants told twice, or told in part. */
export function rimFieldProblems(v: Partial<RimValues>): Problem[] {
  return rimFields.flatMap(([slant, rise, to]): Problem[] => {
    const [angle, mm, place] = [v[slant], v[rise], v[to]]
    if (angle !== undefined && mm !== undefined) {
      return [
        {
          code: 'contradiction',
          field: slant,
          value: `${degrees(angle)} beside ${rise} ${mm} mm`,
          limit: 'one of the two is enough',
          cure: `Keep ${rise}; a length by tape beats an angle by eye.`,
        },
      ]
    }
    if (place === undefined || angle !== undefined || mm !== undefined) return []
    return [
      {
        code: 'missing',
        field: rise,
        value: 'not given',
        limit: `${to} tells where a rim that slants goes farthest, and not how far`,
        cure: `Measure ${rise} or ${slant}, or leave ${to} out.`,
      },
    ]
  })
}

/** Slanted rims that do not fit the object or each other; for measures that are in order otherwise. */
export function rimProblems(v: Partial<RimValues>, bottom: Level, top: Level, form: BandForm): Problem[] {
  const lean = leanOf(form.bottomGirth, form.topGirth, form.slant)
  const problems = [
    ...placeProblem('topHigh', v.topHigh, top),
    ...placeProblem('bottomLow', v.bottomLow, bottom),
    ...steepProblem(fieldOf(v, 'top'), v.topSlant, v.topRise, form.topRim, lean),
    ...steepProblem(fieldOf(v, 'bottom'), v.bottomSlant, v.bottomDrop, form.bottomRim, lean),
  ]
  return problems.length > 0 ? problems : meetingProblem(v, form, top)
}

/** The field that tells how much a rim slants. */
function fieldOf(v: Partial<RimValues>, edge: 'top' | 'bottom'): keyof RimValues {
  if (edge === 'top') return v.topSlant === undefined ? 'topRise' : 'topSlant'
  return v.bottomSlant === undefined ? 'bottomDrop' : 'bottomSlant'
}

function placeProblem(field: 'topHigh' | 'bottomLow', to: number | undefined, { taped }: Level): Problem[] {
  if (to === undefined || to <= taped) return []
  return [
    {
      code: 'past_the_girth',
      field,
      value: `${to} mm`,
      limit: `the girth there is ${taped.toFixed(1)} mm`,
      cure: 'Measure round from the left edge of the film, once round at the most.',
    },
  ]
}

function steepProblem(
  field: string,
  slant: number | undefined,
  rise: number | undefined,
  rim: Rim | undefined,
  lean: number,
): Problem[] {
  if (!((slant ?? rise ?? 0) > 0)) return []
  // A flat ring has no straight up: no rise is the rise of a cut.
  const angle = rim ? Math.atan(rim.tangent) : Math.PI / 2
  const side = Math.PI / 2 - Math.atan(Math.abs(lean)) - leastBetween
  if (angle <= Math.min(steepest, side) + 1e-12) return []
  return [
    {
      code: 'too_steep',
      field,
      value: rise === undefined ? degrees(angle) : `${rise} mm, a slant of ${degrees(angle)}`,
      limit:
        side < steepest
          ? `the side leans so much that a cut goes all the way round it up to ${degrees(side)} only`
          : `the most is ${degrees(steepest)}`,
      cure: 'Measure again, straight up from the lowest to the level of the highest place.',
    },
  ]
}

/** Steps round the film at which the height between the rims is looked at. */
const looks = 720

function meetingProblem(v: Partial<RimValues>, form: BandForm, { taped }: Level): Problem[] {
  if (!form.topRim && !form.bottomRim) return []
  const { mid, low, high } = laidOut(form)
  const reach = Math.max(low.away, high.away)
  const rounds = Array.from({ length: looks + 1 }, (_, i) => (reach * (2 * i - looks)) / looks)
  const between = (round: number) => high.up(round) - low.up(round)
  const where = rounds.reduce((a, b) => (between(b) < between(a) ? b : a))
  const least = between(where)
  if (least >= leastHeight) return []
  const along = `${(((where + reach) * taped) / mid).toFixed(1)} mm round from the left edge`
  return [
    {
      code: 'rims_meet',
      field: fieldOf(v, form.topRim ? 'top' : 'bottom'),
      value:
        least < 0
          ? `so much that the upper rim dips ${(-least).toFixed(1)} mm below the lower one, ${along}`
          : `so much that the rims come within ${least.toFixed(1)} mm of each other, ${along}`,
      limit: `the least height of film is ${leastHeight} mm`,
      cure: 'Check the slant, its direction, and the height, which is measured up the left edge of the film.',
    },
  ]
}

/** The band with a line for the sheet on each rim that slants, so that it can be checked by tape. */
export function developRimmed(band: Band, say: Say): readonly [Development] {
  const [panel] = developBand(band)
  const slanted = { bottom: band.bottomRim, top: band.topRim }
  const notes = panel.edges.flatMap(({ name, ...edge }) =>
    (name === 'bottom' || name === 'top') && slanted[name]
      ? [
          `The ${name} edge slants by ${degrees(Math.atan(slanted[name].tangent))}; along the rim it is ${say(wholeTape(edge, pathLength(edge.path)))} long.`,
        ]
      : [],
  )
  return [{ ...panel, notes: [...panel.notes, ...notes, ...bentOpeningNotes(panel, say)] }]
}

/** The words at the arrows of an object whose rims slant. */
export function rimWords(v: Partial<RimValues>, say: Say): RimWords {
  const told = (slant: number | undefined, mm: number | undefined, what: string): string | undefined =>
    mm === undefined
      ? slant === undefined
        ? undefined
        : `leans ${Number(((slant * 180) / Math.PI).toFixed(1))}°`
      : `${what} ${say(mm)}`
  return {
    rise: told(v.topSlant, v.topRise, 'rise'),
    high: v.topHigh === undefined ? undefined : `${say(v.topHigh)} round`,
    drop: told(v.bottomSlant, v.bottomDrop, 'drop'),
    low: v.bottomLow === undefined ? undefined : `${say(v.bottomLow)} round`,
  }
}

/** Shown under the sketch of a band where no measures are given. */
export const rimLetters: { readonly words: RimWords; readonly caption: string } = {
  caption: 'Only where a rim slants, seen from the side (a lower rim likewise):',
  words: { rise: 'R  rise', high: 'H  round to the highest', angle: 'T  lean', side: 'B', left: 'left edge' },
}
