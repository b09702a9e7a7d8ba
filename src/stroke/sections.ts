import { type Box, boundsOf } from '../geometry/bounds.ts'
import type { Stroke } from './stroke.ts'

/** What is done together: the strokes of one piece, or one that belongs to none. */
interface Unit {
  readonly box: Box
  readonly strokes: readonly Stroke[]
}

/** What lies inside something may stand out by so much, mm. */
const hair = 0.01

/**
 * Strokes on a roll parted along the film, from its free end, so that all that is done on one section is done before the
 * next. All strokes of a piece are in one, and what lies inside something in no later one. A section is as long as
 * `window`, mm, or as the longest thing in it. Strokes of one operation are one section: they run along the film once.
 */
export function sectionsOf(strokes: readonly Stroke[], window: number): readonly (readonly Stroke[])[] {
  if (new Set(strokes.map(({ operation }) => operation)).size < 2) return [strokes]
  const units = unitsOf(strokes).sort((a, b) => a.box.high.x - b.box.high.x)
  const sections: Unit[][] = []
  let [low, longest] = [Infinity, 0]
  for (const unit of units) {
    const { low: from, high: to } = unit.box
    const [least, most] = [Math.min(low, from.x), Math.max(longest, to.x - from.x)]
    const fits = to.x - least <= Math.max(window, most) + hair
    if (fits && sections.length > 0) {
      sections.at(-1)?.push(unit)
      low = least
      longest = most
    } else {
      sections.push([unit])
      low = from.x
      longest = to.x - from.x
    }
  }
  // Each in the order in which it was given, which its lining-up crosses keep.
  const places = new Map(strokes.map((stroke, i) => [stroke, i]))
  return sections.map((own) =>
    own.flatMap((unit) => unit.strokes).sort((a, b) => (places.get(a) ?? 0) - (places.get(b) ?? 0)),
  )
}

function unitsOf(strokes: readonly Stroke[]): Unit[] {
  const found = new Map<string | Stroke, Stroke[]>()
  for (const stroke of strokes) {
    const [piece, what] = stroke.name.split(': ')
    // The weed borders of a group are many lines with one name.
    const key = piece === undefined || what === undefined || what === 'weed border' ? stroke : piece
    const own = found.get(key)
    if (own) own.push(stroke)
    else found.set(key, [stroke])
  }
  return [...found.values()].map((own) => ({ box: boundsOf(own.map(({ path }) => path)), strokes: own }))
}
