import { lineTo, openPath, type Path, polyline } from '../../src/geometry/path.ts'
import { add, between, distance, type Point, point, scaled, subtract, turned } from '../../src/geometry/point.ts'
import { diameterFromGirth } from '../../src/measure/girth.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { Development, TickLine } from '../../src/panel/development.ts'
import { tapedBy } from '../../src/panel/taped.ts'
import { defineTemplate, type Facts, type Say, type Values } from '../../src/panel/template.ts'
import { crossDoubts } from '../cross-check.ts'
import { overlapSpec } from '../overlap.ts'
import { transitionSketch } from './sketch.ts'
import { layTransition, type Transition, transitionOf } from './transition.ts'

/** Faces as one goes round to the right, and the corner at the right end of each. */
const faces: readonly string[] = ['front', 'right', 'back', 'left']
const corners: readonly string[] = ['front right', 'back right', 'back left', 'front left']

const specs = {
  length: { kind: 'length', min: 10, max: 5000, letter: 'A', help: 'across the front of the rectangular end, below' },
  width: { kind: 'length', min: 10, max: 5000, letter: 'B', help: 'from front to back of the rectangular end' },
  diameter: {
    kind: 'length',
    min: 10,
    max: 5000,
    optional: true,
    letter: 'D',
    help: 'across the round end, above, by caliper; or give girth',
  },
  girth: {
    kind: 'length',
    min: 30,
    max: 16000,
    optional: true,
    help: 'round the round end, tape level; in place of diameter',
  },
  height: { kind: 'length', min: 5, max: 5000, letter: 'C', help: 'straight up from the lower end to the upper end' },
  right: {
    kind: 'length',
    min: -5000,
    max: 5000,
    standard: 0,
    letter: 'X',
    help: 'how far the middle of the round end stands to the right of the middle of the rectangle; below 0 to the left',
  },
  back: {
    kind: 'length',
    min: -5000,
    max: 5000,
    standard: 0,
    letter: 'Y',
    help: 'how far it stands behind that middle; below 0 in front of it',
  },
  slant: {
    kind: 'length',
    min: 5,
    max: 8000,
    optional: true,
    letter: 'S',
    help: 'up the middle of the front face along the skin, from edge to edge: checks the other measures',
  },
  panels: {
    kind: 'choice',
    options: ['one', 'two'],
    standard: 'one',
    help: 'one panel, opened at the middle of a flat face, or two halves that meet there and opposite',
  },
  seam: {
    kind: 'choice',
    options: ['back', 'front', 'right', 'left'],
    standard: 'back',
    help: 'the flat face up whose middle the seam runs',
  },
  overlap: overlapSpec('how far the right edge of a panel laps over the left edge it meets'),
  divisions: {
    kind: 'number',
    min: 1,
    max: 180,
    whole: true,
    standard: 36,
    help: 'straight pieces in each quarter of the round edge; the film is short of the skin by a share that falls with their square',
  },
} as const

export type TransitionValues = Values<typeof specs>

/** Across the rim of the object, mm. */
function rimAcross(v: TransitionValues, facts: Facts): number {
  return v.diameter ?? diameterFromGirth(v.girth ?? Number.NaN, facts.tapeThickness)
}

/** Up the middle of the front face, mm. */
function frontSlant(v: TransitionValues, diameter: number): number {
  return Math.hypot(v.height, v.width / 2 + v.back - diameter / 2)
}

/** A tape along the skin may miss the other measures by this much, mm (common practice, no source). */
const slantSlack = 4

export const squareToRound = defineTemplate({
  id: 'square-to-round',
  title: 'Square to round',
  when: 'Round an object that is rectangular below and round above: a hopper, a vent hood, the foot of a lamp shade, the shoulder of an oil can.',
  specs,
  example: {
    measures: { length: '200 mm', width: '200 mm', diameter: '120 mm', height: '100 mm' },
    shows:
      'Each flat face is a triangle 200 mm wide and 107.7 mm high; between two of them the film bends through 36.05 degrees about a corner.',
  },
  check: (v) => {
    const problems: Problem[] = []
    if ((v.diameter === undefined) === (v.girth === undefined)) {
      const none = v.diameter === undefined
      problems.push({
        code: none ? 'missing' : 'contradiction',
        field: none ? 'diameter' : 'girth',
        value: none ? 'not given' : `${v.girth} mm beside a diameter of ${v.diameter} mm`,
        limit: 'one of diameter and girth is needed, and enough',
        cure: none
          ? 'Measure across the round end, or the tape round it.'
          : 'Keep the one you trust more; a tape round it beats a caliper across it.',
      })
    }
    const across = v.diameter ?? (v.girth ?? Number.NaN) / Math.PI
    const slant = frontSlant(v, across)
    if (v.slant !== undefined && Math.abs(v.slant - slant) > slantSlack) {
      const reach = v.width / 2 + v.back - across / 2
      // Up a steep face the height tells most, up a flat one the two widths do.
      const doubt = v.height > Math.abs(reach) ? 'height' : 'width, back and the round end'
      problems.push({
        code: 'contradiction',
        field: 'slant',
        value: `${v.slant} mm`,
        limit: `the other measures give ${slant.toFixed(1)} mm, which is ${Math.abs(slant - v.slant).toFixed(1)} mm ${slant > v.slant ? 'more' : 'less'}`,
        cure: `Measure ${doubt} again, then slant: along the skin, not straight up.`,
      })
    }
    return problems
  },
  doubts: (v, facts, say) => {
    if (v.slant === undefined) return []
    const wanted = frontSlant(v, rimAcross(v, facts))
    return crossDoubts({ field: 'slant', read: v.slant, wanted, readings: 3, madeTo: 'the others' }, say)
  },
  develop: (v, facts, say) => {
    const shape = transitionOf(v, rimAcross(v, facts))
    const opened = faces.indexOf(v.seam)
    const notes = notesOf(v, facts, say)
    if (v.panels === 'one') {
      const seams = { left: undefined, right: undefined }
      return [panelOver(shape, opened, 4, { v, facts, notes, seams, say })]
    }
    const [a, b] = [faces[(opened + 1) % 4], faces[(opened + 3) % 4]]
    return [
      { ...panelOver(shape, opened, 2, { v, facts, notes, seams: { left: 'A', right: 'B' }, say }), part: `${a} half` },
      {
        ...panelOver(shape, opened + 2, 2, { v, facts, notes, seams: { left: 'B', right: 'A' }, say }),
        part: `${b} half`,
      },
    ]
  },
  sketch: transitionSketch,
})

function notesOf(v: TransitionValues, facts: Facts, say: Say): string[] {
  const short = rimShort(v, facts)
  const notes =
    short < seenShort
      ? []
      : [
          `The round edge is cut as ${4 * v.divisions} straight pieces, ${say(short)} shorter than the circle; more divisions bring it nearer.`,
        ]
  if (v.slant === undefined) return notes
  const off = v.slant - frontSlant(v, rimAcross(v, facts))
  return [
    ...notes,
    `The slant read is ${say(Math.abs(off))} ${off < 0 ? 'less' : 'more'} than the other measures give.`,
  ]
}

/** A shortfall of the round edge that a person would notice, mm (common practice, no source). */
const seenShort = 0.1

/** How much the chords are shorter than the circle, mm. */
function rimShort(v: TransitionValues, facts: Facts): number {
  const pieces = 4 * v.divisions
  return rimAcross(v, facts) * (Math.PI - pieces * Math.sin(Math.PI / pieces))
}

interface Rest {
  readonly v: TransitionValues
  readonly facts: Facts
  readonly notes: readonly string[]
  /** codes where several seams are; none where the one panel meets itself */
  readonly seams: { readonly left: string | undefined; readonly right: string | undefined }
  readonly say: Say
}

/** The panel from the middle of one face over `count` corners to the middle of another. */
function panelOver(shape: Transition, first: number, count: 2 | 4, { v, facts, notes, seams, say }: Rest): Development {
  const n = shape.divisions
  const laid = layTransition(shape, first, count, facts.filmThickness)
  const middle = first + count / 2
  const name = (face: number) => faces[((face % 4) + 4) % 4] ?? ''
  // The hinge stands upright through the middle of the lower edge and the middle of the rim.
  const foot = between(at(laid.low, count / 2), at(laid.low, count / 2 + 1), 0.5)
  const head = at(laid.high, (count / 2) * n)
  const way = subtract(head, foot)
  const turn = Math.PI / 2 - Math.atan2(way.y, way.x)
  const centre = between(foot, head, 0.5)
  const set = (p: Point) => turned(subtract(p, centre), turn)
  const low = laid.low.map(set)
  const high = laid.high.map(set)
  const half = distance(foot, head) / 2
  const hinge = { from: point(0, -half), to: point(0, half) }

  const bottom = polyline(low)
  const top = polyline([...high].reverse())
  const side = (from: Point, to: Point): Path => openPath(from, lineTo(to))
  const seam = (code: string | undefined) => (code === undefined ? {} : { seam: code })
  const bends = Array.from({ length: count }, (_, i): TickLine => {
    const tip = (i + 0.5) * n
    const to = n % 2 === 0 ? at(high, tip) : between(at(high, Math.floor(tip)), at(high, Math.ceil(tip)), 0.5)
    return {
      role: 'fold',
      line: { from: at(low, i + 1), to },
      mark: `bend ${corners[(((first + i) % 4) + 4) % 4]}`,
    }
  })
  const flats = Array.from({ length: count - 1 }, (_, i): TickLine[] => {
    // The hinge stands on the middle one.
    if (i + 1 === count / 2) return []
    const from = between(at(low, i + 1), at(low, i + 2), 0.5)
    return [{ role: 'place', line: { from, to: at(high, (i + 1) * n) }, mark: `flat ${name(first + i + 1)}` }]
  }).flat()

  const start = name(first)
  const farthest = 'from the middle of its lower edge to the place of the rim farthest to that side'
  const over = v.overlap > 0 ? `laps ${say(v.overlap)} past it` : 'meets the left one there'
  const meets =
    seams.left === undefined
      ? `Draw the seam line up the middle of the ${start} face, ${farthest}. The left edge of the panel stands on it; the right edge comes round and ${over}.`
      : `Draw a line up the middle of the ${start} face and one up the ${name(first + count)} face, each ${farthest}. The left edge of this half stands on the first (seam ${seams.left}); its right edge comes to the second (seam ${seams.right}) and ${over}.`
  const across = middle % 2 === 0 ? v.length : v.width
  const rimGirth = Math.PI * (rimAcross(v, facts) + facts.tapeThickness)
  return {
    edges: [
      { name: 'bottom', path: bottom, ...tapedBelow(low, first, v, facts) },
      { name: 'right', path: side(at(low, -1), at(high, -1)), lap: v.overlap, ...seam(seams.right) },
      { name: 'top', path: top, ...tapedRim(high, rimGirth / (4 * n)) },
      { name: 'left', path: side(at(high, 0), at(low, 0)), lap: 0, ...seam(seams.left) },
    ],
    holes: [],
    hinge,
    tickLines: [...bends, ...flats],
    labelSpots: [0.1, 0.3, 0.5].flatMap((share) => {
      const up = add(hinge.from, scaled(subtract(hinge.to, hinge.from), share))
      return [
        { at: point(across / 5, up.y), turn: 0 },
        { at: point(-across / 5, up.y), turn: 0 },
      ]
    }),
    marks: [
      { code: 'seam', text: meets },
      {
        code: 'hinge bottom',
        text: `Mark the middle of the lower edge of the ${name(middle)} face, ${say(across / 2)} from either corner.`,
      },
      {
        code: 'hinge top',
        text: `Mark the place of the rim farthest to the ${name(middle)}, ${say((rimGirth * count) / 8)} round it from where ${seams.left === undefined ? 'the seam line' : 'either line'} ends.`,
      },
      {
        code: 'bend',
        text: `The ticks named bend meet the corners below and, above, the places of the rim halfway between those. Between two flat faces the film bends evenly about the corner.`,
      },
      ...(flats.length > 0
        ? [
            {
              code: 'flat',
              text: 'The ticks named flat meet the middle of a face below, and the place of the rim farthest to that side.',
            },
          ]
        : []),
    ],
    notes,
  }
}

/** The lower edge flat by flat and corner by corner: film turns on a corner by its own thickness, a tape by its. */
function tapedBelow(low: readonly Point[], first: number, { length, width }: TransitionValues, facts: Facts) {
  const turn = (Math.PI / 8) * facts.tapeThickness
  return tapedBy(
    low.slice(1).flatMap((p, i) => {
      const film = distance(at(low, i), p)
      const face = (first + i) % 2 === 0 ? length : width
      const isEnd = i === 0 || i === low.length - 2
      const flat = isEnd ? face / 2 : face
      const own = { film: flat, tape: flat }
      const bend = { film: (film - flat) / (isEnd ? 1 : 2), tape: turn }
      if (isEnd) return i === 0 ? [own, bend] : [bend, own]
      return [bend, own, bend]
    }),
  )
}

/** The rim from its right end to its left one; `each` is what a tape reads over one straight piece, mm. */
const tapedRim = (high: readonly Point[], each: number) =>
  tapedBy(
    high
      .slice(1)
      .map((p, i) => ({ film: distance(at(high, i), p), tape: each }))
      .reverse(),
  )

const at = (points: readonly Point[], i: number): Point => points.at(i) ?? point(Number.NaN, Number.NaN)
