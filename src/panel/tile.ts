import { type Box, boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { cutOut } from '../geometry/cut-out.ts'
import { crossings } from '../geometry/intersect.ts'
import { pathLength } from '../geometry/length.ts'
import { openPath, type Path, pieces, polyline, rectangle } from '../geometry/path.ts'
import { add, between, distance, leftOf, type Point, point, scaled, subtract, unit } from '../geometry/point.ts'
import { nameLabel } from './labels.ts'
import { lettersWidth } from './lettering.ts'
import { slitLines } from './make-panel.ts'
import type { Label, ObjectMark, Panel, PanelEdge, Stretch, Tick } from './panel.ts'
import { tapeAt, wholeTape } from './taped.ts'
import type { Say } from './template.ts'
import { filmAlong, spotAt, tickAt } from './ticks.ts'

/** Kept between a seam and whatever it must not run through, mm (common practice, no source). */
const clear = 4
/** Height of a seam's code, mm. */
const codeHeight = 3
/** More parts than this are not tried. */
export const mostParts = 40
/** No part is narrower than this, mm, beside its overlap. */
export const leastPart = 20

type Axis = 'x' | 'y'

/** Where one part ends and the next begins, mm along the axis, and what the seam is called. */
interface Seam {
  readonly at: number
  readonly code: string
}

/**
 * A panel that is too big in parts that each fit: as few as can be, cut across its longer side if that helps. Every
 * seam is straight, off hinge, openings and labels; the later part goes on over the earlier one by `overlap` mm, with ticks on
 * both that meet the other's corners. Undefined where no such parts are found.
 */
export function tiled(panel: Panel, overlap: number, fits: (part: Panel) => boolean, say: Say): Panel[] | undefined {
  const box = boundsOf([panel.outline])
  const axes: readonly Axis[] = boxWidth(box) >= boxHeight(box) ? ['x', 'y'] : ['y', 'x']
  for (let count = 2; count <= mostParts; count++) {
    for (const axis of axes) {
      const seams = seamsOf(panel, axis, count, overlap)
      const parts = seams && partsOf(panel, axis, seams, overlap, fits, say)
      if (parts) return parts
    }
  }
  return undefined
}

/** The seams nearest to equal parts that run through nothing. */
function seamsOf(panel: Panel, axis: Axis, count: number, overlap: number): Seam[] | undefined {
  const { low, high } = boundsOf([panel.outline])
  const length = high[axis] - low[axis]
  const each = length / count
  if (each < leastPart + overlap) return undefined
  const taken = obstacles(panel, axis).map(([from, to]) => [from - clear - overlap, to + clear] as const)
  const seams = Array.from({ length: count - 1 }, (_, i): Seam | undefined => {
    const wanted = low[axis] + each * (i + 1) - overlap / 2
    const places = [wanted, ...taken.flat()]
    const free = places.filter(
      (at) => Math.abs(at - wanted) < each / 2 && !taken.some(([from, to]) => at > from + 1e-9 && at < to - 1e-9),
    )
    const at = free.reduce(
      (best, place) => (Math.abs(place - wanted) < Math.abs(best - wanted) ? place : best),
      Infinity,
    )
    return Number.isFinite(at) ? { at, code: `T${i + 1}` } : undefined
  })
  const found = seams.filter((seam) => seam !== undefined)
  const inOrder = found.every(({ at }, i) => at - (found[i - 1]?.at ?? low[axis]) >= leastPart)
  return found.length === seams.length && inOrder ? found : undefined
}

/** Does the hinge run along the axis, so that every seam must cross it? Then each part keeps its own stretch of it. */
function isAlong({ hinge: { from, to } }: Panel, axis: Axis): boolean {
  const way = unit(subtract(to, from))
  return Math.abs(way[axis]) > Math.SQRT1_2
}

/** What a seam must not run through, as stretches along the axis. */
function obstacles(panel: Panel, axis: Axis): (readonly [number, number])[] {
  const { hinge, holes, inner, ticks, points, labels, name } = panel
  const lines = isAlong(panel, axis) ? [] : [hinge, ...panel.slits].map(({ from, to }) => polyline([from, to]))
  const boxes = [
    ...[...holes, ...inner, ...lines, ...ticks.map(({ path }) => path)].map((path) => boundsOf([path])),
    ...labels.filter(({ text }) => !text.startsWith(name)).map(labelBox),
    ...points.map((at) => ({ low: at, high: at })),
  ]
  return boxes.map(({ low, high }) => [low[axis], high[axis]] as const)
}

function labelBox({ text, height, at, turn }: Label): Box {
  const half = scaled(point(Math.cos(turn), Math.sin(turn)), lettersWidth(text, height) / 2)
  const up = scaled(leftOf(unit(half)), height)
  return boundsOf([polyline([subtract(at, half), add(at, half), add(add(at, half), up), add(subtract(at, half), up)])])
}

const far = 1e5

/** A box that reaches far across the axis, from one place along it to another. */
const across = (axis: Axis, from: number, to: number): Path =>
  axis === 'x' ? rectangle(point(from, -far), point(to, far)) : rectangle(point(-far, from), point(far, to))

/** The path between two places along the axis; undefined where it falls apart. */
function stretchOf(path: Path, axis: Axis, from: number, to: number): Path | undefined {
  const { low, high } = boundsOf([path])
  const off = [
    ...(from > low[axis] ? [across(axis, low[axis] - far, from)] : []),
    ...(to < high[axis] ? [across(axis, to, high[axis] + far)] : []),
  ]
  const left = cutOut(path, off)
  return 'problem' in left ? undefined : left.outline
}

/** The parts between seams in order; undefined as soon as one cannot be made or does not fit. */
function partsOf(
  panel: Panel,
  axis: Axis,
  seams: readonly Seam[],
  overlap: number,
  fits: (part: Panel) => boolean,
  say: Say,
): Panel[] | undefined {
  const parts: Panel[] = []
  for (const [i, end] of [...seams, undefined].entries()) {
    const part = partOf(panel, axis, seams[i - 1], end, i, seams.length + 1, overlap, say)
    if (!part || !fits(part)) return undefined
    parts.push(part)
  }
  return parts
}

function partOf(
  panel: Panel,
  axis: Axis,
  start: Seam | undefined,
  end: Seam | undefined,
  number: number,
  count: number,
  overlap: number,
  say: Say,
): Panel | undefined {
  const [from, to] = [start?.at ?? -far, end?.at ?? far]
  const past = end ? to + overlap : to
  const outline = stretchOf(panel.outline, axis, from, past)
  const bare = stretchOf(panel.bare, axis, from, to)
  if (!outline || !bare) return undefined
  const name = `${panel.name} part ${number + 1}`
  const isOn = (p: Point) => p[axis] >= from && p[axis] <= past
  const own = (path: Path) => isOn(middleOf(path))
  const holes = panel.holes.filter(own)
  const inner = panel.inner.filter(own)
  const hinge = hingeOf(panel, axis, outline)
  if (!hinge) return undefined
  const kept = panel.ticks.filter(({ at }) => isOn(at))
  const wanted = panel.ticks[0]?.make === 'pen' ? 'pen' : 'waste'
  const ticksOn = (line: Stretch, role: Tick['role'], mark: string): Tick[] => {
    const film = filmAlong(outline, line)
    const ends = film ? [film.from, film.to] : []
    return ends.map((crossing, k) =>
      tickAt(spotAt(outline, [], crossing), wanted, role, `${mark} ${k === 0 ? 'bottom' : 'top'}`),
    )
  }
  const seamTicks = [
    ...(end && overlap > 0 ? ticksOn(lineAt(panel, axis, to), 'seam', `seam ${end.code}`) : []),
    ...(start && overlap > 0 ? ticksOn(lineAt(panel, axis, from + overlap), 'seam', `seam ${start.code}`) : []),
  ]
  const hingeTicks =
    kept.some(({ role }) => role === 'hinge') && !isAlong(panel, axis) ? [] : ticksOn(hinge, 'hinge', 'hinge')
  const ticks = [...kept.filter(({ role }) => role !== 'hinge' || hingeTicks.length === 0), ...hingeTicks, ...seamTicks]
  const lines = (['none', 'one', 'strip'] as const)[Math.min(2, panel.slits.length)] ?? 'one'
  const slits = slitLines(outline, hinge, { lines, strip: stripOf(panel) })
  if (!slits) return undefined
  const codes = [
    ...(start ? codeLabel(panel, axis, outline, start.code, from + overlap + 2 * codeHeight) : []),
    ...(end ? codeLabel(panel, axis, outline, end.code, to - 2 * codeHeight) : []),
  ]
  const box = boundsOf([outline])
  const spots = [0.25, 0.75, 0.5].flatMap((along) =>
    [0.5, 0.3, 0.7].map((up) => ({
      at: point(box.low.x + boxWidth(box) * along, box.low.y + boxHeight(box) * up),
      turn: 0,
    })),
  )
  return {
    ...panel,
    name,
    outline,
    bare,
    edges: edgesOf(outline),
    openings: holes,
    holes,
    inner,
    points: panel.points.filter(isOn),
    hinge,
    ticks,
    slits,
    labels: [
      ...nameLabel(name, spots, outline, [...holes, ...inner]),
      ...panel.labels.filter(({ text, at }) => !text.startsWith(panel.name) && isOn(at)),
      ...codes,
    ],
    marks: [...hingeMarks(panel, axis, kept), ...seamMarks(panel, axis, [start, end], say)],
    notes: [...panel.notes, noteOf(number, count, start, end, overlap, say)],
  }
}

const middleOf = (path: Path): Point => {
  const { low, high } = boundsOf([path])
  return between(low, high, 0.5)
}

/** A line over the whole panel at one place along the axis. */
function lineAt(panel: Panel, axis: Axis, at: number): Stretch {
  const { low, high } = boundsOf([panel.outline])
  return axis === 'x'
    ? { from: point(at, low.y - 1), to: point(at, high.y + 1) }
    : { from: point(low.x - 1, at), to: point(high.x + 1, at) }
}

/** The panel's own hinge as far as it runs over the part, else a parallel to it through the part's middle. */
function hingeOf({ hinge }: Panel, axis: Axis, outline: Path): Stretch | undefined {
  const way = unit(subtract(hinge.to, hinge.from))
  const middle = middleOf(outline)
  const { low, high } = boundsOf([outline])
  const own = between(hinge.from, hinge.to, 0.5)
  const isOwn = own[axis] > low[axis] && own[axis] < high[axis] && Math.abs(way[axis]) <= Math.SQRT1_2
  const along = way.x * (middle.x - own.x) + way.y * (middle.y - own.y)
  const at = isOwn ? own : Math.abs(way[axis]) > Math.SQRT1_2 ? add(own, scaled(way, along)) : middle
  const half = scaled(way, distance(hinge.from, hinge.to) / 2)
  const film = filmAlong(outline, { from: subtract(at, half), to: add(at, half) })
  return film && { from: film.from.at, to: film.to.at }
}

/** How far apart two slits of the panel are, mm. */
function stripOf({ slits: [a, b], hinge }: Panel): number {
  if (!a || !b) return 0
  const side = leftOf(unit(subtract(hinge.to, hinge.from)))
  const step = subtract(b.from, a.from)
  return Math.abs(step.x * side.x + step.y * side.y)
}

/** Every segment of a part is an edge of its own, cut as it is. */
const edgesOf = (outline: Path): PanelEdge[] =>
  [...pieces(outline)].map(({ from, segment }, i) => {
    const path = openPath(from, segment)
    return { name: `edge ${i + 1}`, bare: path, outline: path, radius: 0, allowance: 0, lapped: false }
  })

/** The seam's code beside it, in the middle of the film there. */
function codeLabel(panel: Panel, axis: Axis, outline: Path, text: string, at: number): Label[] {
  const film = filmAlong(outline, lineAt(panel, axis, at))
  if (!film) return []
  const middle = between(film.from.at, film.to.at, 0.5)
  return [{ text, at: point(middle.x, middle.y - (axis === 'y' ? codeHeight / 2 : 0)), height: codeHeight, turn: 0 }]
}

/** Marks on the object of the hinge, where the part has the panel's own; the others go by their seams. */
function hingeMarks(panel: Panel, axis: Axis, kept: readonly Tick[]): ObjectMark[] {
  const whole = kept.some(({ role }) => role === 'hinge') || isAlong(panel, axis)
  return whole ? [...panel.marks] : panel.marks.filter(({ code }) => !code.startsWith('hinge'))
}

function seamMarks(panel: Panel, axis: Axis, seams: readonly (Seam | undefined)[], say: Say): ObjectMark[] {
  const { low } = boundsOf([panel.bare])
  const end = axis === 'x' ? 'left' : 'lower'
  const where = ({ at }: Seam) => {
    const flat = at - low[axis]
    const read = axis === 'x' ? [readTo(panel, 'bottom', at), readTo(panel, 'top', at)] : []
    const [below = flat, above = below] = read.filter((mm) => mm !== undefined)
    const isSame = (mm: number) => Math.abs(mm - below) < sameMark
    return isSame(above)
      ? `${say(isSame(flat) ? flat : below)} from where the panel's ${end} end comes`
      : `${say(below)} along the bottom edge and ${say(above)} along the top edge, from their left ends`
  }
  return seams.flatMap((seam) =>
    seam ? [{ code: `seam ${seam.code}`, text: `Seam ${seam.code}: mark the object ${where(seam)}.` }] : [],
  )
}

/** Two marks nearer than this are one and the same, mm. */
const sameMark = 0.05

/** What a tape on the object reads from the left end of an edge to where an upright line at `x` meets it, if once. */
function readTo({ edges }: Panel, name: 'bottom' | 'top', x: number): number | undefined {
  const edge = edges.find((own) => own.name === name)
  const met = edge ? crossings(edge.bare, point(x, 0), point(0, 1)) : []
  const [first] = met
  if (!edge || !first || met.length > 1) return undefined
  const read = tapeAt(edge, first.length)
  // The top edge runs from right to left.
  return name === 'top' ? wholeTape(edge, pathLength(edge.bare)) - read : read
}

function noteOf(
  number: number,
  count: number,
  start: Seam | undefined,
  end: Seam | undefined,
  overlap: number,
  say: Say,
): string {
  const lap = overlap > 0 ? ` by ${say(overlap)}` : ', edge to edge'
  const first = start ? ` It goes over part ${number} at seam ${start.code}${lap}.` : ''
  const next = end ? ` Part ${number + 2} goes over it at seam ${end.code}${lap}.` : ''
  return `Part ${number + 1} of ${count} of a panel that is bigger than the film.${first}${next}`
}
