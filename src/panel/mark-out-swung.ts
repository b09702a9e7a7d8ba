import { cross, distance, dot, leftOf, type Point, subtract, unit } from '../geometry/point.ts'
import { type ArcLine, type HandLine, handLines, isSwung } from './hand-lines.ts'
import {
  arcWords,
  insideOf,
  type MarkOut,
  proofOf,
  roundingLines,
  startAgain,
  swingLine,
  tickName,
} from './mark-out-words.ts'
import { edgeNames, type Panel } from './panel.ts'
import type { Say } from './template.ts'

/** Tapes that cross flatter than this do not show where, as the sine of their angle. */
const leastCrossing = 0.5
/** A base from which they cross better than this is good enough. */
const goodCrossing = 0.7
/** A strip that leans more than this against the line under it has no clear place over it, as the cosine. */
const leastAlong = 0.5

/** A panel of four sides, told from one of them: each edge is one line from corner to corner. */
export interface Swung {
  /** with its edges from the base on */
  readonly panel: Panel
  readonly sides: readonly HandLine[]
}

/**
 * The panel told from the edge from whose ends tapes find the other two corners best, the first where that is good.
 * Undefined where it has not four sides that are each one line, or tapes would cross too flat.
 */
export function swungFrom(panel: Panel, thread: number): Swung | undefined {
  const { edges } = panel
  if (edges.map((edge) => edge.name).join() !== edgeNames.join()) return undefined
  const told = edges.map(({ outline }) => handLines(outline, thread))
  const sides = told.flatMap((own) => (own.length === 1 ? own : []))
  if (sides.length !== 4 || !sides.every(isOverCorners)) return undefined
  if (sides.some((line, i) => distance(line.to, (sides[(i + 1) % 4] as HandLine).from) > 0.05)) return undefined
  const bases = [0, 1, 2, 3].map((first) => {
    const own = from(sides, first)
    return { first, sides: own, crossing: crossingOf(own.map((line) => line.from) as [Point, Point, Point, Point]) }
  })
  const [best] = bases.sort((x, y) => Math.min(y.crossing, goodCrossing) - Math.min(x.crossing, goodCrossing))
  if (!best || best.crossing < leastCrossing) return undefined
  return { panel: { ...panel, edges: from(edges, best.first) }, sides: best.sides }
}

const from = <T>(four: readonly T[], first: number): T[] => [...four.slice(first), ...four.slice(0, first)]

/** The sine of the flattest angle at which tapes from `a` and `b` cross at the other corners; below 0 past the line. */
const crossingOf = ([a, b, c, d]: readonly [Point, Point, Point, Point]): number =>
  Math.min(...[c, d].map((p) => cross(unit(subtract(a, p)), unit(subtract(b, p)))))

function isOverCorners(line: HandLine): boolean {
  if (line.kind === 'straight') return true
  if (line.kind === 'arc') return isSwung(line)
  const way = unit(subtract(line.to, line.from))
  const all = [line.from, ...line.marks, line.to]
  return !line.closed && all.slice(1).every((p, i) => dot(way, unit(subtract(p, all[i] as Point))) > leastAlong)
}

/** A panel of four sides: its corners by tapes that are swung, its bent edges from corner to corner. */
export function bySwinging({ panel, sides: lines }: Swung, say: Say): MarkOut {
  const edgeName = (i: number) => panel.edges[i]?.name ?? ''
  const corners = lines.map((line) => line.from)
  const [a, b, c, d] = corners as [Point, Point, Point, Point]
  const onBase = fromLine(a, b, say)
  const arcs = lines.flatMap((line, i) => (line.kind === 'arc' ? [{ line, name: edgeName(i), ends: endsOf(i) }] : []))
  const marks = corners.map((at, i) => ({ name: `${i + 1}`, at }))
  const strips = lines.flatMap((line, i) => {
    if (line.kind !== 'strip') return []
    const own = line.marks.map((at, k) => ({ name: `${marks.length + k + 1}`, at }))
    marks.push(...own)
    return [{ line, own, edge: edgeName(i), side: i }]
  })
  const inside = insideOf(panel, say)
  const hinge = panel.ticks.filter(({ role }) => role === 'hinge')
  const steps = [
    'On the film side, draw one straight line along a stretched thread. Put point 1 near its left end.',
    `Mark point 2 on the line, ${say(distance(a, b))} from point 1.`,
    `Point 3 is ${say(distance(b, c))} from point 2 and ${say(distance(a, c))} from point 1: swing both with tape or thread; it is where they cross above the line.`,
    `Point 4 is ${say(distance(a, d))} from point 1 and ${say(distance(b, d))} from point 2, on the same side.`,
    `Proof: point 3 to point 4 must be ${say(distance(c, d))}, and, measured again, ${say(distance(a, c))} from 1 to 3, ${say(distance(b, d))} from 2 to 4, ${say(distance(b, c))} from 2 to 3 and ${say(distance(a, d))} from 4 to 1. ${startAgain(say)}`,
    ...arcs.map(({ line, name, ends }) => `The ${name} edge, ${ends}: ${arcWords(line, say)}.`),
    ...(arcs.length > 0 ? [swingLine] : []),
    ...(onePin(arcs.map(({ line }) => line)) ? ['Proof: one pin serves both arcs.'] : []),
    ...(strips.length > 0
      ? [
          `Mark the numbered points of the table: go along the straight line between two points, and square off it as far as it says. Proof: each must lie as far, straight, from another point as the table says. ${startAgain(say)}`,
        ]
      : []),
    ...strips.map(({ own, edge, side }) => {
      const [first, last] = [side + 1, ((side + 1) % 4) + 1]
      return `The ${edge} edge: bend a thin strip along points ${[first, ...own.map(({ name }) => name)].join(', ')} and ${last}.`
    }),
    ...roundingLines(panel, (i) => `${i + 1}`, say),
    ...panel.ticks.map((tick) => {
      const i = panel.edges.findIndex((edge) => edge.name === tick.edge)
      if (i < 0) {
        const [along, off] = onBase(tick.at)
        return `${tickName(tick)} on the rim of an opening: ${along} along the line from point 1, ${off}.`
      }
      const far = say(distance(corners[i] as Point, tick.at))
      return `${tickName(tick)} on the ${tick.edge} edge: ${far} straight from point ${i + 1}.`
    }),
    ...(hinge.length === 2
      ? [`Proof: from one hinge tick to the other must be ${say(distance(panel.hinge.from, panel.hinge.to))}.`]
      : []),
    ...inside.lines,
  ]
  const places = inside.places.map(({ name, at }) => [name, '1 to 2', ...onBase(at)])
  const columns = ['Point', 'On the line', 'Along it', 'Square off it']
  const told = { lines: steps, marks, base: { from: a, to: b } }
  if (strips.length === 0) return { ...told, ...(places.length > 0 ? { table: { columns, rows: places } } : {}) }
  const bent = strips.flatMap(({ line, own, side }) => {
    const over = fromLine(line.from, line.to, say)
    const way = unit(subtract(line.to, line.from))
    return own.map((mark) => [mark.name, endsOf(side), ...over(mark.at), proofOf(mark, marks, way, say)])
  })
  const rows = [...bent, ...places.map((row) => [...row, ''])]
  return { ...told, table: { columns: [...columns, 'Proof: straight'], rows } }
}

const endsOf = (side: number) => `${side + 1} to ${((side + 1) % 4) + 1}`

/** Do two arcs have one middle? */
const onePin = ([one, other]: readonly ArcLine[]) => one && other && distance(one.centre, other.centre) < 0.05

/** Places by how far they are along a line from its first point, and square off it as seen along it. */
function fromLine(a: Point, b: Point, say: Say) {
  const way = unit(subtract(b, a))
  return (p: Point): [string, string] => {
    const from = subtract(p, a)
    const [far, off] = [dot(from, way), dot(from, leftOf(way))]
    return [
      far < 0 && say(-far) !== say(0) ? `${say(-far)} before it` : say(far),
      `${say(Math.abs(off))} ${off < 0 ? 'to the right' : 'to the left'}`,
    ]
  }
}
