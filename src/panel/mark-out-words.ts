import { boundsOf } from '../geometry/bounds.ts'
import { endOf } from '../geometry/path.ts'
import { between, cross, distance, dot, type Point, subtract, unit } from '../geometry/point.ts'
import type { ArcLine } from './hand-lines.ts'
import { openingForm } from './opening-form.ts'
import type { Panel, Stretch, Tick } from './panel.ts'
import type { Say } from './template.ts'

/** Steps to follow with tape and pencil, and the figures that go with them. */
export interface MarkOut {
  readonly lines: readonly string[]
  readonly table?: { readonly columns: readonly string[]; readonly rows: readonly (readonly string[])[] }
  /** the places on and round the outline that the steps name */
  readonly marks: readonly NamedMark[]
  /** the straight line that comes first, as far as it is needed */
  readonly base: Stretch
}

/** A place by the name that steps and table give it, mm on the flat panel. */
export interface NamedMark {
  readonly name: string
  readonly at: Point
}

/** How far a proof may be off, mm: what rounding to 1/64 in and a careful hand explain (common practice, no source). */
const careful = 1.5
export const startAgain = (say: Say) => `Start again if they differ by more than ${say(careful)}.`

/** A distance shows a mark's figures along a line and off it where it leans by this to both, as a sine. */
const slantEnough = 0.35

/**
 * How far a mark, set along a line and square off it, must be from another that lies aslant of it, so that both of its
 * figures show in the distance; where none does, from one along the line and from one across it.
 */
export function proofOf(mark: NamedMark, all: readonly NamedMark[], way: Point, say: Say): string {
  const others = all.filter((other) => other !== mark)
  const most = (weigh: (to: Point) => number) => {
    const weight = (other: NamedMark) => weigh(unit(subtract(other.at, mark.at)))
    return others.reduce((a, b) => (weight(a) >= weight(b) - 1e-9 ? a : b))
  }
  const along = (to: Point) => Math.abs(dot(to, way))
  const across = (to: Point) => Math.abs(cross(to, way))
  const slant = (to: Point) => Math.min(along(to), across(to))
  const best = most(slant)
  const from = slant(unit(subtract(best.at, mark.at))) >= slantEnough ? [best] : [most(along), most(across)]
  return [...new Set(from)].map((other) => `${say(distance(other.at, mark.at))} from ${other.name}`).join(', ')
}

/** How an arc is drawn that is told by its radius. */
export const swingLine =
  'Arc: swing its radius with tape or thread from both of its points, on the side away from the bulge. Where they cross, put a pin and swing the arc. Proof: in its middle it stands off the straight line between the points by its rise.'

/** An arc by its radius, and by how far and to which side of the panel it bulges. */
export function arcWords({ sweep, radius }: ArcLine, say: Say): string {
  const rise = radius * (1 - Math.cos(sweep / 2))
  return `arc bulging ${sweep > 0 ? 'outward' : 'inward'}, radius ${say(radius)}, rise ${say(rise)}`
}

/** Corners that are rounded, those of one radius and one angle together. */
export function roundingLines({ edges }: Panel, nameOf: (edge: number) => string, say: Say): string[] {
  const groups = new Map<string, string[]>()
  edges.forEach((edge, i) => {
    const before = edges.at(i - 1)
    if (edge.radius === 0 || !before) return
    const [back, on] = [
      subtract(before.outline.start, edge.outline.start),
      subtract(endOf(edge.outline), edge.outline.start),
    ]
    const half = Math.acos(dot(unit(back), unit(on))) / 2
    const how = `with a radius of ${say(edge.radius)}; the bend begins ${say(edge.radius / Math.tan(half))} from the corner on both sides`
    groups.set(how, [...(groups.get(how) ?? []), nameOf(i)])
  })
  return [...groups].map(
    ([how, names]) => `Round ${names.length > 1 ? 'corners' : 'corner'} ${names.join(', ')} ${how}.`,
  )
}

/** What is marked inside the edge: its sentences, and the places that go into the table. */
export interface Inside {
  readonly lines: readonly string[]
  readonly places: readonly NamedMark[]
}

/** Openings by their form, crosses, and lines inside; what has no form of its own is traced. */
export function insideOf(panel: Panel, say: Say): Inside {
  const told = panel.openings.map((opening, i) => openingWords(opening, `opening ${i + 1}`, panel, say))
  const crosses = panel.points.map((at, i) => ({ name: `cross ${i + 1}`, at }))
  const traced = panel.inner.length > 0 ? ['The lines inside: trace them from the paper template.'] : []
  return {
    lines: [...told.map(({ line }) => line), ...traced],
    places: [...told.flatMap(({ places }) => places), ...crosses],
  }
}

function openingWords(opening: Panel['openings'][number], name: string, { holes }: Panel, say: Say) {
  const bite = holes.includes(opening) ? '' : ' Part of it lies off the film, so that it is cut in from the edge.'
  const form = openingForm(opening)
  if (form?.kind === 'round') {
    const line = `${capital(name)} is round, ${say(form.diameter)} across; its middle is in the table.${bite}`
    return { line, places: [{ name: `${name}, middle`, at: form.middle }] }
  }
  if (form) {
    const round = form.radius > 0 ? `; round them with a radius of ${say(form.radius)}` : ''
    const places = form.corners.map((at, k) => ({ name: `${name}, corner ${k + 1}`, at }))
    return { line: `${capital(name)} has four corners, which are in the table${round}.${bite}`, places }
  }
  const { low, high } = boundsOf([opening])
  const size = `${say(high.x - low.x)} wide and ${say(high.y - low.y)} high over all`
  const line = `${capital(name)} is ${size}; its middle is in the table. Trace its form from the paper template.${bite}`
  return { line, places: [{ name: `${name}, middle`, at: between(low, high, 0.5) }] }
}

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)

const roleNames: Readonly<Record<Tick['role'], string>> = {
  hinge: 'Hinge tick',
  seam: 'Seam tick',
  fold: 'Fold tick',
  place: 'Tick',
}
export const tickName = ({ role, mark }: Tick) =>
  role === 'place' || role === 'fold' ? `${roleNames[role]} (${mark})` : roleNames[role]
