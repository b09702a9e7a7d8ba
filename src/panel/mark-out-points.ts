import { boundsOf } from '../geometry/bounds.ts'
import { distance, norm, type Point, point, subtract, turned } from '../geometry/point.ts'
import { type ArcLine, type HandLine, isSwung, widestSwing } from './hand-lines.ts'
import {
  arcWords,
  insideOf,
  type MarkOut,
  type NamedMark,
  proofOf,
  roundingLines,
  startAgain,
  swingLine,
  tickName,
} from './mark-out-words.ts'
import type { Panel } from './panel.ts'
import type { Say } from './template.ts'

/** A numbered point with how to go on from it. */
interface Numbered {
  readonly at: Point
  readonly next: string
}

/** Any outline: numbered points by their place along one straight line and their height over it. */
export function byPoints(panel: Panel, outline: readonly HandLine[], say: Say): MarkOut {
  const { low, high } = boundsOf([panel.outline])
  const from = fromZero(low, say)
  const pins: (NamedMark & { readonly radius: number })[] = []
  const pinOf = ({ centre, radius }: ArcLine) => {
    const known = pins.find((pin) => distance(pin.at, centre) < 0.01 && Math.abs(pin.radius - radius) < 0.01)
    if (known) return known.name
    const name = `P${pins.length + 1}`
    pins.push({ name, at: centre, radius })
    return name
  }
  const strips = outline.filter(({ kind }) => kind === 'strip')
  const stripOf = (line: HandLine) =>
    line.kind === 'strip' && line.closed ? 'bent strip, its ends lapped' : `bent strip ${strips.indexOf(line) + 1}`
  const points = outline.flatMap((line) => numbered(line, { pinOf, stripOf }, say))
  const numbers = points.map(({ at }, i) => ({ name: `${i + 1}`, at }))
  const numberAt = (p: Point) => 1 + points.findIndex(({ at }) => distance(at, p) < 0.2)
  const inside = insideOf(panel, say)
  const proof = diagonals(points.map(({ at }) => at)).map(
    ([i, k, length]) => `point ${i + 1} to point ${k + 1} must be ${say(length)}`,
  )
  const lines = [
    'On the film side, draw one straight line along a stretched thread, longer than the panel. Make a zero mark near its left end.',
    'Mark the numbered points of the table: so far along the line from the zero mark, and so far up, square to it. Prove a square corner with 3, 4 and 5 lengths of any unit.',
    `Proof: each point must lie as far, straight, from another as the table says; ${proof.join(', and ')}. ${startAgain(say)}`,
    'Draw on from each point to the next as the table says, and from the last to point 1.',
    ...(outline.some(({ kind }) => kind === 'strip')
      ? [
          'Bent strip: bend a thin strip along all points that it joins, let go at its two ends alone, and draw along it.',
        ]
      : []),
    ...(outline.some((line) => line.kind === 'arc' && isSwung(line)) ? [swingLine] : []),
    ...(pins.length > 0
      ? [
          `${pins.map(({ name }) => name).join(', ')}: put a pin there and swing the arc on thread of the radius told. Proof: it meets all points that it joins.`,
        ]
      : []),
    ...roundingLines(panel, (i) => `${numberAt((panel.edges[i] as Panel['edges'][number]).outline.start)}`, say),
    ...tickLines(panel, from),
    ...inside.lines,
  ]
  const rows = [
    ...numbers.map((mark, i) => [
      mark.name,
      ...from.cells(mark.at),
      proofOf(mark, numbers, point(1, 0), say),
      (points[i] as Numbered).next,
    ]),
    ...pins.map(({ name, at, radius }) => [`${name}, pin`, ...from.cells(at), '', `radius ${say(radius)}`]),
    ...inside.places.map(({ name, at }) => [name, ...from.cells(at), '', '']),
  ]
  const columns = ['Point', 'Along from zero', 'Up from the line', 'Proof: straight', 'Line to the next point']
  const marks = [...numbers, ...pins, { name: '0', at: low }]
  return {
    lines,
    table: { columns, rows },
    marks: marks.map(({ name, at }) => ({ name, at })),
    base: { from: low, to: point(high.x, low.y) },
  }
}

/** A round panel: a pin on a line, and a circle round it. */
export function byRound(panel: Panel, { centre, radius }: ArcLine, say: Say): MarkOut {
  const from = fromZero(centre, say)
  const inside = insideOf(panel, say)
  const lines = [
    'On the film side, draw one straight line along a stretched thread, longer than the panel. Make a zero mark in its middle.',
    `The panel is round: put a pin into the zero mark and swing a circle with a radius of ${say(radius)} on thread or tape.`,
    `Proof: along the line the circle must be ${say(2 * radius)} across, and as much square to it. ${startAgain(say)}`,
    ...tickLines(panel, from),
    ...inside.lines,
  ]
  const rows = inside.places.map(({ name, at }) => [name, ...from.cells(at)])
  const columns = ['Point', 'Along from zero', 'Up from the line']
  return {
    lines,
    ...(rows.length > 0 ? { table: { columns, rows } } : {}),
    marks: [{ name: '0', at: centre }],
    base: { from: point(centre.x - radius, centre.y), to: point(centre.x + radius, centre.y) },
  }
}

/** What the sheet calls pins and strips. */
interface Named {
  readonly pinOf: (arc: ArcLine) => string
  readonly stripOf: (line: HandLine) => string
}

/** The points of a line but its last, which the next line begins with. */
function numbered(line: HandLine, named: Named, say: Say): Numbered[] {
  if (line.kind === 'straight') return [{ at: line.from, next: 'straight' }]
  if (line.kind === 'strip') return [line.from, ...line.marks].map((at) => ({ at, next: named.stripOf(line) }))
  if (isSwung(line)) return [{ at: line.from, next: arcWords(line, say) }]
  const parts = Math.ceil(Math.abs(line.sweep) / widestSwing)
  const next = `arc about ${named.pinOf(line)}`
  const arm = subtract(line.from, line.centre)
  return Array.from({ length: parts }, (_, i) => {
    const reach = turned(arm, (line.sweep * i) / parts)
    return { at: point(line.centre.x + reach.x, line.centre.y + reach.y), next }
  })
}

/** Places along a level line from a zero mark, and up from it. */
function fromZero(zero: Point, say: Say) {
  const said = (far: number, ahead: string, back: string) => {
    const words = say(Math.abs(far))
    return far < 0 && words !== say(0) ? `${words} ${back}` : `${words}${ahead}`
  }
  return {
    cells: (p: Point) => [said(p.x - zero.x, '', 'before it'), said(p.y - zero.y, '', 'below it')],
    words: (p: Point) =>
      `${said(p.x - zero.x, ' along', 'before the zero mark')} and ${said(p.y - zero.y, ' up', 'below the line')}`,
  }
}

const tickLines = (panel: Panel, from: ReturnType<typeof fromZero>) =>
  panel.ticks.map((tick) => {
    const edge = tick.edge === '' ? 'rim of an opening' : `${tick.edge} edge`
    return `${tickName(tick)} on the ${edge}: ${from.words(tick.at)}.`
  })

/**
 * The two pairs of points, with the lines between them rising and falling along the base, whose distances change most
 * where up is not square to along.
 */
function diagonals(points: readonly Point[]): [number, number, number][] {
  const most = (sign: 1 | -1): [number, number, number][] => {
    let best = 0
    let found: [number, number, number][] = []
    points.forEach((p, i) => {
      for (let k = i + 1; k < points.length; k++) {
        const way = subtract(points[k] as Point, p)
        const length = norm(way)
        const change = (sign * way.x * way.y) / length
        if (change <= best + 1e-9) continue
        best = change
        found = [[i, k, length]]
      }
    })
    return found
  }
  return [...most(1), ...most(-1)]
}
