import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { crossings } from '../geometry/intersect.ts'
import { pathLength, stationAt } from '../geometry/length.ts'
import { endOf, type Path } from '../geometry/path.ts'
import { add, distance, dot, leftOf, type Point, point, scaled, subtract, unit } from '../geometry/point.ts'
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
  const lines = [
    'On the film side, draw one straight line along a stretched thread. Put point A near its left end.',
    `Mark B on the line, ${say(distance(a, b))} from A.`,
    `C is ${say(distance(b, c))} from B and ${say(distance(a, c))} from A: swing both with tape or thread; C is where they cross.`,
    `D is ${say(distance(a, d))} from A and ${say(distance(b, d))} from B, on the same side.`,
    `Proof: C to D must be ${say(distance(c, d))}, and the diagonals A to C ${say(distance(a, c))} and B to D ${say(distance(b, d))}. Start again if they differ by more than 1 mm.`,
  ]
  const ends = ['A to B', 'B to C', 'C to D', 'D to A']
  const rows = panel.edges.flatMap((edge, i) =>
    ordinates(edge, 8)
      .filter(({ height }) => Math.abs(height) > straightEnough)
      .map(({ along, height }) => [
        `${edge.name}, ${ends[i]}`,
        say(along),
        `${say(Math.abs(height))} ${height > 0 ? 'to the left' : 'to the right'}`,
      ]),
  )
  if (rows.length > 0) {
    lines.push(
      'Edges that bend are in the table: go along the straight line between the corners, square off it as far as it says, and join the marks with a bent strip.',
    )
  }
  for (const tick of panel.ticks) {
    const i = Math.max(
      0,
      panel.edges.findIndex((edge) => edge.name === tick.edge),
    )
    const [from, name] = [corners[i] ?? a, 'ABCD'[i]]
    const where = tick.edge === '' ? 'the rim of an opening' : `the ${tick.edge} edge`
    lines.push(`${tickName(tick)} on ${where}: ${say(distance(from, tick.at))} straight from ${name}.`)
  }
  return {
    lines: [...lines, ...openingLines(panel.holes, a, unit(subtract(b, a)), 'A', say)],
    ...(rows.length > 0 ? { table: { columns: ['Edge', 'Along the line', 'Square off it'], rows } } : {}),
  }
}

/** Any other outline: numbered points by their place along one straight line and their height over it. */
function byStations(panel: Panel, say: Say): MarkOut {
  const { low } = boundsOf([panel.outline])
  const points = panel.edges.flatMap(stationsOf)
  const rows = points.map((p, i) => [`${i + 1}`, say(p.x - low.x), say(p.y - low.y)])
  const [first, second] = longestPairs(points)
  const proof = [first, second].flatMap((pair) =>
    pair
      ? [
          `${pair[0] + 1} to ${pair[1] + 1} must be ${say(distance(points[pair[0]] as Point, points[pair[1]] as Point))}`,
        ]
      : [],
  )
  const lines = [
    'On the film side, draw one straight line along a stretched thread, longer than the panel. Put A near its left end: all distances in the table run from A along the line, and square up from it.',
    'Mark the numbered points of the table. Prove a square corner with 3, 4 and 5 lengths of any unit.',
    `Proof: ${proof.join(', and ')}. Start again if they differ by more than 1 mm.`,
    'Join the points in order, and the last to the first; where an edge bends, with a bent strip.',
  ]
  for (const tick of panel.ticks) {
    const where = `${say(tick.at.x - low.x)} along and ${say(tick.at.y - low.y)} up`
    lines.push(`${tickName(tick)}: ${where}.`)
  }
  return {
    lines: [...lines, ...openingLines(panel.holes, low, point(1, 0), 'A', say)],
    table: { columns: ['Point', 'Along the line from A', 'Up from the line'], rows },
  }
}

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

/** Where each opening's middle lies, from a corner along a line and square to it. */
function openingLines(holes: readonly Path[], from: Point, way: Point, name: string, say: Say): string[] {
  return holes.map((hole, i) => {
    const box = boundsOf([hole])
    const middle = subtract(point((box.low.x + box.high.x) / 2, (box.low.y + box.high.y) / 2), from)
    const size = `${say(boxWidth(box))} wide and ${say(boxHeight(box))} high over all`
    return `Opening ${i + 1}: its middle is ${say(dot(middle, way))} along the line from ${name} and ${say(dot(middle, leftOf(way)))} square to it; ${size}. Trace its form from the paper template.`
  })
}
