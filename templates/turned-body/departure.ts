import type { Say } from '../../src/panel/template.ts'
import { type Profile, profileOf, type Station } from './profile.ts'
import { spline } from './spline.ts'

/** Girths nearer to each other than this, mm, or this share of them, are not worth a word (common practice, no source). */
const [leastApart, leastShare] = [3, 0.01]

/** Girths that other sides through the same stations would have over the drawn one, mm, where they differ the most. */
interface Departure {
  /** place along the side, as `Profile` counts it */
  readonly at: number
  /** of a batten bent through the stations: the not-a-knot cubic spline */
  readonly bent: number
  /** of a side straight from station to station */
  readonly straight: number
}

const spread = ({ bent, straight }: Departure) => Math.max(0, bent, straight) - Math.min(0, bent, straight)

/** @param withStraight may the side be straight from station to station? Else only a bent one counts */
export function departureOf(stations: readonly Station[], drawn: Profile, withStraight: boolean): Departure {
  const bent = profileOf(stations, spline)
  const looks = 32
  const seen = stations.slice(0, -1).flatMap((low, i): Departure[] => {
    const [from, to] = [drawn.knots[i] ?? 0, drawn.knots[i + 1] ?? 0]
    const rise = (stations[i + 1]?.girth ?? 0) - low.girth
    return Array.from({ length: looks - 1 }, (_, k) => {
      const share = (k + 1) / looks
      const at = from + (to - from) * share
      const own = drawn.girth(at)
      return { at, bent: bent.girth(at) - own, straight: withStraight ? low.girth + rise * share - own : 0 }
    })
  })
  return seen.reduce((a, b) => (spread(b) > spread(a) ? b : a))
}

interface DepartureTold {
  /** where one more girth tells most, and how much */
  readonly text: string
  /** the most that a girth is off there, mm */
  readonly apart: number
}

/** Nothing where any plausible side is much the same. */
export function departureTold(
  { at, bent, straight }: Departure,
  drawn: Profile,
  placed: (mm: number) => string,
  say: Say,
): DepartureTold | undefined {
  const least = Math.max(leastApart, leastShare * drawn.girth(at))
  const others = [
    [bent, 'a freely bent side'],
    [straight, 'a straight one'],
  ] as const
  const told = others.flatMap(([mm, side]) =>
    Math.abs(mm) < least ? [] : [`${side} would be ${say(Math.abs(mm))} ${mm > 0 ? 'more' : 'less'} round`],
  )
  if (told.length === 0) return undefined
  const text = `between its girths the side is a guess, most of all ${placed(drawn.place(at))}: ${told.join(' and ')} there. Measure a girth there.`
  return { text, apart: Math.max(Math.abs(bent), Math.abs(straight)) }
}
