import { enclosing } from './nesting.ts'
import { operations, type Stroke } from './stroke.ts'

/** A closed line, by its number, and one inside it that should have gone before and comes after. */
export interface TooEarly {
  readonly outer: number
  readonly inner: number
}

/**
 * Lines that are cut before what lies inside them, in the order in which they stand: once it is cut out, a piece may
 * shift. What is inside goes first where it is done by the same operation or by one that goes before it (pen, kiss,
 * through, slit); a weed border may be kiss cut before the pieces inside it are cut through. Pen lines keep no order
 * among themselves.
 */
export function tooEarly(strokes: readonly Pick<Stroke, 'operation' | 'path'>[]): TooEarly[] {
  const round = enclosing(strokes.map(({ path }) => path))
  const rank = (i: number) => operations.indexOf(strokes[i]?.operation ?? 'pen')
  return strokes.flatMap((_, inner) =>
    allRound(inner, round)
      .filter((outer) => outer < inner && strokes[outer]?.operation !== 'pen' && rank(inner) <= rank(outer))
      .map((outer) => ({ outer, inner })),
  )
}

/** Every closed line round one, the nearest and those round them. */
function allRound(number: number, round: readonly (readonly number[])[]): number[] {
  const found = new Set<number>()
  const look = (i: number) => {
    for (const outer of round[i] ?? []) {
      if (found.has(outer)) continue
      found.add(outer)
      look(outer)
    }
  }
  look(number)
  return [...found]
}
