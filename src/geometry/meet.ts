import Flatbush from 'flatbush'
import { cubicDerivative, cubicLength } from './cubic.ts'
import { type Path, type Piece, pieces } from './path.ts'
import { between, cross, distance, dot, leftOf, norm, type Point, scaled, subtract, turnBetween } from './point.ts'
import { segmentLength, segmentPoint } from './segment.ts'
import { apart, extent, halves, headingOn, level, type Span, spanOf, upright } from './span.ts'

/** Where two paths meet. */
export interface Meeting {
  readonly at: Point
  /** mm along the first path; 0 for the start of a closed one, never its whole length */
  readonly onA: number
  /** mm along the second path */
  readonly onB: number
  /** Do the paths run along each other there, or does one stay on one side of the other? */
  readonly touches: boolean
}

/** Nearer than this is on the path, mm. */
const near = 1e-9

/** Findings nearer than this along both paths are one place, mm. */
const onePlace = 1e-7

/** Spans of nearly one direction are halved down to this before they may be said to touch, mm. */
const shortSpan = 0.01

/** Spans that small are said to meet where there is no gap, whatever their directions: about a cusp, mm. */
const tinySpan = 1e-6

/** Two directions nearer than this are the same, rad. */
const sameWay = 1e-6

/** A curve that turns by less than this is straight, rad: a cubic whose handles lie along it. */
const straight = 1e-13

/** A piece with its length and the length before it, mm. */
interface Run extends Piece {
  readonly index: number
  readonly length: number
  readonly before: number
  readonly whole: Span
}

/** Parameters on a run of each path; a `loose` finding is a touch whose place is known to `shortSpan` only. */
interface Finding {
  readonly a: Run
  readonly b: Run
  readonly s: number
  readonly t: number
  readonly loose: boolean
}

/**
 * All places where two paths meet, in order along `a`; exact for lines, arcs and cubics, to 1e-9 mm where they cross
 * at more than a grazing angle. A stretch that both have in common is reported by its two ends and the joints of
 * segments within it, all with `touches`. Curves that come within 1e-9 mm of each other without crossing touch.
 */
export function meetings(a: Path, b: Path): Meeting[] {
  const runsA = runsOf(a)
  const runsB = runsOf(b)
  if (runsA.length === 0 || runsB.length === 0) return []
  const index = new Flatbush(runsB.length)
  for (const { whole } of runsB) {
    const [lowX, highX] = extent(whole.hull, level)
    const [lowY, highY] = extent(whole.hull, upright)
    index.add(lowX - near, lowY - near, highX + near, highY + near)
  }
  index.finish()
  const found: Finding[] = []
  for (const run of runsA) {
    const [lowX, highX] = extent(run.whole.hull, level)
    const [lowY, highY] = extent(run.whole.hull, upright)
    for (const j of index.search(lowX, lowY, highX, highY)) meetRuns(run, runsB[j] as Run, found)
  }
  return places(found, { runs: runsA, closed: a.closed }, { runs: runsB, closed: b.closed })
}

/** The pieces but for those of no length, which their neighbours' ends stand for. */
function runsOf(path: Path): Run[] {
  const runs: Run[] = []
  let before = 0
  for (const { from, segment } of pieces(path)) {
    const length = segmentLength(from, segment)
    const whole = spanOf({ from, segment }, 0, 1)
    if (length > near) runs.push({ from, segment, index: runs.length, length, before, whole })
    before += length
  }
  return runs
}

const pointOn = (run: Run, t: number): Point => segmentPoint(run.from, run.segment, t)
const clamped = (t: number): number => Math.max(0, Math.min(1, t))

/** Derivative by the parameter, mm. */
function derivative(run: Run, t: number): Point {
  if (run.segment.kind === 'cubic') return cubicDerivative(run.from, run.segment, t)
  return scaled(headingOn(run, t), run.length)
}

function meetRuns(a: Run, b: Run, found: Finding[]): void {
  if (a.segment.kind === 'line' && b.segment.kind === 'line') {
    meetLines(a, b, found)
    return
  }
  let endsKnown = false
  const crossed: Finding[] = []
  const open: [Span, Span][] = [[a.whole, b.whole]]
  for (let pair = open.pop(); pair; pair = open.pop()) {
    const [x, y] = pair
    if (apart(x, y)) continue
    const angle = angleBetween(x.way, y.way)
    const spread = x.spread + y.spread
    if (angle > Math.max(3 * spread, sameWay)) {
      // Curves of plainly different directions meet once at most.
      const one = crossing(a, x, b, y, angle)
      if (one) {
        // Neighbouring spans find the same place.
        if (!crossed.some((other) => sameFinding(one, other))) {
          crossed.push(one)
          found.push(one)
        }
        continue
      }
    } else {
      if (!endsKnown) {
        endsKnown = true
        const ends = endsInCommon(a, b)
        found.push(...ends)
        if (runTogether(ends)) return
      }
      // Two straight spans, one on the other? As they are known to lie on one line, their ends say it all.
      if (spread < straight && angle < sameWay) {
        found.push(...spanEnds(a, x, b, y))
        continue
      }
      const touch = spread < 0.3 && Math.max(x.size, y.size) < shortSpan ? touching(a, x, b, y) : undefined
      if (touch) {
        found.push(touch)
        continue
      }
    }
    const size = x.size + y.size
    const small = size < tinySpan ? beside(a, x, b, y) : undefined
    if (small) {
      found.push(small)
    } else if (size < near) {
      found.push({ a, b, s: (x.low + x.high) / 2, t: (y.low + y.high) / 2, loose: true })
    } else if (x.size > y.size) {
      for (const half of halves(a, x)) open.push([half, y])
    } else {
      for (const half of halves(b, y)) open.push([x, half])
    }
  }
}

function sameFinding(one: Finding, other: Finding): boolean {
  return Math.abs(other.s - one.s) * one.a.length + Math.abs(other.t - one.t) * one.b.length < onePlace
}

function meetLines(a: Run, b: Run, found: Finding[]): void {
  const u = headingOn(a, 0)
  const v = headingOn(b, 0)
  const turn = cross(u, v)
  // Nearly the same direction? Then the ends say more than the place where endless lines would meet.
  if (Math.abs(turn) < sameWay) {
    if (apart(a.whole, b.whole)) return
    const ends = endsInCommon(a, b)
    found.push(...ends)
    if (ends.length > 0 || turn === 0) return
  }
  const gap = subtract(b.from, a.from)
  const one = settled(a, cross(gap, v) / turn / a.length, b, cross(gap, u) / turn / b.length)
  if (one) found.push(one)
}

/** Angle between two directions either way along them, 0 to pi / 2. */
function angleBetween(u: Point, v: Point): number {
  return Math.atan2(Math.abs(cross(u, v)), Math.abs(dot(u, v)))
}

/** The one place where two spans cross, or just past their ends, by Newton's method on both parameters. */
function crossing(a: Run, x: Span, b: Run, y: Span, angle: number): Finding | undefined {
  let s = (x.low + x.high) / 2
  let t = (y.low + y.high) / 2
  for (let i = 0; i < 12; i++) {
    const gap = subtract(pointOn(b, t), pointOn(a, s))
    const u = derivative(a, s)
    const v = derivative(b, t)
    const det = cross(u, v)
    if (det === 0) return undefined
    const ds = cross(gap, v) / det
    const dt = cross(gap, u) / det
    s += ds
    t += dt
    // A step that far leaves the part in which the directions are known.
    if (outside(s, x) > 2 * (x.high - x.low) || outside(t, y) > 2 * (y.high - y.low)) return undefined
    if (Math.abs(ds) < 1e-15 && Math.abs(dt) < 1e-15) break
  }
  const one = settled(a, s, b, t)
  const slack = near / Math.sin(angle)
  if (!one || outside(one.s, x) > x.high - x.low + slack / a.length) return undefined
  return outside(one.t, y) > y.high - y.low + slack / b.length ? undefined : one
}

function outside(t: number, { low, high }: Span): number {
  return Math.max(low - t, t - high, 0)
}

/**
 * Where two nearly parallel short spans run in the same direction with nothing between them. Their headings change
 * evenly over so short a way.
 */
function touching(a: Run, x: Span, b: Run, y: Span): Finding | undefined {
  const turnA = turnPerParameter(a, x)
  const turnB = turnPerParameter(b, y)
  let s = (x.low + x.high) / 2
  let t = (y.low + y.high) / 2
  for (let i = 0; i < 40; i++) {
    const u = headingOn(a, s)
    const heading = headingOn(b, t)
    const hand = dot(u, heading) < 0 ? -1 : 1
    const v = scaled(heading, hand)
    const along = dot(subtract(pointOn(b, t), pointOn(a, s)), u)
    const off = turnBetween(u, v)
    const speedA = norm(derivative(a, s))
    const speedB = norm(derivative(b, t)) * hand
    if (speedA === 0 || speedB === 0) return undefined
    const bend = turnA / speedA - turnB / speedB
    // Do both bend alike? Then no place is nearest: take the one beside the middle.
    if (Math.abs(bend) < 1e-9) {
      t = nearest(b, pointOn(a, s), t)
      break
    }
    const ds = (off - (turnB * along) / speedB) / (speedA * bend)
    const dt = (speedA * ds - along) / speedB
    s += ds
    t += dt
    if (Math.abs(ds * speedA) < 1e-11) break
  }
  const one = settled(a, s, b, t)
  const close = one && outside(one.s, x) * a.length < 10 * shortSpan && outside(one.t, y) * b.length < 10 * shortSpan
  const found = close ? one : alongside(a, x, b, y)
  return found && { ...found, loose: true }
}

/** The middle of the first span, if the second runs along it there without a gap. */
function alongside(a: Run, x: Span, b: Run, y: Span): Finding | undefined {
  const one = beside(a, x, b, y)
  return one && angleBetween(headingOn(a, one.s), headingOn(b, one.t)) < sameWay ? one : undefined
}

/** The middle of the first span, if the second leaves no gap to it. */
function beside(a: Run, x: Span, b: Run, y: Span): Finding | undefined {
  const s = (x.low + x.high) / 2
  const one = settled(a, s, b, nearest(b, pointOn(a, s), (y.low + y.high) / 2))
  return one && { ...one, loose: true }
}

/** Ends of either straight span that lie on the other. */
function spanEnds(a: Run, x: Span, b: Run, y: Span): Finding[] {
  const onB = [x.low, x.high].map((s) => settled(a, s, b, nearest(b, pointOn(a, s), (y.low + y.high) / 2)))
  const onA = [y.low, y.high].map((t) => settled(a, nearest(a, pointOn(b, t), (x.low + x.high) / 2), b, t))
  return [...onA, ...onB].filter((one) => one !== undefined).map((one) => ({ ...one, loose: true }))
}

function turnPerParameter(run: Run, { low, high }: Span): number {
  const u = headingOn(run, low)
  const v = headingOn(run, high)
  return turnBetween(u, v) / (high - low)
}

/** A finding on both runs, not past their ends; undefined where that leaves a gap. */
function settled(a: Run, atA: number, b: Run, atB: number): Finding | undefined {
  let s = snapped(a, atA)
  let t = snapped(b, atB)
  if (s !== atA) t = snapped(b, nearest(b, pointOn(a, s), t))
  if (t !== atB) s = snapped(a, nearest(a, pointOn(b, t), s))
  return distance(pointOn(a, s), pointOn(b, t)) <= 2 * near ? { a, b, s, t, loose: false } : undefined
}

function snapped(run: Run, t: number): number {
  const slack = near / run.length
  if (t < slack) return 0
  return t > 1 - slack ? 1 : t
}

/** The parameter of the nearest point, looked for from `t` on; for points on the run or as good as. */
function nearest(run: Run, p: Point, t: number): number {
  let best = clamped(t)
  for (let i = 0; i < 20; i++) {
    const d = derivative(run, best)
    const speed = dot(d, d)
    if (speed === 0) return best
    const next = clamped(best + dot(subtract(p, pointOn(run, best)), d) / speed)
    if (Math.abs(next - best) < 1e-16) return next
    best = next
  }
  return best
}

/** The parameter at which the run passes through `p`, if it does. */
function parameterOf(run: Run, p: Point): number | undefined {
  const { hull, way } = run.whole
  if ([level, upright, leftOf(way)].some((axis) => isPast(hull, axis, p))) return undefined
  const passes = (t: number) => distance(p, pointOn(run, t)) <= near
  if (passes(0)) return 0
  if (passes(1)) return 1
  const samples = run.segment.kind === 'line' ? [0] : sixteenths
  const apartBy = samples.map((t) => distance(p, pointOn(run, t)))
  for (const [i, t] of samples.entries()) {
    const own = apartBy[i] as number
    if (own > (apartBy[i - 1] ?? Infinity) || own > (apartBy[i + 1] ?? Infinity)) continue
    const best = nearest(run, p, t)
    if (passes(best)) return best
  }
  return undefined
}

const sixteenths: readonly number[] = Array.from({ length: 17 }, (_, i) => i / 16)

function isPast(hull: readonly Point[], axis: Point, p: Point): boolean {
  const [low, high] = extent(hull, axis)
  const own = dot(p, axis)
  return own < low - near || own > high + near
}

/** Ends of either run that lie on the other, in order along `a`. */
function endsInCommon(a: Run, b: Run): Finding[] {
  const found: Finding[] = []
  const take = (s: number | undefined, t: number | undefined) => {
    if (s === undefined || t === undefined) return
    const one = { a, b, s: snapped(a, s), t: snapped(b, t), loose: false }
    if (!found.some((other) => sameFinding(one, other))) found.push(one)
  }
  for (const end of [0, 1]) {
    take(end, parameterOf(b, pointOn(a, end)))
    take(parameterOf(a, pointOn(b, end)), end)
  }
  return found.sort((one, other) => one.s - other.s)
}

/** Are the runs one and the same between the first and the last of their common ends? */
function runTogether(ends: readonly Finding[]): boolean {
  const first = ends[0]
  const last = ends.at(-1)
  if (!first || !last || (last.s - first.s) * first.a.length < onePlace) return false
  return [0.2, 0.5, 0.7].every((share) => {
    const p = pointOn(first.a, first.s + (last.s - first.s) * share)
    return parameterOf(first.b, p) !== undefined
  })
}

interface Runs {
  readonly runs: readonly Run[]
  readonly closed: boolean
}

/** A finding with mm along both paths. */
interface Listed {
  readonly finding: Finding
  readonly onA: number
  readonly onB: number
}

function places(found: readonly Finding[], a: Runs, b: Runs): Meeting[] {
  const wholeA = wholeLength(a)
  const wholeB = wholeLength(b)
  const listed: readonly Listed[] = found
    .map((finding) => ({
      finding,
      onA: lengthTo(finding.a, finding.s, wholeA, a.closed),
      onB: lengthTo(finding.b, finding.t, wholeB, b.closed),
    }))
    .sort((one, other) => one.onA - other.onA)
  const round = (d: number, whole: number, closed: boolean) => (closed ? Math.min(d, whole - d) : d)
  const again = new Set<Listed>()
  /** Are they one place? Then the one that is less sure of it is let go. Says whether they are far apart along `a`. */
  const compare = (one: Listed, other: Listed): boolean => {
    const apartA = round(Math.abs(other.onA - one.onA), wholeA, a.closed)
    const apartB = round(Math.abs(other.onB - one.onB), wholeB, b.closed)
    const reach = one.finding.loose || other.finding.loose ? 2 * shortSpan : onePlace
    if (apartA < reach && apartB < reach) again.add(other.finding.loose && !one.finding.loose ? other : one)
    return apartA >= 2 * shortSpan
  }
  for (const [i, one] of listed.entries()) {
    for (let k = i - 1; k >= 0; k--) if (compare(one, listed[k] as Listed)) break
    // Round the start of a closed path the first ones may be near too.
    if (!a.closed || wholeA - one.onA >= 2 * shortSpan) continue
    for (let k = 0; k < i; k++) if (compare(one, listed[k] as Listed)) break
  }
  return listed
    .filter((one) => !again.has(one))
    .map(({ finding, onA, onB }) => ({
      at: pointAt(finding),
      onA,
      onB,
      touches: finding.loose || !crossesAt(raysAt(a, finding.a, finding.s), raysAt(b, finding.b, finding.t)),
    }))
}

/** Halfway between the two paths, but at the very end of a segment where there is one. */
function pointAt({ a, s, b, t }: Finding): Point {
  if (s === 0 || s === 1) return pointOn(a, s)
  return t === 0 || t === 1 ? pointOn(b, t) : between(pointOn(a, s), pointOn(b, t), 0.5)
}

function wholeLength({ runs }: Runs): number {
  const last = runs.at(-1)
  return last ? last.before + last.length : 0
}

function lengthTo(run: Run, t: number, whole: number, closed: boolean): number {
  const own = run.segment.kind === 'cubic' && t > 0 && t < 1 ? cubicLength(run.from, run.segment, 0, t) : t * run.length
  const length = run.before + own
  return closed && whole - length < near ? 0 : length
}

/** The directions in which a path leaves a place, onwards and backwards. An open end counts as running straight on. */
function raysAt({ runs, closed }: Runs, run: Run, t: number): [Point, Point] {
  const next = runs[run.index + 1] ?? (closed ? runs[0] : undefined)
  const last = runs[run.index - 1] ?? (closed ? runs.at(-1) : undefined)
  const on = t === 1 && next ? headingOn(next, 0) : headingOn(run, t)
  const back = t === 0 && last ? headingOn(last, 1) : headingOn(run, t)
  return [on, scaled(back, -1)]
}

/** Does the one path go from one side of the other to its other side? Not where they leave in the same direction. */
function crossesAt(a: readonly [Point, Point], b: readonly [Point, Point]): boolean {
  const same = (u: Point, v: Point) => Math.abs(cross(u, v)) < sameWay && dot(u, v) > 0
  if (a.some((u) => b.some((v) => same(u, v)))) return false
  const fromB = (u: Point) => (Math.atan2(cross(b[0], u), dot(b[0], u)) + 2 * Math.PI) % (2 * Math.PI)
  const left = fromB(b[1])
  return fromB(a[0]) < left !== fromB(a[1]) < left
}
