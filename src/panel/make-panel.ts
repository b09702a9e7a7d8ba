import { signedArea } from '../geometry/area.ts'
import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { joinEdges, movedOut, roundedCorners } from '../geometry/edges.ts'
import { liesWithin } from '../geometry/inside.ts'
import { crossings } from '../geometry/intersect.ts'
import { pathLength } from '../geometry/length.ts'
import { closedPath, endOf, type Path, rectangle } from '../geometry/path.ts'
import { add, between, point, scaled, subtract, unit } from '../geometry/point.ts'
import { intersection, offsetRings, ringsArea, ringsOf } from '../geometry/polygon.ts'
import { selfCrossing } from '../geometry/valid.ts'
import type { Problem } from '../measure/problem.ts'
import type { Development } from './development.ts'
import { lettersWidth } from './lettering.ts'
import type { EdgeName, Label, Panel, PanelEdge, Stretch, Tick } from './panel.ts'
import { chooseMake, leastNotch, notchDepth, notchRoom, type TickChoice, tickOn } from './ticks.ts'

export interface PanelOptions {
  readonly name: string
  /** mm past each bare edge; a full wrap's right edge takes the overlap instead */
  readonly allowances: Readonly<Record<EdgeName, number>>
  readonly ticks: TickChoice
  /** how many liner lines, and how far apart two are, mm */
  readonly slit: { readonly lines: 'one' | 'strip' | 'none'; readonly strip: number }
}

/** How far a slit runs past the outline, mm, so that a finger finds the split (common practice, no source). */
const slitPast = 5

/** The panel of a development, or everything that stands in the way of it. */
export function makePanel(
  development: Development,
  options: PanelOptions,
): { readonly panel: Panel; readonly problems: readonly [] } | { readonly problems: readonly Problem[] } {
  const bare = closeUp(
    development.edges.map((edge) => edge.path),
    development.radii,
  )
  const allowances = {
    ...options.allowances,
    ...(development.overlap === undefined ? {} : { left: 0, right: development.overlap }),
  }
  const swallowed = (): { problems: readonly Problem[] } => ({
    problems: [swallowProblem(options.name, bare, allowances)],
  })
  const moved = development.edges.map((edge) => movedOut(edge.path, allowances[edge.name]))
  if (moved.some((path) => path === undefined)) return swallowed()
  const joined = joinEdges(moved.filter((path) => path !== undefined))
  if (!joined || signedArea(joined.outline) <= 0) return swallowed()
  const radii = development.radii.map((r, i) => cornerRadius(r, i, development, allowances))
  const outline = radii.some((r) => r > 0) ? roundedCorners(joined.outline, radii) : joined.outline
  const crossed = selfCrossing(outline)
  if (crossed) return development.overlap === undefined ? swallowed() : { problems: [lapProblem(options.name)] }
  const holes = development.holes
  const problems = holeProblems(options.name, holes, outline, bare)

  const edges = development.edges.map((edge, i) => ({
    name: edge.name,
    bare: edge.path,
    outline: joined.edges[i] as Path,
    allowance: allowances[edge.name],
  }))
  const made = chooseMake(options.ticks, Math.min(allowances.bottom, allowances.top))
  if (made.make === 'notch') problems.push(...notchProblems(options.name, edges))
  const places = allTicks(development, edges, 'waste')
  problems.push(...placeProblems(options.name, places, edges, made.make))
  if (problems.length > 0) return { problems }
  const ticks = allTicks(development, edges, made.make)
  const hinge = { from: tickAt(ticks, 'bottom'), to: tickAt(ticks, 'top') }
  const slits = slitLines(outline, hinge, options.slit)
  if (!slits) return { problems: [stripProblem(options.name, options.slit.strip)] }
  const panel: Panel = {
    name: options.name,
    outline,
    bare,
    edges,
    holes: holes.map((hole) => hole.path),
    hinge,
    ticks,
    tickReason: made.reason,
    slits,
    labels: labelsFor(options.name, development, outline, edges),
    marks: development.marks,
    surface: development.surface,
    notes: development.notes,
  }
  return { panel, problems: [] }
}

function closeUp(edges: readonly Path[], radii: readonly number[]): Path {
  const plain = closedPath(
    (edges[0] as Path).start,
    edges.flatMap((edge) => edge.segments),
  )
  return radii.some((r) => r > 0) ? roundedCorners(plain, radii) : plain
}

/** Concentric with the bare corner where both edges have one allowance; a square corner stays square. */
function cornerRadius(r: number, i: number, development: Development, allowances: Record<EdgeName, number>): number {
  if (r === 0) return 0
  const n = development.edges.length
  const own = development.edges[i]?.name ?? 'bottom'
  const before = development.edges[(i + n - 1) % n]?.name ?? 'left'
  return Math.max(0, r + Math.min(allowances[own], allowances[before]))
}

function swallowProblem(name: string, bare: Path, allowances: Record<EdgeName, number>): Problem {
  const box = boundsOf([bare])
  const list = Object.entries(allowances).map(([edge, mm]) => `${edge} ${mm} mm`)
  return {
    code: 'allowance_swallows',
    field: `${name}.allowance`,
    value: list.join(', '),
    limit: `the bare panel is ${boxWidth(box).toFixed(1)} x ${boxHeight(box).toFixed(1)} mm and nothing of it would be left`,
    cure: 'Make the insets smaller than half of it.',
  }
}

function lapProblem(name: string): Problem {
  return {
    code: 'panel_overlaps_itself',
    field: name,
    value: 'so flat a cone that its panel meets itself when laid out',
    limit: 'the two seam edges must stay apart on the flat film',
    cure: 'Wrap it in two parts: give a gap, or set overlap to 0 and leave a gap of 0.5 mm.',
  }
}

/** The least film between an opening and the edge, and between two openings, mm (common practice, no source). */
const leastBridge = 2

function holeProblems(name: string, holes: Development['holes'], outline: Path, bare: Path): Problem[] {
  const problems: Problem[] = []
  holes.forEach((hole, i) => {
    const field = `${name}.${hole.name}`
    if (!liesWithin(hole.path, bare)) {
      problems.push({
        code: 'opening_crosses_edge',
        field,
        value: 'across the edge of the panel',
        limit: 'an opening must lie inside the measured edge',
        cure: 'Check its distances from the edges, and its size.',
      })
    } else if (
      ringsArea(intersection(ringsOf([hole.path], 0.005), offsetRings(ringsOf([outline], 0.005), -leastBridge))) <
      ringsArea(ringsOf([hole.path], 0.005)) - 0.01
    ) {
      problems.push({
        code: 'opening_near_edge',
        field,
        value: `less than ${leastBridge} mm from the cut edge`,
        limit: `the least film beside an opening is ${leastBridge} mm`,
        cure: 'Move the opening, or give a bigger allowance.',
      })
    }
    for (const other of holes.slice(i + 1)) {
      const grown = offsetRings(ringsOf([hole.path], 0.005), leastBridge)
      if (ringsArea(intersection(grown, ringsOf([other.path], 0.005))) <= 0.01) continue
      problems.push({
        code: 'openings_too_near',
        field,
        value: `less than ${leastBridge} mm from ${other.name}`,
        limit: `the least film between two openings is ${leastBridge} mm`,
        cure: 'Move them apart, or measure them as one.',
      })
    }
  })
  return problems
}

function notchProblems(name: string, edges: readonly PanelEdge[]): Problem[] {
  return edges
    .filter((edge) => (edge.name === 'bottom' || edge.name === 'top') && notchDepth(edge.allowance) < leastNotch)
    .map((edge) => ({
      code: 'notch_needs_allowance',
      field: `${name}.allowance.${edge.name}`,
      value: `${edge.allowance} mm`,
      limit: `a notch needs ${leastNotch + 0.3} mm or more, so that it ends before the measured edge`,
      cure: 'Give that edge more allowance, or leave ticks on auto.',
    }))
}

/** Insets may leave the hinge beside the panel, and an overlap may leave no room for a notch at the seam. */
function placeProblems(
  name: string,
  places: readonly Tick[],
  edges: readonly PanelEdge[],
  make: Tick['make'],
): Problem[] {
  const problems: Problem[] = []
  for (const edge of edges) {
    if (edge.name !== 'bottom' && edge.name !== 'top') continue
    const own = places.filter((tick) => tick.edge === edge.name)
    if (!own.some((tick) => tick.role === 'hinge')) {
      problems.push({
        code: 'hinge_off_panel',
        field: `${name}.allowance`,
        value: `so far in on one side that the hinge misses the ${edge.name} edge`,
        limit: 'the hinge stands in the middle between the measured edges',
        cure: 'Give left and right insets that leave that middle on the panel.',
      })
    }
    if (make !== 'notch') continue
    const length = pathLength(edge.outline)
    for (const tick of own.filter((t) => Math.min(t.length, length - t.length) < notchRoom)) {
      problems.push({
        code: 'notch_needs_room',
        field: tick.role === 'seam' ? `${name}.overlap` : `${name}.allowance`,
        value: `a ${tick.role} tick ${Math.min(tick.length, length - tick.length).toFixed(2)} mm from the corner`,
        limit: `a notch keeps ${notchRoom} mm from a corner`,
        cure: 'Make that distance bigger, or set ticks to waste.',
      })
    }
  }
  return problems
}

function stripProblem(name: string, strip: number): Problem {
  return {
    code: 'strip_too_wide',
    field: `${name}.strip`,
    value: `${strip} mm`,
    limit: 'both slits must cross the panel from its bottom edge to its top edge',
    cure: 'Give a narrower strip, or set slit to one.',
  }
}

function allTicks(development: Development, edges: readonly PanelEdge[], make: Tick['make']): Tick[] {
  const { from, to } = development.hinge
  const way = unit(subtract(to, from))
  const found: (Tick | undefined)[] = []
  for (const edge of edges) {
    if (edge.name !== 'bottom' && edge.name !== 'top') continue
    const up = edge.name === 'top'
    found.push(tickOn(edge, from, way, make, 'hinge', up ? 'hinge top' : 'hinge bottom'))
    const side = edges.find((other) => other.name === 'right')
    if (!development.overlap || !side) continue
    const foot = side.bare.start
    found.push(tickOn(edge, foot, unit(subtract(endOf(side.bare), foot)), make, 'seam', 'seam'))
  }
  return found.filter((tick) => tick !== undefined)
}

function tickAt(ticks: readonly Tick[], edge: EdgeName) {
  const tick = ticks.find((t) => t.role === 'hinge' && t.edge === edge)
  if (!tick) throw new RangeError(`the hinge does not meet the ${edge} edge`)
  return tick.at
}

/** Undefined where a slit would miss the panel beside the hinge. */
function slitLines(outline: Path, hinge: Stretch, slit: PanelOptions['slit']): Stretch[] | undefined {
  if (slit.lines === 'none') return []
  const way = unit(subtract(hinge.to, hinge.from))
  const across = point(way.y, -way.x)
  const shifts = slit.lines === 'one' ? [0] : [-slit.strip / 2, slit.strip / 2]
  const lines = shifts.map((shift) => {
    const through = add(between(hinge.from, hinge.to, 0.5), scaled(across, shift))
    const met = crossings(outline, through, way)
    // The nearest edges: a nearly closed ring is met again on its far side.
    const first = met.findLast((crossing) => crossing.reach < 0)
    const last = met.find((crossing) => crossing.reach > 0)
    if (!first || !last) return undefined
    return { from: add(first.at, scaled(way, -slitPast)), to: add(last.at, scaled(way, slitPast)) }
  })
  const found = lines.filter((line) => line !== undefined)
  return found.length === lines.length ? found : undefined
}

/** The largest label of the wanted words that stands clear of edge and openings; none where nothing fits. */
function labelsFor(name: string, development: Development, outline: Path, edges: readonly PanelEdge[]): Label[] {
  const holes = ringsOf(
    development.holes.map((hole) => hole.path),
    0.05,
  )
  const field = offsetRings(ringsOf([outline], 0.05), -2)
  const text = `${name} ↑ UP`
  const labels: Label[] = []
  search: for (const height of [6, 5, 4, 3]) {
    for (const spot of development.labelSpots) {
      const half = lettersWidth(text, height) / 2 + 1
      const box = ringsOf([rectangle(point(-half, -1), point(half, height + 1))])[0] ?? []
      const c = Math.cos(spot.turn)
      const s = Math.sin(spot.turn)
      const placed = [box.map((p) => point(spot.at.x + p.x * c - p.y * s, spot.at.y + p.x * s + p.y * c))]
      const clear = ringsArea(intersection(placed, field)) > ringsArea(placed) - 0.01
      if (!clear || (holes.length > 0 && ringsArea(intersection(placed, holes)) > 0.01)) continue
      labels.push({ text, at: spot.at, height, turn: spot.turn })
      break search
    }
  }
  const right = edges.find((edge) => edge.name === 'right')
  if (development.overlap && right && development.overlap >= 5) {
    const foot = right.outline.start
    const end = endOf(right.outline)
    const turn = Math.atan2(end.y - foot.y, end.x - foot.x)
    const middle = point((foot.x + end.x) / 2, (foot.y + end.y) / 2)
    const height = Math.min(3, development.overlap / 2)
    const room = Math.hypot(end.x - foot.x, end.y - foot.y) > lettersWidth('OVERLAP', height) + 6
    const inset = (development.overlap - height) / 2
    // The baseline runs up the edge, letters standing to its left, inside the overlap.
    const at = add(middle, scaled(point(-Math.sin(turn), Math.cos(turn)), inset))
    if (room) labels.push({ text: 'OVERLAP', at, height, turn })
  }
  return labels
}
