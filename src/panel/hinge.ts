import { crossings } from '../geometry/intersect.ts'
import { pathLength, stationAt } from '../geometry/length.ts'
import { endOf } from '../geometry/path.ts'
import { between, leftOf, scaled, subtract, unit } from '../geometry/point.ts'
import type { Problem } from '../measure/problem.ts'
import type { Development, TickLine } from './development.ts'
import type { ObjectMark, Stretch } from './panel.ts'
import { filmAt, tapeAt, wholeTape } from './taped.ts'
import type { Say } from './template.ts'

/**
 * Where the panel hangs from: upright in the middle, level in the middle, or mm along the bottom edge from its left end,
 * as a tape on the object reads.
 */
export type HingeChoice = 'upright' | 'level' | number

/** Where further ticks are wanted: at the quarters, or mm along the bottom edge from its left end, as a tape reads. */
export type TickWish = 'quarters' | number

/** A line over the panel with the marks on the object that its ends meet, or what stands in the way. */
type Placed<T> =
  | { readonly line: T; readonly marks: readonly ObjectMark[] }
  | { readonly problem: Omit<Problem, 'field'> }

export function placeHinge(development: Development, choice: HingeChoice, say: Say): Placed<Stretch> {
  if (choice === 'upright') return { line: development.hinge, marks: development.marks }
  const others = development.marks.filter((mark) => !mark.code.startsWith('hinge'))
  if (choice === 'level') {
    const ends = levelEnds(development)
    const [left, right] = [ends[0], ends.at(-1)]
    if (!left || !right) throw new RangeError('a level line through the hinge that meets no edge')
    return { line: { from: left.at, to: right.at }, marks: [...others, ...levelMarks(ends, say)] }
  }
  const placed = acrossAt(development, choice, 'hinge', 'hinge', say)
  return 'problem' in placed ? placed : { line: placed.line, marks: [...others, ...placed.marks] }
}

/** Lines for the further ticks asked for, or the first thing that stands in their way. */
export function placeWishes(
  development: Development,
  wishes: readonly TickWish[],
  say: Say,
): Placed<readonly TickLine[]> {
  const bottom = development.edges.find((edge) => edge.name === 'bottom')
  const whole = bottom ? pathLength(bottom.path) : 0
  const quarter = (share: number) => (bottom ? tapeAt(bottom, share * whole) : 0)
  const places = wishes.flatMap((wish) =>
    wish === 'quarters'
      ? [
          { name: 'quarter 1', at: quarter(1 / 4), asked: 'quarters of the bottom edge' },
          { name: 'quarter 3', at: quarter(3 / 4), asked: 'quarters of the bottom edge' },
        ]
      : [{ name: say(wish), at: wish, asked: alongBottom(wish, say) }],
  )
  const line: TickLine[] = []
  const marks: ObjectMark[] = []
  for (const { name, at, asked } of places) {
    if (!bottom || !development.edges.some((edge) => edge.name === 'top')) return { problem: noSuchEdges(asked) }
    const placed = acrossAt(development, at, name, 'tick', say)
    if ('problem' in placed) return placed
    line.push({ role: 'place', line: placed.line, mark: name })
    marks.push(...placed.marks)
  }
  return { line, marks }
}

/** The line over the panel from where a tape reads `at` mm along the bottom edge to the same share of the top edge. */
function acrossAt(development: Development, at: number, code: string, what: string, say: Say): Placed<Stretch> {
  const [bottom, top] = ['bottom', 'top'].map((name) => development.edges.find((edge) => edge.name === name))
  if (!bottom || !top) return { problem: noSuchEdges(alongBottom(at, say)) }
  const [low, high] = [pathLength(bottom.path), pathLength(top.path)]
  const [whole, over] = [wholeTape(bottom, low), wholeTape(top, high)]
  if (at <= 0 || at >= whole) {
    return {
      problem: {
        code: 'off_the_edge',
        value: say(at),
        limit: `the bottom edge is ${say(whole)} long, and the place must lie between its ends`,
        cure: 'Measure from the left end of the bottom edge.',
      },
    }
  }
  const along = filmAt(bottom, at)
  // The top edge runs from right to left.
  const back = high - (high * along) / low
  const line = { from: stationAt(bottom.path, along).at, to: stationAt(top.path, back).at }
  const mark = (end: 'bottom' | 'top', mm: number): ObjectMark => ({
    code: `${code} ${end}`,
    text: `Mark the object for the ${what} ${say(mm)} along the ${end} edge, from its left end.`,
  })
  return { line, marks: [mark('bottom', at), mark('top', over - tapeAt(top, back))] }
}

const alongBottom = (at: number, say: Say): string => `${say(at)} along the bottom edge`

const noSuchEdges = (value: string): Omit<Problem, 'field'> => ({
  code: 'no_such_edges',
  value,
  limit: 'a measured place needs a panel with a bottom and a top edge',
  cure: 'Leave it out for this shape; upright and level hinges work on any.',
})

/** Where the line square to the hinge through its middle meets the measured edges, from left to right. */
function levelEnds({ edges, hinge: { from, to } }: Development) {
  const way = scaled(leftOf(unit(subtract(to, from))), -1)
  const met = edges.flatMap(({ name, path }) =>
    crossings(path, between(from, to, 0.5), way).map((crossing) => ({ ...crossing, name, path })),
  )
  return met.sort((a, b) => a.reach - b.reach)
}

/** Marks of a level hinge, told from the lower end of the edges that it ends on. */
function levelMarks(ends: ReturnType<typeof levelEnds>, say: Say): ObjectMark[] {
  return ends.flatMap(({ name, path, length }, i) => {
    if (i > 0 && i < ends.length - 1) return []
    const rises = endOf(path).y >= path.start.y
    const up = rises ? length : pathLength(path) - length
    return [
      {
        code: i === 0 ? 'hinge left' : 'hinge right',
        text: `Mark the object ${say(up)} along the ${name} edge, from its lower end.`,
      },
    ]
  })
}
