import { sinc } from '../src/geometry/arc.ts'
import { fittedCurve } from '../src/geometry/fit.ts'
import { pathLength } from '../src/geometry/length.ts'
import { arcTo, endOf, lineTo, openPath, type Path, type Segment } from '../src/geometry/path.ts'
import { between, cross, type Point, point, subtract, unit } from '../src/geometry/point.ts'
import type { Problem } from '../src/measure/problem.ts'
import type { BareEdge, Development } from '../src/panel/development.ts'
import type { ObjectMark } from '../src/panel/panel.ts'
import { onObject, onPanel, type Surface } from '../src/panel/surface.ts'
import { tapedBy } from '../src/panel/taped.ts'
import type { Say } from '../src/panel/template.ts'
import { type OpeningValues, placedOpenings } from './openings.ts'
import { type Foot, type Rim, rimHeight, rimRate } from './slanted-rim.ts'

/** A band round a cylinder or cone, all lengths of film along its neutral line, mm. */
export interface Band {
  /** full girths at the bottom and the top edge; of an edge that slants, level with its left end */
  readonly bottomGirth: number
  readonly topGirth: number
  /** along the side, from edge to edge, at the left end of edges that slant */
  readonly slant: number
  /** what stays bare, on the level line at the bottom and at the top; 0 for a full wrap */
  readonly bottomGap: number
  readonly topGap: number
  /** set for a full wrap: how far the right edge laps over the left one, 0 for a butt seam */
  readonly overlap?: number
  /** set for an edge that slants */
  readonly bottomRim?: Rim
  readonly topRim?: Rim
  readonly openings: OpeningValues
  /** what a tape reads all the way round at the same places as the girths; as much as they if left out */
  readonly bottomTaped?: number
  readonly topTaped?: number
  readonly marks: readonly ObjectMark[]
  readonly notes: readonly string[]
}

/** What of a band is needed to work out its edges. */
export type BandForm = Pick<
  Band,
  'bottomGirth' | 'topGirth' | 'slant' | 'bottomGap' | 'topGap' | 'bottomRim' | 'topRim'
>

/**
 * Lays the band out flat about its hinge. Uses the mid-line form of a cone's development, so nothing breaks from a
 * cylinder (taper 0) to a flat ring.
 */
export function developBand(band: Band): readonly [Development] {
  const { surface, mid, half, low, high } = laidOut(band)
  const { bottomTaped = band.bottomGirth, topTaped = band.topGirth } = band
  const right = openPath(onPanel(surface, low.away, -half), lineTo(onPanel(surface, high.away, half)))
  const bottom = low.slants ? slantedEdge(surface, low, right, false) : levelEdge(surface, low.away, -half)
  const top = high.slants ? slantedEdge(surface, high, right, true) : mirroredBack(levelEdge(surface, high.away, half))
  const left = openPath(endOf(top), lineTo(bottom.start))
  const edge = (name: string, path: Path, girth: number, taped: number): BareEdge => {
    const film = pathLength(path)
    return { name, path, ...tapedBy([{ film, tape: girth === taped ? film : (film * taped) / girth }]) }
  }
  // What a tape reads all the way round `up` mm from the mid-line.
  const tapedAt = (up: number) => bottomTaped + (topTaped - bottomTaped) * (0.5 + up / band.slant)
  const lap = (mm: number) => (band.overlap === undefined ? {} : { lap: mm })
  const panel: Development = {
    edges: [
      edge('bottom', bottom, band.bottomGirth, bottomTaped),
      { name: 'right', path: openPath(endOf(bottom), lineTo(top.start)), ...lap(band.overlap ?? 0) },
      edge('top', top, band.topGirth, topTaped),
      { name: 'left', path: left, ...lap(0) },
    ],
    ...placedOpenings(band.openings, (along, fromBottom, half) => {
      const roundAt = (up: number) => {
        // The tape lies level to the middle of the left side, which stands on a wider level than the middle between.
        const aside = beside(surface, up, half)
        const level = up + aside.up
        const filmOverTape = (mid * (1 + surface.taper * level)) / tapedAt(level)
        const round =
          roundOf(surface, left, level) + ((along - half) * mid) / tapedAt(level) + filmOverTape * aside.round
        return band.overlap === undefined ? round : round - mid * Math.round(round / mid)
      }
      const up = levelAbove(low, fromBottom, roundAt)
      const round = roundAt(up)
      return { at: onPanel(surface, round, up), turn: -surface.taper * round }
    }),
    ...(band.overlap === undefined ? {} : { onceRound: mid }),
    hinge: { from: onPanel(surface, 0, low.up(0)), to: onPanel(surface, 0, high.up(0)) },
    surface,
    labelSpots: [0.5, -0.5, 0.25, -0.25].map((share) => {
      const round = (share * mid * (1 - band.bottomGap / band.bottomGirth)) / 2
      return { at: onPanel(surface, round, (low.up(round) + high.up(round)) / 2 - 2), turn: -surface.taper * round }
    }),
    marks: band.marks,
    notes: band.notes,
  }
  return [panel]
}

/** One of the two level or slanted edges of a band, told by `round`, mm from the hinge along the mid-line. */
interface Edge {
  /** where its ends stand if it is level, its left end in any case: `away` to both sides */
  readonly away: number
  readonly slants: boolean
  /** mm up the side from the mid-line */
  readonly up: (round: number) => number
  /** its derivative */
  readonly rate: (round: number) => number
}

interface LaidOut {
  readonly surface: Surface
  /** girth half way up the left edge, and half its length, mm */
  readonly mid: number
  readonly half: number
  readonly low: Edge
  readonly high: Edge
}

/** Edges, surface and heights of a band before it is drawn. */
export function laidOut(band: BandForm): LaidOut {
  const mid = (band.bottomGirth + band.topGirth) / 2
  const surface: Surface = { kind: 'round', taper: (band.topGirth - band.bottomGirth) / (band.slant * mid) }
  const half = band.slant / 2
  const lean = leanOf(band.bottomGirth, band.topGirth, band.slant)
  const edge = (girth: number, gap: number, level: number, rim: Rim | undefined): Edge => {
    // Distance along the mid-line at which an edge's end stands: its level arc carried to the mid-line.
    const away = ((girth - gap) / girth) * (mid / 2)
    if (!rim) return { away, slants: false, up: () => level, rate: () => 0 }
    const turn = (2 * Math.PI) / mid
    const foot: Foot = { radius: girth / (2 * Math.PI), lean, at: -away * turn }
    // mm up the side for each mm straight up
    const side = Math.hypot(1, lean)
    return {
      away,
      slants: true,
      up: (round) => level + side * rimHeight(rim, foot, round * turn),
      rate: (round) => side * turn * rimRate(rim, foot, round * turn),
    }
  }
  const low = edge(band.bottomGirth, band.bottomGap, -half, band.bottomRim)
  const high = edge(band.topGirth, band.topGap, half, band.topRim)
  return { surface, mid, half, low, high }
}

/** mm by which the radius grows for each mm straight up. */
export function leanOf(bottomGirth: number, topGirth: number, slant: number): number {
  const wider = (topGirth - bottomGirth) / (2 * Math.PI)
  return wider / Math.sqrt(Math.max(0, (slant - wider) * (slant + wider)))
}

/** An edge that slants, from the left to the right side of the film or `back`, as curves that meet on the hinge. */
function slantedEdge(surface: Surface, { away, up, rate }: Edge, right: Path, back: boolean): Path {
  const at = (round: number) => onPanel(surface, round, up(round))
  const heading = (round: number): Point => {
    const turn = surface.taper * round
    const along = 1 + surface.taper * up(round)
    return {
      x: Math.cos(turn) * along + Math.sin(turn) * rate(round),
      y: Math.cos(turn) * rate(round) - Math.sin(turn) * along,
    }
  }
  const way = unit(subtract(endOf(right), right.start))
  const end = zeroOf((round) => cross(way, subtract(at(round), right.start)), away * 0.999, away)
  const [from, to] = back ? [end, -away] : [-away, end]
  const first = fittedCurve(at, heading, from, 0)
  return openPath(first.start, ...first.segments, ...fittedCurve(at, heading, 0, to).segments)
}

/** The level `fromBottom` mm up the side from the bottom edge straight below; how far round depends on the level. */
function levelAbove({ up, slants }: Edge, fromBottom: number, roundAt: (level: number) => number): number {
  let level = fromBottom + up(0)
  for (let i = 0; slants && i < 100; i++) {
    const next = fromBottom + up(roundAt(level))
    if (Math.abs(next - level) < 1e-12) break
    level = next
  }
  return level
}

/**
 * Where the end of a straight line lies that runs `half` mm square to the line up the side at the level `up`: how far
 * round, mm along the mid-line, and how much higher or lower.
 */
function beside({ taper }: Surface, up: number, half: number): { round: number; up: number } {
  const turn = (taper * half) / (1 + taper * up)
  const round = Math.abs(turn) < 1e-6 ? half / (1 + taper * up) : Math.atan(turn) / taper
  return { round, up: (half * turn) / (1 + Math.hypot(1, turn)) }
}

/** How far round from the hinge a straight side stands at the level `up`, mm along the mid-line. */
function roundOf(surface: Surface, side: Path, up: number): number {
  const seen = (t: number) => onObject(surface, between(side.start, endOf(side), t))
  return seen(zeroOf((t) => seen(t).up - up, 0, 1)).round
}

/** Where a function that is nearly straight between and beyond `a` and `b` is 0, by the secant rule. */
function zeroOf(f: (t: number) => number, a: number, b: number): number {
  let [before, last] = [a, b]
  for (let i = 0; i < 50 && Math.abs(f(last)) > 1e-12; i++) {
    const [low, high] = [f(before), f(last)]
    if (low === high) break
    ;[before, last] = [last, last - (high * (last - before)) / (high - low)]
  }
  return last
}

/** The level line at `up` from `-away` to `away`, as two arcs that meet on the hinge. */
function levelEdge(surface: Surface, away: number, up: number): Path {
  const sweep = -surface.taper * away
  const end = onPanel(surface, away, up)
  const start = point(-end.x, end.y)
  const arcs = (to: Point): Segment => (sweep === 0 ? lineTo(to) : arcTo(to, sweep))
  return openPath(start, arcs(onPanel(surface, 0, up)), arcs(end))
}

/** A level edge run from right to left; it is its own mirror image, so only the turn changes its hand. */
function mirroredBack(edge: Path): Path {
  const segments = edge.segments.map((segment): Segment => {
    const to = point(-segment.to.x, segment.to.y)
    return segment.kind === 'arc' ? arcTo(to, -segment.sweep) : lineTo(to)
  })
  return openPath(endOf(edge), ...segments)
}

/**
 * The level arc of girth `girth` taken up by a strip with parallel sides `width` mm apart that lies up the cone.
 * On the flat panel its sides are two straight parallel lines, so the arc is longer than the width:
 * 2 rho asin(width / (2 rho)) at the distance rho from the apex.
 */
export function stripArc(width: number, girth: number, otherGirth: number, slant: number): number {
  const taper = Math.abs(girth - otherGirth) / slant
  const x = (width * taper) / (2 * girth)
  return x > 1 ? Infinity : width / sinc(Math.asin(x))
}

/** Length of film over an arc of tape on the same object: each mm of radius counts by the angle of the arc. */
export function filmArc(arc: number, girth: number, filmGirth: number): number {
  return (arc * filmGirth) / girth
}

/** Where the hinge meets the object, told from what a person can put the tape's end on; level where an edge slants. */
export function hingeMarks(
  from: string,
  bottom: number,
  top: number,
  say: Say,
  rims: Pick<Band, 'bottomRim' | 'topRim'> = {},
): ObjectMark[] {
  const where = (edge: 'bottom' | 'top', rim: Rim | undefined) =>
    rim
      ? `tape level with the ${edge === 'bottom' ? 'lower' : 'upper'} end of the left edge, and run a line straight ` +
        `${edge === 'bottom' ? 'down' : 'up'} the side through it to the ${edge} edge`
      : `at the ${edge} edge`
  return [
    {
      code: 'hinge bottom',
      text: `Mark the object ${say(bottom)} round from ${from}, ${where('bottom', rims.bottomRim)}.`,
    },
    { code: 'hinge top', text: `Mark the object ${say(top)} round from ${from}, ${where('top', rims.topRim)}.` },
  ]
}

/** A gap and an overlap exclude each other. */
export function overlapProblem(gap: boolean, overlap: number | undefined): Problem[] {
  if (!gap || overlap === undefined) return []
  return [
    {
      code: 'overlap_on_part_wrap',
      field: 'overlap',
      value: `${overlap} mm`,
      limit: 'a part wrap has two free edges, so nothing overlaps',
      cure: 'Leave overlap out, or leave the gap out for a full wrap.',
    },
  ]
}
