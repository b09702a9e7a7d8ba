import { signedArea } from './area.ts'
import { pointInside } from './inside.ts'
import { pathLength, stationAt } from './length.ts'
import { type Meeting, meetings } from './meet.ts'
import { lineTo, type Path, type Piece, pieces, reversed, type Segment } from './path.ts'
import { distance, type Point } from './point.ts'
import { parameterAt, segmentLength, segmentPart } from './segment.ts'

/** An outline less its openings; both run counter-clockwise. */
export interface CutOut {
  readonly outline: Path
  readonly holes: readonly Path[]
}

/**
 * Why openings cannot be taken out: the outline falls into several pieces (`splits`), nothing of it is left
 * (`swallows`), something would hang together by a point or is only touched (`touches`), or the opening lies beside
 * the outline (`outside`). Openings count from 0; `other` is a second one that has its share in it.
 */
export interface CutOutProblem {
  readonly problem: 'splits' | 'swallows' | 'touches' | 'outside'
  readonly opening: number
  readonly other?: number
}

/**
 * A closed simple counter-clockwise outline less closed simple openings. Lines, arcs and cubics stay what they are.
 * Openings that overlap or lie against each other count as one; one that crosses the outline is bitten out of it.
 */
export function cutOut(outline: Path, openings: readonly Path[]): CutOut | CutOutProblem {
  const groups = merged(openings)
  if ('problem' in groups) return groups
  let left = outline
  const holes: Path[] = []
  for (const group of groups) {
    const blame = (problem: CutOutProblem['problem']) => blameFor(problem, group.members)
    // An island in the opening stays a piece of its own, unless it lies beside the outline or goes round it.
    const relations = group.islands.map((island) => relationOf(island, outline))
    if (relations.includes('round')) return blame('outside')
    if (relations.some((relation) => relation !== 'beside')) return blame('splits')
    const relation = relationOf(group.outer, left)
    if (relation === 'beside') return blame('outside')
    if (relation === 'round') return blame('swallows')
    if (relation === 'within') {
      holes.push(group.outer)
      continue
    }
    const rest = combined(left, group.outer, relation, 'less')
    if (rest === undefined || rest.unchanged) return blame('touches')
    const [only, ...others] = rest.loops
    if (!only) return blame('swallows')
    if (others.length > 0) return blame('splits')
    left = only
  }
  return { outline: left, holes }
}

function blameFor(problem: CutOutProblem['problem'], members: readonly number[]): CutOutProblem {
  const [opening = 0, other] = members
  return other === undefined ? { problem, opening } : { problem, opening, other }
}

/** Openings in one: the line round them, what of the film stays inside it, and their numbers. */
interface Group {
  readonly outer: Path
  readonly islands: readonly Path[]
  readonly members: readonly number[]
}

function merged(openings: readonly Path[]): readonly Group[] | CutOutProblem {
  const ways = openings.map((opening) => (signedArea(opening) < 0 ? reversed(opening) : opening))
  let groups: Group[] = []
  for (const [i, way] of ways.entries()) {
    let grown: Group = { outer: way, islands: [], members: [i] }
    // What has grown may reach a group passed over before.
    for (let next = takeIn(groups, grown, ways); next; next = takeIn(groups, grown, ways)) {
      if ('problem' in next) return next
      grown = next.grown
      groups = next.rest
    }
    groups.push(grown)
  }
  return groups
}

/** The first group that meets `grown`, made one with it; undefined where none does. */
function takeIn(
  groups: readonly Group[],
  grown: Group,
  ways: readonly Path[],
): { readonly grown: Group; readonly rest: Group[] } | CutOutProblem | undefined {
  for (const group of groups) {
    const relation = relationOf(group.outer, grown.outer)
    if (relation === 'beside') continue
    const members = [...group.members, ...grown.members].sort((a, b) => a - b)
    const rest = groups.filter((other) => other !== group)
    const both = unionOf(group.outer, grown.outer, relation)
    if (!both) return { problem: 'touches', opening: group.members[0] ?? 0, other: grown.members.at(-1) ?? 0 }
    const islands = members.reduce<readonly Path[]>(
      (left, i) => left.flatMap((island) => islandLess(island, ways[i] as Path)),
      [...group.islands, ...grown.islands, ...both.voids],
    )
    return { grown: { outer: both.outer, islands, members }, rest }
  }
  return undefined
}

function unionOf(a: Path, b: Path, relation: Relation): { outer: Path; voids: readonly Path[] } | undefined {
  if (relation === 'within') return { outer: b, voids: [] }
  if (relation === 'round') return { outer: a, voids: [] }
  if (relation === 'beside') return undefined
  const result = combined(b, a, relation, 'with')
  const outer = result?.loops.filter((loop) => signedArea(loop) > 0) ?? []
  if (!result || outer.length !== 1) return undefined
  return { outer: outer[0] as Path, voids: result.loops.filter((loop) => !outer.includes(loop)).map(reversed) }
}

/** What an opening leaves of an island. One wholly inside the island, or against it, leaves it an island. */
function islandLess(island: Path, opening: Path): readonly Path[] {
  const relation = relationOf(opening, island)
  if (relation === 'round') return []
  if (relation === 'within' || relation === 'beside') return [island]
  return combined(island, opening, relation, 'less')?.loops ?? [island]
}

/** How `a` lies to `b`: one wholly within the other, beside it, or the places where their lines meet, along `b` first. */
type Relation = 'within' | 'round' | 'beside' | readonly Meeting[]

function relationOf(a: Path, b: Path): Relation {
  const met = meetings(b, a)
  if (met.length > 0) return met
  if (pointInside(b, a.start)) return 'within'
  return pointInside(a, b.start) ? 'round' : 'beside'
}

/** A stretch of a closed path between two meetings, by their numbers. */
interface Stretch {
  readonly from: number
  readonly to: number
  readonly path: Path
  readonly length: number
  readonly middle: Point
}

/** Two stretches with middles nearer than this, mm, are one and the same. */
const oneStretch = 1e-6

/**
 * The closed lines round what is in `a` but not in `b` (`less`), or in either (`with`); both run counter-clockwise.
 * Undefined where a line would touch itself. `unchanged` says that all of `a` is still there and nothing of `b`.
 */
function combined(
  a: Path,
  b: Path,
  met: readonly Meeting[],
  how: 'less' | 'with',
): { readonly loops: readonly Path[]; readonly unchanged: boolean } | undefined {
  const onA = stretches(
    a,
    met.map((m) => ({ at: m.at, on: m.onA })),
  )
  const onB = stretches(
    b,
    met.map((m) => ({ at: m.at, on: m.onB })),
  )
  const isSame = (one: Stretch, other: Stretch) =>
    distance(one.middle, other.middle) < oneStretch && Math.abs(one.length - other.length) < oneStretch
  const alike = (one: Stretch, other: Stretch) => one.from === other.from && one.to === other.to && isSame(one, other)
  const opposed = (one: Stretch, other: Stretch) => one.from === other.to && one.to === other.from && isSame(one, other)
  const keptA = onA.filter((own) => {
    // A line in common bounds the union where both lie to its left, the difference where they lie apart.
    if (onB.some((other) => alike(own, other))) return how === 'with'
    if (onB.some((other) => opposed(own, other))) return how === 'less'
    return !pointInside(b, own.middle)
  })
  const keptB = onB.filter((own) => {
    if (onA.some((other) => alike(own, other) || opposed(own, other))) return false
    return pointInside(a, own.middle) === (how === 'less')
  })
  const turnedB = keptB.map((own) =>
    how === 'less' ? { ...own, from: own.to, to: own.from, path: reversed(own.path) } : own,
  )
  const loops = chained([...keptA, ...turnedB])
  return loops && { loops, unchanged: keptB.length === 0 && keptA.length === onA.length }
}

/** Stretches end to end as closed paths; undefined where an end meets none or several. */
function chained(own: readonly Stretch[]): readonly Path[] | undefined {
  const starts = new Map(own.map((stretch) => [stretch.from, stretch]))
  const ends = new Set(own.map((stretch) => stretch.to))
  if (starts.size < own.length || ends.size < own.length) return undefined
  const loops: Path[] = []
  for (const first of own) {
    if (!starts.has(first.from)) continue
    const segments: Segment[] = []
    let next: Stretch | undefined = first
    while (next) {
      starts.delete(next.from)
      segments.push(...next.path.segments)
      if (next.to === first.from) break
      next = starts.get(next.to)
    }
    if (!next) return undefined
    loops.push({ start: first.path.start, segments, closed: true })
  }
  return loops
}

/** A cut nearer than this to a joint of segments is made at the joint, mm. */
const atJoint = 1e-7

/** A closed path cut at places on it, given in mm along it; numbered as the places are. */
function stretches(path: Path, cuts: readonly { readonly at: Point; readonly on: number }[]): Stretch[] {
  const runs: (Piece & { readonly before: number; readonly length: number })[] = []
  let before = 0
  for (const piece of pieces(path)) {
    const length = segmentLength(piece.from, piece.segment)
    if (!(length > 0)) continue
    runs.push({ ...piece, before, length })
    before += length
  }
  const order = cuts.map((cut, number) => ({ ...cut, number })).sort((one, other) => one.on - other.on)
  const parts = (low: number, high: number): Segment[] =>
    runs.flatMap((run) => {
      const a = Math.max(0, low - run.before)
      const b = Math.min(run.length, high - run.before)
      const from = a < atJoint ? 0 : a
      const to = run.length - b < atJoint ? run.length : b
      if (run.length - from < atJoint || to < atJoint || to - from < atJoint) return []
      const t0 = from === 0 ? 0 : parameterAt(run.from, run.segment, from)
      const t1 = to === run.length ? 1 : parameterAt(run.from, run.segment, to)
      return [segmentPart(run.from, run.segment, t0, t1).segment]
    })
  return order.map((cut, i) => {
    const next = order[(i + 1) % order.length] as (typeof order)[number]
    const wraps = i === order.length - 1
    const own = wraps ? [...parts(cut.on, before), ...parts(0, next.on)] : parts(cut.on, next.on)
    const last = own.at(-1)
    // Both paths shall end in the very same point.
    const segments: Segment[] = last ? [...own.slice(0, -1), { ...last, to: next.at }] : [lineTo(next.at)]
    const part: Path = { start: cut.at, segments, closed: false }
    const length = pathLength(part)
    return { from: cut.number, to: next.number, path: part, length, middle: stationAt(part, length / 2).at }
  })
}
