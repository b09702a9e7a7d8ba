import { sinc } from '../src/geometry/arc.ts'
import { arcTo, endOf, lineTo, openPath, type Path, type Segment } from '../src/geometry/path.ts'
import { type Point, point } from '../src/geometry/point.ts'
import type { Problem } from '../src/measure/problem.ts'
import type { Development } from '../src/panel/development.ts'
import type { ObjectMark } from '../src/panel/panel.ts'
import { onPanel, type Surface } from '../src/panel/surface.ts'
import type { Say } from '../src/panel/template.ts'

/** A band round a cylinder or cone, all lengths of film along its neutral line, mm. */
export interface Band {
  /** full girths at the bottom and the top edge */
  readonly bottomGirth: number
  readonly topGirth: number
  /** along the side, from edge to edge */
  readonly slant: number
  /** what stays bare, on the level line at the bottom and at the top; 0 for a full wrap */
  readonly bottomGap: number
  readonly topGap: number
  /** set for a full wrap */
  readonly overlap?: number
  readonly marks: readonly ObjectMark[]
  readonly notes: readonly string[]
}

/**
 * Lays the band out flat about its hinge. Uses the mid-line form of a cone's development, so nothing breaks from a
 * cylinder (taper 0) to a flat ring.
 */
export function developBand(band: Band): Development {
  const mid = (band.bottomGirth + band.topGirth) / 2
  const surface: Surface = { kind: 'round', taper: (band.topGirth - band.bottomGirth) / (band.slant * mid) }
  const half = band.slant / 2
  // Distance along the mid-line at which an edge's end stands: its level arc carried to the mid-line.
  const away = (girth: number, gap: number) => ((girth - gap) / girth) * (mid / 2)
  const bottom = levelEdge(surface, away(band.bottomGirth, band.bottomGap), -half)
  const top = levelEdge(surface, away(band.topGirth, band.topGap), half)
  const topBack: Path = mirroredBack(top)
  return {
    edges: [
      { name: 'bottom', path: bottom },
      { name: 'right', path: openPath(endOf(bottom), lineTo(endOf(top))) },
      { name: 'top', path: topBack },
      { name: 'left', path: openPath(top.start, lineTo(bottom.start)) },
    ],
    radii: [0, 0, 0, 0],
    holes: [],
    hinge: { from: onPanel(surface, 0, -half), to: onPanel(surface, 0, half) },
    ...(band.overlap === undefined ? {} : { overlap: band.overlap }),
    surface,
    labelSpots: [0.5, -0.5, 0.25, -0.25].map((share) => {
      const round = (share * mid * (1 - band.bottomGap / band.bottomGirth)) / 2
      return { at: onPanel(surface, round, -2), turn: -surface.taper * round }
    }),
    marks: band.marks,
    notes: band.notes,
  }
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

/** Where the hinge meets the object, told from what a person can put the tape's end on. */
export function hingeMarks(from: string, bottom: number, top: number, say: Say): ObjectMark[] {
  return [
    {
      code: 'hinge bottom',
      text: `Mark the object ${say(bottom)} round from ${from}, at the bottom edge.`,
    },
    { code: 'hinge top', text: `Mark the object ${say(top)} round from ${from}, at the top edge.` },
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
