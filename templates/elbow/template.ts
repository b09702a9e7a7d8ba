import { diameterFromGirth, wrapLength } from '../../src/measure/girth.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { BareEdge, Development } from '../../src/panel/development.ts'
import { defineTemplate, type Facts, type Say, type Values } from '../../src/panel/template.ts'
import { overlapSpec } from '../overlap.ts'
import { developBand } from '../round-band.ts'
import { elbowSketch } from './sketch.ts'

/** The least height of film anywhere on a piece, mm, and the steepest cut, degrees (common practice, no source). */
const leastHeight = 5
const steepest = 60

const specs = {
  girth: {
    kind: 'length',
    min: 30,
    max: 20000,
    optional: true,
    letter: 'A',
    help: 'round the tube, tape square to it; or give diameter',
  },
  diameter: {
    kind: 'length',
    min: 10,
    max: 6000,
    optional: true,
    letter: 'D',
    help: 'across the tube, by caliper; in place of girth',
  },
  angle: {
    kind: 'angle',
    min: 2,
    max: 180,
    letter: 'W',
    help: 'by how much the tube turns from its first end to its last; a square bend is 90',
  },
  pieces: {
    kind: 'number',
    min: 2,
    max: 12,
    whole: true,
    help: 'straight pieces that the bend is made of, both ends among them',
  },
  radius: {
    kind: 'length',
    min: 5,
    max: 20000,
    optional: true,
    letter: 'R',
    help: 'from the centre of the bend to the middle line of the tube; or give throat',
  },
  throat: {
    kind: 'length',
    min: 0,
    max: 20000,
    optional: true,
    letter: 'T',
    help: 'from the centre of the bend to the inside of the tube; in place of radius; 0 for a sharp corner',
  },
  firstEnd: {
    kind: 'length',
    min: 0,
    max: 5000,
    standard: 0,
    letter: 'E',
    help: 'straight length from the first edge of the film to where the bend begins',
  },
  lastEnd: {
    kind: 'length',
    min: 0,
    max: 5000,
    standard: 0,
    letter: 'F',
    help: 'straight length from where the bend ends to the last edge of the film',
  },
  seams: {
    kind: 'choice',
    options: ['alternate', 'throat', 'heel'],
    standard: 'alternate',
    help: 'where the lengthwise seam of each piece lies: by turns at the throat (inside) and the heel (outside), or all on one',
  },
  overlap: overlapSpec('how far each piece laps over itself at its lengthwise seam'),
  mitreLap: {
    kind: 'length',
    min: 0,
    max: 50,
    standard: 0,
    help: 'how far each piece laps over the one before it at the mitre line; 0 where they only meet',
  },
} as const

export type ElbowValues = Values<typeof specs>

/** The tube and its bend, mm and radians. */
interface Bend {
  /** of the object */
  readonly across: number
  /** tape round it */
  readonly taped: number
  /** from the centre of the bend to the middle line */
  readonly radius: number
  /** the angle of each mitre from a square cut; end pieces carry one, the others two (Longfield 1921, p. 59) */
  readonly backset: number
}

function bendOf(v: ElbowValues, tapeThickness: number): Bend {
  const across = v.diameter ?? diameterFromGirth(v.girth ?? Number.NaN, tapeThickness)
  return {
    across,
    taped: v.girth ?? Math.PI * (across + tapeThickness),
    radius: v.radius ?? (v.throat ?? Number.NaN) + across / 2,
    backset: v.angle / (2 * (v.pieces - 1)),
  }
}

/** How many mitres a piece carries, and the straight length beside them. */
function endsOf({ pieces, firstEnd, lastEnd }: ElbowValues, i: number): { mitres: number; straight: number } {
  if (i === 0) return { mitres: 1, straight: firstEnd }
  return i === pieces - 1 ? { mitres: 1, straight: lastEnd } : { mitres: 2, straight: 0 }
}

/** Length of a piece along the line `out` mm from the middle line, away from the centre of the bend. */
const lengthAt = (v: ElbowValues, { radius, backset }: Bend, i: number, out: number): number => {
  const { mitres, straight } = endsOf(v, i)
  return mitres * (radius + out) * Math.tan(backset) + straight
}

/** Does the lengthwise seam of the piece numbered `i` lie at the throat? Its hinge lies on the other line. */
export const seamAtThroat = (seams: ElbowValues['seams'], i: number): boolean =>
  seams === 'alternate' ? i % 2 === 0 : seams === 'throat'

const degrees = (radians: number) => Number(((radians * 180) / Math.PI).toFixed(2))

function eitherOf(v: ElbowValues, first: 'girth' | 'radius', second: 'diameter' | 'throat', what: string): Problem[] {
  const [a, b] = [v[first], v[second]]
  if ((a === undefined) !== (b === undefined)) return []
  return [
    {
      code: a === undefined ? 'missing' : 'contradiction',
      field: first,
      value: a === undefined ? 'not given' : `${a} mm beside a ${second} of ${b} mm`,
      limit: `an elbow needs one of ${first} and ${second}`,
      cure: a === undefined ? `Measure ${what}.` : 'Keep the one you trust more.',
    },
  ]
}

function shapeProblems(v: ElbowValues): Problem[] {
  const bend = bendOf(v, 0)
  if (degrees(bend.backset) > steepest) {
    return [
      {
        code: 'too_steep',
        field: 'pieces',
        value: `${v.pieces}, which makes mitres of ${degrees(bend.backset)} degrees`,
        limit: `the most is ${steepest} degrees`,
        cure: `Count the pieces again; a turn of ${degrees(v.angle)} degrees takes ${Math.ceil(degrees(v.angle) / (2 * steepest)) + 1} or more.`,
      },
    ]
  }
  return Array.from({ length: v.pieces }, (_, i) => i).flatMap((i): Problem[] => {
    const throat = lengthAt(v, bend, i, -bend.across / 2)
    // The inner pieces are all alike.
    if (throat >= leastHeight || (i > 1 && i < v.pieces - 1)) return []
    const { mitres, straight } = endsOf(v, i)
    const least = bend.across / 2 + (leastHeight - straight) / (mitres * Math.tan(bend.backset))
    const end = i === 0 ? 'firstEnd' : 'lastEnd'
    return [
      {
        code: 'throat_too_short',
        field: v.radius === undefined ? 'throat' : 'radius',
        value: `${v.radius ?? v.throat} mm, which leaves ${throat.toFixed(1)} mm of piece ${i + 1} at the throat`,
        limit: `the least is ${leastHeight} mm`,
        cure:
          `Measure the bend again; the radius to the middle line must be ${least.toFixed(1)} mm or more` +
          (mitres === 1 ? `, or ${end} longer.` : '.'),
      },
    ]
  })
}

/** The pieces in the order in which they go on, from the first end to the last. */
function piecesOf(v: ElbowValues, facts: Facts, say: Say): Development[] {
  const bend = bendOf(v, facts.tapeThickness)
  const film = wrapLength(bend.across, facts.filmThickness)
  const out = film / (2 * Math.PI)
  const tangent = Math.tan(bend.backset)
  return Array.from({ length: v.pieces }, (_, i) => {
    const [first, last] = [i === 0, i === v.pieces - 1]
    const atThroat = seamAtThroat(v.seams, i)
    const [seam, hinge] = atThroat ? ['throat', 'heel'] : ['heel', 'throat']
    // Mitres open towards the heel: the upper edge is highest there, the lower one lowest.
    const [heel, throat] = atThroat ? [0, Math.PI] : [Math.PI, 0]
    const [panel] = developBand({
      bottomGirth: film,
      topGirth: film,
      slant: lengthAt(v, bend, i, atThroat ? -out : out),
      bottomGap: 0,
      topGap: 0,
      overlap: v.overlap,
      ...(first ? {} : { bottomRim: { tangent, high: throat } }),
      ...(last ? {} : { topRim: { tangent, high: heel } }),
      openings: { openings: [], points: [] },
      bottomTaped: bend.taped,
      topTaped: bend.taped,
      marks: [
        { code: 'seam', text: `The lengthwise seam lies on the ${seam} line of the bend.` },
        {
          code: 'hinge bottom',
          text: `Mark the ${hinge} line, half round from the ${seam} line, at ${first ? 'the first edge' : `mitre line M${i}`}.`,
        },
        {
          code: 'hinge top',
          text: `Mark the ${hinge} line, half round from the ${seam} line, at ${last ? 'the last edge' : `mitre line M${i + 1}`}.`,
        },
      ],
      notes: notesOf(v, bend, i, say),
    })
    const lapped = (edge: BareEdge): BareEdge => {
      if (edge.name === 'bottom') return first ? edge : { ...edge, lap: v.mitreLap, seam: `M${i}` }
      if (edge.name === 'top') return last ? edge : { ...edge, lap: 0, seam: `M${i + 1}` }
      return { ...edge, seam: `S${i + 1}` }
    }
    return { part: `piece ${i + 1}`, ...panel, edges: panel.edges.map(lapped) }
  })
}

function notesOf(v: ElbowValues, bend: Bend, i: number, say: Say): string[] {
  const length = (out: number) => say(lengthAt(v, bend, i, out))
  const own = `Piece ${i + 1} is ${length(bend.across / 2)} long at the heel and ${length(-bend.across / 2)} at the throat.`
  if (i > 0) return [own]
  const rises = Array.from({ length: v.pieces - 1 }, (_, k) => degrees(bend.backset * (2 * k + 1)))
  return [
    own,
    `Each mitre is cut ${degrees(bend.backset)} degrees from square; the mitre lines rise at ${rises.join(', ')} degrees.`,
    'Draw the throat line along the inside of the bend and the heel line along its outside, half the girth apart.',
    ...(v.seams === 'alternate'
      ? [
          'Seams lie at the throat and the heel by turns, so that no two meet at a mitre line and the curved edges of ' +
            'neighbours fit into each other on the film; the tick in the middle of a curved edge meets the seam of the ' +
            'next piece.',
        ]
      : []),
  ]
}

export const elbow = defineTemplate({
  id: 'elbow',
  title: 'Elbow of a tube',
  when: 'Round the bend of a tube that is made of straight pieces: the elbow of a dust pipe, a stove pipe, a downpipe.',
  specs,
  example: {
    measures: { diameter: '100 mm', angle: 90, pieces: 5, radius: '150 mm' },
    shows:
      'Five pieces with mitres of 11.25 degrees: the ends 39.8 mm long at the heel and 19.9 mm at the throat, the three between them twice that.',
  },
  check: (v) => {
    const problems = [
      ...eitherOf(v, 'girth', 'diameter', 'round the tube with the tape square to it'),
      ...eitherOf(v, 'radius', 'throat', 'from the centre of the bend to the middle line'),
    ]
    return problems.length > 0 ? problems : shapeProblems(v)
  },
  develop: piecesOf,
  sketch: elbowSketch,
})
