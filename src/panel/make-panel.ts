import { signedArea } from '../geometry/area.ts'
import { cutOut } from '../geometry/cut-out.ts'
import { joinEdges, movedOut, roundedCorners } from '../geometry/edges.ts'
import { crossings } from '../geometry/intersect.ts'
import { pathLength, stationAt } from '../geometry/length.ts'
import { closedPath, endOf, type Path } from '../geometry/path.ts'
import { add, distance, leftOf, type Point, point, scaled, subtract, unit } from '../geometry/point.ts'
import { selfCrossing } from '../geometry/valid.ts'
import type { Problem } from '../measure/problem.ts'
import { openingsAllRound, pointsAllRound } from './all-round.ts'
import type { Development } from './development.ts'
import { type HingeChoice, placeHinge, placeWishes, type TickWish } from './hinge.ts'
import { lapLabels, nameLabel, seamLabels } from './labels.ts'
import type { Panel, PanelEdge, Stretch, Tick } from './panel.ts'
import {
  cutOutProblem,
  hingeProblem,
  holeProblems,
  innerProblems,
  lapProblem,
  notchProblems,
  pointProblems,
  stripProblem,
  swallowProblem,
  tickProblems,
} from './panel-problems.ts'
import { marksOnRims, type RimTick } from './rim-marks.ts'
import type { Say } from './template.ts'
import { chooseMake, filmOver, type Spot, spotAt, type TickChoice, tickAt } from './ticks.ts'

export interface PanelOptions {
  readonly name: string
  /** mm past each bare edge by name, and past any `other` one; an edge that laps over another takes its lap instead */
  readonly allowances: Readonly<Record<string, number>>
  readonly ticks: TickChoice
  /** where ticks are wanted beside the hinge, the seams and the folds */
  readonly ticksAt?: readonly TickWish[]
  readonly hinge?: HingeChoice
  /** how many liner lines, and how far apart two are, mm */
  readonly slit: { readonly lines: 'one' | 'strip' | 'none'; readonly strip: number }
  /** may the shape be wrapped in part, with a gap? It may unless said */
  readonly partWrap?: boolean
}

/** How far a slit runs past the outline, mm, so that a finger finds the split (common practice, no source). */
const slitPast = 5

/** Two ticks nearer than this are one, mm: a seam's own is left out where the hinge or a fold has one. */
const tickRoom = 0.5

type Made = { readonly panel: Panel; readonly problems: readonly [] } | { readonly problems: readonly Problem[] }

/** The panel of a development, or everything that stands in the way of it. */
export function makePanel(development: Development, options: PanelOptions, say: Say): Made {
  const name = development.part === undefined ? options.name : `${options.name} ${development.part}`
  const cut = outlineOf(name, development, options)
  if ('problems' in cut) return cut
  const { edges, bare, plain } = cut
  const openings = openingsAllRound(development, plain)
  const opened = cutOut(
    plain,
    openings.map((hole) => hole.path),
  )
  if ('problem' in opened) return { problems: [cutOutProblem(name, openings, opened)] }
  const { outline, holes } = opened
  const points = pointsAllRound(development, plain)
  const problems = [...holeProblems(name, openings, holes, outline), ...pointProblems(name, points)]
  if (edges.some((edge) => edge.allowance < 0)) problems.push(...innerProblems(name, development.inner ?? [], outline))

  const hinge = placeHinge(development, options.hinge ?? 'upright', say)
  const wishes = placeWishes(development, options.ticksAt ?? [], say)
  if ('problem' in hinge) problems.push({ ...hinge.problem, field: `${name}.hinge` })
  if ('problem' in wishes) problems.push({ ...wishes.problem, field: `${name}.ticksAt` })
  if ('problem' in hinge || 'problem' in wishes) return { problems }

  const onHinge = ticksOf(outline, edges, hinge.line, 'hinge', 'hinge', hingeEnds(options.hinge))
  const wanted = [
    ...onHinge,
    ...lapLines(edges).flatMap((line) => ticksOf(outline, edges, line, 'seam', 'seam')),
    ...[...(development.tickLines ?? []), ...wishes.line].flatMap(({ line, role, mark }) =>
      ticksOf(outline, edges, line, role, mark),
    ),
  ]
  const seams = seamSpots(development, edges)
  wanted.push(...seams.filter(({ spot }) => wanted.every((other) => distance(other.spot.at, spot.at) > tickRoom)))
  const ticked = edges.filter((edge) => wanted.some(({ spot }) => spot.edge === edge))
  const trimmed = ticked.filter((edge) => !edge.lapped)
  const made = chooseMake(options.ticks, Math.min(...trimmed.map((edge) => edge.allowance)))
  const [low, high] = onHinge
  if (!low || !high) problems.push(hingeProblem(name))
  if (made.make === 'notch') problems.push(...notchProblems(name, trimmed), ...tickProblems(name, wanted))
  if (problems.length > 0 || !low || !high) return { problems }

  const ticks = wanted.map(({ spot, role, mark }) => tickAt(spot, made.make, role, mark))
  const across = { from: low.spot.at, to: high.spot.at }
  const slits = slitLines(outline, across, options.slit)
  if (!slits) return { problems: [stripProblem(name, options.slit.strip)] }
  return {
    panel: {
      name,
      outline,
      bare,
      edges,
      openings: openings.map(({ path }) => path),
      holes,
      inner: development.inner ?? [],
      points: points.flat(),
      hinge: across,
      ticks,
      tickReason: made.reason,
      slits,
      labels: [
        ...nameLabel(name, development.labelSpots, outline, [...holes, ...(development.inner ?? [])]),
        ...lapLabels(
          edges,
          openings.map(({ path }) => path),
        ),
        ...seamLabels(seams),
      ],
      marks: marksOnRims(
        [...hinge.marks, ...wishes.marks],
        wanted.flatMap(({ rim }) => rim ?? []),
        say,
      ),
      ...(development.surface ? { surface: development.surface } : {}),
      ...(development.strain ? { strain: development.strain } : {}),
      notes: development.notes,
    },
    problems: [],
  }
}

interface Outline {
  readonly edges: readonly PanelEdge[]
  readonly bare: Path
  /** the outline before openings are taken out of it */
  readonly plain: Path
}

function outlineOf(
  name: string,
  development: Development,
  { allowances, partWrap = true }: PanelOptions,
): Outline | { readonly problems: readonly Problem[] } {
  const radii = development.radii ?? development.edges.map(() => 0)
  const past = development.edges.map((edge) => edge.lap ?? allowances[edge.name] ?? allowances.other ?? 0)
  const bare = closeUp(
    development.edges.map((edge) => edge.path),
    radii,
  )
  const swallowed = () => ({ problems: [swallowProblem(name, bare, development.edges, past)] })
  const moved = development.edges.map((edge, i) => movedOut(edge.path, past[i] ?? 0))
  if (moved.some((path) => path === undefined)) return swallowed()
  const joined = joinEdges(moved.filter((path) => path !== undefined))
  if (!joined || signedArea(joined.outline) <= 0) return swallowed()
  const grown = radii.map((r, i) => cornerRadius(r, past.at(i - 1) ?? 0, past[i] ?? 0))
  const plain = grown.some((r) => r > 0) ? roundedCorners(joined.outline, grown) : joined.outline
  if (selfCrossing(plain)) {
    return development.edges.some((edge) => edge.lap !== undefined)
      ? { problems: [lapProblem(name, partWrap)] }
      : swallowed()
  }
  const edges = development.edges.map((edge, i) => ({
    name: edge.name,
    bare: edge.path,
    ...(edge.taped ? { taped: edge.taped } : {}),
    outline: joined.edges[i] as Path,
    radius: grown[i] ?? 0,
    allowance: past[i] ?? 0,
    lapped: edge.lap !== undefined,
  }))
  return { edges, bare, plain }
}

function closeUp(edges: readonly Path[], radii: readonly number[]): Path {
  const plain = closedPath(
    (edges[0] as Path).start,
    edges.flatMap((edge) => edge.segments),
  )
  return radii.some((r) => r > 0) ? roundedCorners(plain, radii) : plain
}

/** Concentric with the bare corner where both edges have one allowance; a square corner stays square. */
function cornerRadius(r: number, before: number, after: number): number {
  return r === 0 ? 0 : Math.max(0, r + Math.min(before, after))
}

/** A tick to be made, once it is known how ticks are made. */
interface WantedTick {
  readonly spot: Spot
  readonly role: Tick['role']
  readonly mark: string
  /** set where it stands on the rim of an opening */
  readonly rim?: RimTick
}

/** How the two ends of a hinge are called in the codes of their marks. */
const hingeEnds = (choice: PanelOptions['hinge']) => (choice === 'level' ? levelEnds : uprightEnds)
const uprightEnds = ['bottom', 'top'] as const
const levelEnds = ['left', 'right'] as const

/** Ticks at both ends of the film along a line; their marks are told apart by the names of these. */
function ticksOf(
  outline: Path,
  edges: readonly PanelEdge[],
  line: Stretch,
  role: Tick['role'],
  mark: string,
  ends: readonly [string, string] = uprightEnds,
): WantedTick[] {
  const film = filmOver(outline, line)
  if (!film) return []
  const spots = [spotAt(outline, edges, film.from), spotAt(outline, edges, film.to)]
  const measured = [line.from, line.to] as const
  return spots.map((spot, i) => {
    const code = `${mark} ${ends[i]}`
    const other = spots[1 - i]?.edge
    const rim = (): RimTick => ({
      mark: code,
      inward: distance(spot.at, measured[i] as Point),
      across: other && distance(spot.at, measured[1 - i] as Point),
    })
    return { spot, role, mark: code, ...(spot.edge ? {} : { rim: rim() }) }
  })
}

/** The measured edge under each straight lap: where the other edge comes to lie. */
function lapLines(edges: readonly PanelEdge[]): Stretch[] {
  return edges
    .filter(({ lapped, allowance, bare }) => lapped && allowance > 0 && bare.segments.length === 1)
    .map(({ bare }) => ({ from: bare.start, to: endOf(bare) }))
}

/** The middle of every edge that lies on a coded seam. */
function seamSpots(development: Development, edges: readonly PanelEdge[]): (WantedTick & { readonly code: string })[] {
  return development.edges.flatMap(({ path, seam }, i) => {
    const edge = edges[i]
    if (seam === undefined || !edge) return []
    const { at, heading } = stationAt(path, pathLength(path) / 2)
    const met = crossings(edge.outline, at, leftOf(heading))
    const nearest = met.reduce<(typeof met)[number] | undefined>(
      (a, b) => (a && Math.abs(a.reach) <= Math.abs(b.reach) ? a : b),
      undefined,
    )
    if (!nearest) return []
    const own = stationAt(edge.outline, nearest.length)
    const spot = { ...own, edge, length: nearest.length }
    return [{ spot, role: 'seam' as const, mark: `seam ${seam}`, code: seam }]
  })
}

/** Undefined where a slit would miss the panel beside the hinge. */
export function slitLines(outline: Path, hinge: Stretch, slit: PanelOptions['slit']): Stretch[] | undefined {
  if (slit.lines === 'none') return []
  const way = unit(subtract(hinge.to, hinge.from))
  const across = point(way.y, -way.x)
  const shifts = slit.lines === 'one' ? [0] : [-slit.strip / 2, slit.strip / 2]
  const lines = shifts.map((shift) => {
    const aside = scaled(across, shift)
    const film = filmOver(outline, { from: add(hinge.from, aside), to: add(hinge.to, aside) })
    if (!film || film.from.reach > 0 || film.to.reach < 0) return undefined
    return { from: add(film.from.at, scaled(way, -slitPast)), to: add(film.to.at, scaled(way, slitPast)) }
  })
  const found = lines.filter((line) => line !== undefined)
  return found.length === lines.length ? found : undefined
}
