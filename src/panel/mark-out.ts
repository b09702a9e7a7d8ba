import { boundsOf } from '../geometry/bounds.ts'
import { crossings } from '../geometry/intersect.ts'
import { pathLength, stationAt } from '../geometry/length.ts'
import { endOf } from '../geometry/path.ts'
import { add, between, distance, dot, leftOf, type Point, scaled, subtract, unit } from '../geometry/point.ts'
import { openingForm } from './opening-form.ts'
import type { Panel, PanelEdge, Tick } from './panel.ts'
import type { Say } from './template.ts'

/** Height of a curved edge over the straight line between its corners, at a distance along that line, mm. */
export interface Ordinate {
  readonly along: number
  readonly height: number
}

/** Steps to follow with tape and pencil, and the figures that go with them. */
export interface MarkOut {
  readonly lines: readonly string[]
  readonly table?: { readonly columns: readonly string[]; readonly rows: readonly (readonly string[])[] }
}

/** An edge that stands off its chord by less than this is drawn straight, mm. */
const straightEnough = 0.2

/** Ordinates of an edge at even stations; positive to the left of the line from its start to its end. */
export function ordinates(edge: Pick<PanelEdge, 'outline'>, count: number): Ordinate[] {
  const a = edge.outline.start
  const b = endOf(edge.outline)
  const way = unit(subtract(b, a))
  const chord = distance(a, b)
  return Array.from({ length: count - 1 }, (_, i) => {
    const along = (chord * (i + 1)) / count
    const foot = add(a, scaled(way, along))
    const met = crossings(edge.outline, foot, leftOf(way))
    const height = met.reduce((best, c) => (Math.abs(c.reach) < Math.abs(best) ? c.reach : best), Infinity)
    return { along, height: Number.isFinite(height) ? height : 0 }
  })
}

/** How to mark a panel out with tape and pencil on a scrap with no straight edge; diagonals prove it square. */
export function markOut(panel: Panel, say: Say): MarkOut {
  const names = panel.edges.map((edge) => edge.name).join()
  return names === 'bottom,right,top,left' ? fourSided(panel, say) : byStations(panel, say)
}

function fourSided(panel: Panel, say: Say): MarkOut {
  const corners = panel.edges.map((edge) => edge.outline.start)
  const [a, b, c, d] = corners as [Point, Point, Point, Point]
  const ends = ['A to B', 'B to C', 'C to D', 'D to A']
  const bends = panel.edges.flatMap((edge, i) =>
    ordinates(edge, 8)
      .filter(({ height }) => Math.abs(height) > straightEnough)
      .map(({ along: far, height }) => [`${edge.name}, ${ends[i]}`, say(far), aside(height, say)]),
  )
  const way = unit(subtract(b, a))
  const openings = openingsOf(
    panel,
    (p) => {
      const from = subtract(p, a)
      return [along(dot(from, way), say), aside(dot(from, leftOf(way)), say)]
    },
    say,
  )
  const ticks = panel.ticks.map((tick) => {
    const i = Math.max(
      0,
      panel.edges.findIndex((edge) => edge.name === tick.edge),
    )
    const [from, name] = [corners[i] ?? a, 'ABCD'[i]]
    const where = tick.edge === '' ? 'rim of an opening' : `${tick.edge} edge`
    return `${tickName(tick)} on the ${where}: ${say(distance(from, tick.at))} straight from ${name}.`
  })
  const lines = [
    firstLine,
    `Mark B on the line, ${say(distance(a, b))} from A.`,
    `C is ${say(distance(b, c))} from B and ${say(distance(a, c))} from A: swing both with tape or thread; C is where they cross.`,
    `D is ${say(distance(a, d))} from A and ${say(distance(b, d))} from B, on the same side.`,
    `Proof: C to D must be ${say(distance(c, d))}, and the diagonals A to C ${say(distance(a, c))} and B to D ${say(distance(b, d))}. ${startAgain(say)}`,
    ...(bends.length > 0
      ? [
          'Edges that bend are in the table: go along the straight line between the corners, square off it as far as it says, and join the marks with a bent strip.',
        ]
      : []),
    ...roundingLines(panel, (i) => 'ABCD'[i] ?? '', say),
    ...ticks,
    ...openings.lines,
    ...innerLines(panel),
  ]
  const rows = [...bends, ...openings.rows.map(([name, ...place]) => [`${name}, A to B`, ...place])]
  return {
    lines,
    ...(rows.length > 0 ? { table: { columns: ['Edge', 'Along the line', 'Square off it'], rows } } : {}),
  }
}

/** Any other outline: numbered points by their place along one straight line and their height over it. */
function byStations(panel: Panel, say: Say): MarkOut {
  const { low } = boundsOf([panel.outline])
  const stations = panel.edges.map(stationsOf)
  const points = stations.flat()
  const firstOf = (edge: number) => stations.slice(0, edge).reduce((sum, own) => sum + own.length, 1)
  const place = (p: Point): [string, string] => [along(p.x - low.x, say), upward(p.y - low.y, say)]
  const proof = longestPairs(points).map(([i, k]) => {
    const [p, q] = [points[i] as Point, points[k] as Point]
    return `${i + 1} to ${k + 1} must be ${say(distance(p, q))}`
  })
  const openings = openingsOf(panel, place, say)
  const lines = [
    `${firstLine} It is longer than the panel: all distances in the table run from A along the line, and square up from it.`,
    'Mark the numbered points of the table. Prove a square corner with 3, 4 and 5 lengths of any unit.',
    `Proof: ${proof.join(', and ')}. ${startAgain(say)}`,
    'Join the points in order, and the last to the first; where an edge bends, with a bent strip.',
    ...roundingLines(panel, (i) => `${firstOf(i)}`, say),
    ...panel.ticks.map((tick) => {
      const [far, up] = place(tick.at)
      return `${tickName(tick)}: ${far} along and ${up} up.`
    }),
    ...openings.lines,
    ...innerLines(panel),
  ]
  const rows = [...points.map((p, i) => [`${i + 1}`, ...place(p)]), ...openings.rows]
  return { lines, table: { columns: ['Point', 'Along the line from A', 'Up from the line'], rows } }
}

const firstLine = 'On the film side, draw one straight line along a stretched thread. Put point A near its left end.'
const startAgain = (say: Say) => `Start again if they differ by more than ${say(1)}.`

/** How far along a line from A, or the other way. */
const along = (far: number, say: Say) => (far < 0 ? `${say(-far)} before A` : say(far))
const upward = (height: number, say: Say) => (height < 0 ? `${say(-height)} below it` : say(height))

/** How far to which side of a line, seen along it. */
const aside = (height: number, say: Say) => `${say(Math.abs(height))} ${height < 0 ? 'to the right' : 'to the left'}`

/** Corners that are rounded, those of one radius and one angle together. */
function roundingLines({ edges }: Panel, nameOf: (edge: number) => string, say: Say): string[] {
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

/** Openings by their form, with rows for the places that make them; what is neither round nor rectangular is traced. */
function openingsOf({ openings, holes }: Panel, place: (p: Point) => readonly string[], say: Say) {
  const told = openings.map((opening, i) => {
    const name = `opening ${i + 1}`
    const bite = holes.includes(opening) ? '' : ' Part of it lies off the film, so that it is cut in from the edge.'
    const form = openingForm(opening)
    if (form?.kind === 'round') {
      const line = `${capital(name)} is round, ${say(form.diameter)} across; its middle is in the table.${bite}`
      return { line, rows: [[`${name}, middle`, ...place(form.middle)]] }
    }
    if (form) {
      const round = form.radius > 0 ? `; round them with a radius of ${say(form.radius)}` : ''
      const rows = form.corners.map((corner, k) => [`${name}, corner ${k + 1}`, ...place(corner)])
      return { line: `${capital(name)} has four corners, which are in the table${round}.${bite}`, rows }
    }
    const { low, high } = boundsOf([opening])
    const size = `${say(high.x - low.x)} wide and ${say(high.y - low.y)} high over all`
    const line = `${capital(name)} is ${size}; its middle is in the table. Trace its form from the paper template.${bite}`
    return { line, rows: [[`${name}, middle`, ...place(between(low, high, 0.5))]] }
  })
  return { lines: told.map(({ line }) => line), rows: told.flatMap(({ rows }) => rows) }
}

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)

const innerLines = ({ inner }: Panel) =>
  inner.length > 0 ? ['The lines inside: trace them from the paper template.'] : []

/** The start of an edge, and more places on it where it bends. */
function stationsOf({ outline }: PanelEdge): Point[] {
  const bends = ordinates({ outline }, 8).some(({ height }) => Math.abs(height) > straightEnough)
  const closed = distance(outline.start, endOf(outline)) < 1e-9
  const parts = bends || closed ? 8 : 1
  const length = pathLength(outline)
  return Array.from({ length: parts }, (_, i) => stationAt(outline, (length * i) / parts).at)
}

/** The longest line between two of the points, and the longest that shares no end with it; of equals the first. */
function longestPairs(points: readonly Point[]): [number, number][] {
  const longest = (but: readonly number[]): [number, number] | undefined => {
    let best: [number, number] | undefined
    let most = -1
    points.forEach((p, i) => {
      for (let k = i + 1; k < points.length && !but.includes(i); k++) {
        const length = distance(p, points[k] as Point)
        if (length <= most || but.includes(k)) continue
        most = length
        best = [i, k]
      }
    })
    return best
  }
  const first = longest([])
  return [first, first && longest(first)].filter((pair) => pair !== undefined)
}

const roleNames: Readonly<Record<Tick['role'], string>> = {
  hinge: 'Hinge tick',
  seam: 'Seam tick',
  fold: 'Fold tick',
  place: 'Tick',
}
const tickName = ({ role, mark }: Tick) =>
  role === 'place' || role === 'fold' ? `${roleNames[role]} (${mark})` : roleNames[role]
