import { flatten } from '../../geometry/flatten.ts'
import { arcTo, openPath, type Path, pieces } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'
import { type TurnKeeping, type TurnLeg, turnsOf } from './turns.ts'

/** Straight moves to whole units: x, y, x, y ... and never twice to one place in a row, but for a dot. */
export interface Chords {
  readonly kind: 'chords'
  readonly to: readonly number[]
}

/** One tool-down stroke in whole units, from x, y on. Where a turn misses its whole unit, chords from there come next. */
export interface UnitStroke {
  readonly x: number
  readonly y: number
  readonly legs: readonly (Chords | TurnLeg)[]
}

/** A tool's commands, without `;`, and the strokes it then does. */
export interface ToolRun {
  readonly select: readonly string[]
  readonly strokes: readonly UnitStroke[]
}

/** All that a dialect puts into words. */
export interface UnitJob {
  readonly runs: readonly ToolRun[]
  /** bytes in a line with its line feed, 40 or more */
  readonly lineBytes: number
  /** the largest number that may be written, either sign; a larger difference of coordinates is written absolute */
  readonly range: number
}

/** How a path comes to whole units. */
export interface UnitMap {
  readonly toUnits: (p: Point) => Point
  /** mm, of curves against their chords */
  readonly tolerance: number
  /** undefined for chords throughout */
  readonly turns: TurnKeeping | undefined
}

/** A place in whole units, rounded once from where it is; no -0. */
const wholeUnits = ({ x, y }: Point): Point => ({ x: Math.round(x) + 0, y: Math.round(y) + 0 })

/**
 * A path in whole units; one that comes down to a single unit is a dot, so that none is lost.
 * @param flat the path flattened to the map's tolerance
 */
export function unitStroke(path: Path, flat: readonly Point[], map: UnitMap): UnitStroke {
  const { x, y } = wholeUnits(map.toUnits(path.start))
  const legs = map.turns ? legsWithTurns(path, map, map.turns) : chordLegs(flat, path.closed, map.toUnits)
  return { x, y, legs: legs.length > 0 ? legs : [{ kind: 'chords', to: [x, y] }] }
}

/** Straight moves through points, back to the first where closed. */
function chordLegs(flat: readonly Point[], closed: boolean, toUnits: UnitMap['toUnits']): Chords[] {
  const to: number[] = []
  let firstX = 0
  let firstY = 0
  let lastX = Number.NaN
  let lastY = Number.NaN
  for (const p of flat) {
    const exact = toUnits(p)
    const x = Math.round(exact.x) + 0
    const y = Math.round(exact.y) + 0
    if (x === lastX && y === lastY) continue
    // The first is where the stroke starts, not a move.
    if (Number.isNaN(lastX)) {
      firstX = x
      firstY = y
    } else {
      to.push(x, y)
    }
    lastX = x
    lastY = y
  }
  if (closed && (lastX !== firstX || lastY !== firstY)) to.push(firstX, firstY)
  return to.length > 0 ? [{ kind: 'chords', to }] : []
}

function legsWithTurns(path: Path, { toUnits, tolerance }: UnitMap, keeping: TurnKeeping): (Chords | TurnLeg)[] {
  const legs: ({ readonly kind: 'chords'; readonly to: number[] } | TurnLeg)[] = []
  let at = wholeUnits(toUnits(path.start))
  const chords = () => {
    const last = legs.at(-1)
    if (last?.kind === 'chords') return last.to
    const to: number[] = []
    legs.push({ kind: 'chords', to })
    return to
  }
  const drawTo = (exact: Point) => {
    const p = wholeUnits(exact)
    if (p.x !== at.x || p.y !== at.y) chords().push(p.x, p.y)
    at = p
  }
  for (const { from, segment } of pieces(path)) {
    const start = toUnits(from)
    const to = toUnits(segment.to)
    const sweep = segment.kind === 'arc' ? segment.sweep * (keeping.mirrors ? -1 : 1) : 0
    const kept =
      segment.kind === 'arc' ? turnsOf(start, arcTo(to, sweep), at, tolerance * keeping.scale, keeping) : undefined
    for (const turn of kept?.turns ?? []) {
      legs.push(turn.leg)
      at = turn.end
      if (!turn.meets) chords().push(at.x, at.y)
    }
    if (kept) kept.rest.forEach(drawTo)
    else for (const p of flatten(openPath(from, segment), tolerance).slice(1)) drawTo(toUnits(p))
  }
  return legs
}
