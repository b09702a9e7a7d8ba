import type { Say } from '../../src/panel/template.ts'
import { type Profile, profileOf, type Station } from './profile.ts'
import { spline } from './spline.ts'

/** Sides that stand off the drawn one by less than this are not worth a word, mm (common practice, no source). */
const little = 0.5

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

/** Between the stations numbered `first` and `last`. */
export function departureOf(stations: readonly Station[], drawn: Profile, first: number, last: number): Departure {
  const bent = profileOf(stations, spline)
  const looks = 32
  const seen = stations.slice(first, last).flatMap((low, i): Departure[] => {
    const [from, to] = [drawn.knots[first + i] ?? 0, drawn.knots[first + i + 1] ?? 0]
    const rise = (stations[first + i + 1]?.girth ?? 0) - low.girth
    return Array.from({ length: looks - 1 }, (_, k) => {
      const share = (k + 1) / looks
      const at = from + (to - from) * share
      const own = drawn.girth(at)
      return { at, bent: bent.girth(at) - own, straight: low.girth + rise * share - own }
    })
  })
  return seen.reduce((a, b) => (spread(b) > spread(a) ? b : a))
}

/** Where one more girth tells most, and how much; nothing where any plausible side is much the same. */
export function departureNotes(
  { at, bent, straight }: Departure,
  drawn: Profile,
  placed: (mm: number) => string,
  say: Say,
): string[] {
  const least = 2 * Math.PI * little
  const others = [
    [bent, 'a freely bent side'],
    [straight, 'a straight one'],
  ] as const
  const told = others.flatMap(([mm, side]) =>
    Math.abs(mm) < least ? [] : [`${side} would be ${say(Math.abs(mm))} ${mm > 0 ? 'more' : 'less'} round`],
  )
  if (told.length === 0) return []
  return [
    `The drawn side is least sure ${placed(drawn.place(at))}, where ${told.join(' and ')}: measure a girth there.`,
  ]
}
