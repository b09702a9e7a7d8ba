import Flatbush from 'flatbush'
import { toChord } from './chord.ts'
import { flatten } from './flatten.ts'
import type { Path } from './path.ts'
import { between, distance, type Point } from './point.ts'

/** How far two lines are apart at the worst place. */
export interface Deviation {
  /** mm */
  readonly distance: number
  readonly at: Point
}

/** Chords for measuring against: their own error is 20 times under the flattening tolerance. */
const fine = 0.001

/** A chord that comes this near, mm, is found without asking for the nearest boxes in order: files are nearly right. */
const close = 0.05

/** Under this many points looking at every chord beats an index. */
const fewChords = 32

/** The largest distance between what was cut and what was asked, looked for from both sides, mm. */
export function deviation(cut: Path, asked: Path): Deviation {
  const a = withReturn(cut)
  const b = withReturn(asked)
  const there = farthest(a, b)
  const back = farthest(b, a)
  return there.distance >= back.distance ? there : back
}

function withReturn(path: Path): readonly Point[] {
  const points = flatten(path, fine)
  return path.closed ? [...points, points[0] as Point] : points
}

/** The point of `line` (corners and middles of its chords) that lies farthest from `other`. */
function farthest(line: readonly Point[], other: readonly Point[]): Deviation {
  const nearest = nearestTo(other)
  let worst: Deviation = { distance: 0, at: line[0] as Point }
  const look = (p: Point) => {
    const own = nearest(p)
    if (own > worst.distance) worst = { distance: own, at: p }
  }
  line.forEach((p, i) => {
    const next = line[i + 1]
    look(p)
    if (!next) return
    // Long chords are looked at every 2 mm, or at 50 places: what stands out beside one shows from the other line's corners.
    const parts = Math.min(50, Math.ceil(distance(p, next) / 2) + 1)
    for (let k = 1; k < parts; k++) look(between(p, next, k / parts))
  })
  return worst
}

function nearestTo(line: readonly Point[]): (p: Point) => number {
  const single = line[0] as Point
  if (line.length < 2) return (p) => distance(p, single)
  if (line.length < fewChords) {
    const to = (p: Point) => (best: number, b: Point, i: number) => Math.min(best, toChord(p, line[i] as Point, b))
    return (p) => line.slice(1).reduce(to(p), Infinity)
  }
  const index = new Flatbush(line.length - 1)
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1] as Point
    const b = line[i] as Point
    index.add(Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y))
  }
  index.finish()
  return (p) => {
    let best = Infinity
    for (const i of index.search(p.x - close, p.y - close, p.x + close, p.y + close)) {
      best = Math.min(best, toChord(p, line[i] as Point, line[i + 1] as Point))
    }
    if (best <= close) return best
    // Boxes come nearest first; one farther than the best chord so far cannot hold a nearer one.
    for (let wanted = 3; ; wanted *= 4) {
      const near = index.neighbors(p.x, p.y, wanted)
      for (const i of near) best = Math.min(best, toChord(p, line[i] as Point, line[i + 1] as Point))
      const last = near.at(-1)
      if (near.length < wanted || last === undefined) return best
      if (boxDistance(p, line[last] as Point, line[last + 1] as Point) >= best) return best
    }
  }
}

function boxDistance(p: Point, a: Point, b: Point): number {
  const dx = Math.max(Math.min(a.x, b.x) - p.x, 0, p.x - Math.max(a.x, b.x))
  const dy = Math.max(Math.min(a.y, b.y) - p.y, 0, p.y - Math.max(a.y, b.y))
  return Math.hypot(dx, dy)
}
