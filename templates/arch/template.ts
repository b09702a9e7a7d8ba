import { arcPoint } from '../../src/geometry/arc.ts'
import { arcTo, lineTo, openPath, type Path } from '../../src/geometry/path.ts'
import { direction, type Point, point } from '../../src/geometry/point.ts'
import { transform, translation } from '../../src/geometry/transform.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { flatSurface, openingsFrom } from '../flat-face.ts'
import { openingProblems, placedOpenings } from '../openings.ts'
import { archSketch } from './sketch.ts'

const specs = {
  measured: {
    kind: 'choice',
    options: ['inner', 'outer'],
    standard: 'inner',
    help: 'the curved edge that chord and rise, or radius and angle, were taken on',
  },
  chord: {
    kind: 'length',
    min: 5,
    max: 20000,
    optional: true,
    letter: 'A',
    help: 'straight from end to end of the measured edge; with rise',
  },
  rise: {
    kind: 'length',
    min: 0.5,
    max: 20000,
    optional: true,
    letter: 'B',
    help: 'from the middle of the chord up to the measured edge, square to the chord',
  },
  radius: {
    kind: 'length',
    min: 2,
    max: 100000,
    optional: true,
    letter: 'R',
    help: 'of the measured edge, where its centre is known; with angle, in place of chord and rise',
  },
  angle: {
    kind: 'angle',
    min: 0.5,
    max: 345,
    optional: true,
    help: 'between the two ends, seen from the centre; with radius',
  },
  width: {
    kind: 'length',
    min: 5,
    max: 20000,
    letter: 'C',
    help: 'from the inner edge to the outer edge, along an end',
  },
  ...openingsFrom(
    'along the inner edge from its left end, the tape bent along it, up to the line from the centre to the place',
    'square to the inner edge, outward',
  ),
} as const

export type ArchValues = Values<typeof specs>

/** An arc by its radius, mm, and the angle it takes up, radians. */
export interface Bow {
  readonly radius: number
  readonly angle: number
}

/** The arc over a chord: r = (c^2 / 4 + h^2) / (2 h), angle = 4 atan(2 h / c), also where it is more than half a turn. */
export function bowOver(chord: number, rise: number): Bow {
  return { radius: (chord * chord) / (8 * rise) + rise / 2, angle: 4 * Math.atan((2 * rise) / chord) }
}

/** The measured edge's arc; undefined where measures are missing. */
function bowOf(v: ArchValues): Bow | undefined {
  if (v.chord !== undefined && v.rise !== undefined) return bowOver(v.chord, v.rise)
  return v.radius === undefined || v.angle === undefined ? undefined : { radius: v.radius, angle: v.angle }
}

/** Radii of the two curved edges, mm. */
const radiiOf = (v: ArchValues, { radius }: Bow) =>
  v.measured === 'inner' ? { inner: radius, outer: radius + v.width } : { inner: radius - v.width, outer: radius }

/** The least radius of the inner edge, mm, and the widest angle, degrees (common practice, no source). */
const leastRadius = 1
const widestAngle = 345

/** An arc about (0, -radius) that rises to (0, 0), from left to right, in two halves that meet on the upright line. */
function overTheTop({ radius, angle }: Bow): Path {
  // Half the chord and the rise of half the arc, by half angles, which hold for the flattest of arcs.
  const end = point(radius * Math.sin(angle / 2), -2 * radius * Math.sin(angle / 4) ** 2)
  return openPath(point(-end.x, end.y), arcTo(point(0, 0), -angle / 2), arcTo(end, -angle / 2))
}

const lifted = (path: Path, up: number): Path => transform(path, translation(0, up))

function develop(v: ArchValues, say: Say): Development {
  const bow = bowOf(v) ?? { radius: Number.NaN, angle: Number.NaN }
  const { angle } = bow
  const { inner, outer } = radiiOf(v, bow)
  const half = v.width / 2
  const bottom = lifted(overTheTop({ radius: inner, angle }), -half)
  const over = lifted(overTheTop({ radius: outer, angle }), half)
  const [crown, end] = over.segments.map((segment) => segment.to) as [Point, Point]
  const top = openPath(end, arcTo(crown, angle / 2), arcTo(over.start, angle / 2))
  const foot = bottom.segments[1]?.to ?? bottom.start
  // Along the inner edge from its left end and outward from it, by the arc itself, so that no far centre is formed.
  const along = arcTo(foot, -angle)
  const place = (mm: number, out: number, aside: number) => {
    // The line from the centre to the middle of the left side leads `aside` to the left of the one to the middle.
    const far = mm - aside + inner * Math.atan(aside / (inner + out))
    const turn = angle / 2 - far / inner
    const way = direction(turn + Math.PI / 2)
    const on = arcPoint(bottom.start, along, far / (inner * angle))
    return { at: point(on.x + out * way.x, on.y + out * way.y), turn }
  }
  const halves = { inner: (inner * angle) / 2, outer: (outer * angle) / 2 }
  return {
    edges: [
      { name: 'bottom', path: bottom },
      { name: 'right', path: openPath(foot, lineTo(end)) },
      { name: 'top', path: top },
      { name: 'left', path: openPath(over.start, lineTo(bottom.start)) },
    ],
    ...placedOpenings(v, place),
    hinge: { from: point(0, -half), to: point(0, half) },
    surface: flatSurface,
    labelSpots: [0.75, 0.25, 0.65, 0.35].map((share) => {
      const { at, turn } = place(share * inner * angle, half - 2, 0)
      return { at, turn }
    }),
    marks: [
      {
        code: 'hinge bottom',
        text: `Mark the object ${say(halves.inner)} along its inner edge from either end, the tape bent along it.`,
      },
      {
        code: 'hinge top',
        text: `Mark the object ${say(halves.outer)} along its outer edge from either end, the tape bent along it.`,
      },
    ],
    notes: [
      `Radius of the inner edge ${say(inner)}, of the outer edge ${say(outer)}; ${((angle * 180) / Math.PI).toFixed(2)} degrees between the ends.`,
      `Along the inner edge it measures ${say(2 * halves.inner)}, along the outer edge ${say(2 * halves.outer)}.`,
    ],
  }
}

const inMm = (mm: number) => `${Number(mm.toFixed(2))} mm`
const inDegrees = (radians: number) => `${Number(((radians * 180) / Math.PI).toFixed(1))} degrees`

function missingProblems(v: ArchValues): Problem[] {
  const byChord = v.chord !== undefined || v.rise !== undefined
  const byRadius = v.radius !== undefined || v.angle !== undefined
  if (byChord && byRadius && bowOf(v)) {
    const own = v.chord !== undefined && v.rise !== undefined ? bowOver(v.chord, v.rise) : undefined
    const made = own ? `chord and rise make a radius of ${inMm(own.radius)} and ${inDegrees(own.angle)}, and ` : ''
    const [field, value] = v.radius === undefined ? ['angle', inDegrees(v.angle ?? 0)] : ['radius', inMm(v.radius)]
    return [
      {
        code: 'contradiction',
        field,
        value,
        limit: `${made}one pair is enough: chord and rise, or radius and angle`,
        cure: 'Leave out the pair you trust less.',
      },
    ]
  }
  if (bowOf(v)) return []
  const field = byRadius ? (v.radius === undefined ? 'radius' : 'angle') : v.chord === undefined ? 'chord' : 'rise'
  return [
    {
      code: 'missing',
      field,
      value: 'not given',
      limit: 'an arch needs chord and rise, or radius and angle, of one of its curved edges',
      cure: byRadius
        ? 'Measure it, or give chord and rise, which need no centre.'
        : 'Measure straight from end to end, and up from the middle of that line.',
    },
  ]
}

function sizeProblems(v: ArchValues, bow: Bow): Problem[] {
  const problems: Problem[] = []
  const { inner } = radiiOf(v, bow)
  if (inner < leastRadius) {
    problems.push({
      code: 'too_wide',
      field: 'width',
      value: inMm(v.width),
      limit: `the radius of the outer edge is ${inMm(bow.radius)}, and the inner edge keeps a radius of ${leastRadius} mm`,
      cure: 'Check whether the chord was measured on the inner edge, and say so by measured.',
    })
  }
  if (bow.angle > (widestAngle * Math.PI) / 180) {
    problems.push({
      code: 'angle_too_wide',
      field: v.rise === undefined ? 'angle' : 'rise',
      value: v.rise === undefined ? inDegrees(v.angle ?? 0) : `${inMm(v.rise)}, which makes ${inDegrees(bow.angle)}`,
      limit: `an arch takes up at most ${widestAngle} degrees`,
      cure: 'Check whether chord and rise were changed over; a whole turn is a ring.',
    })
  }
  return problems
}

/** What the diagram shows without values. */
const standIn: ArchValues = {
  measured: 'inner',
  chord: 210,
  rise: 60,
  radius: undefined,
  angle: undefined,
  width: 70,
  openings: [],
  points: [],
}

export const arch = defineTemplate({
  id: 'arch',
  title: 'Arch',
  when: 'A flat piece of a ring: the front of an arched toolbox, a curved name plate, a fan-shaped tray.',
  specs,
  example: {
    measures: { chord: '210 mm', rise: '60 mm', width: '70 mm' },
    shows:
      'The inner edge has a radius of 121.9 mm and is 253.1 mm long, the outer one 191.9 mm and 398.4 mm; the hinge stands 126.5 mm along the inner edge.',
  },
  check: (v) => {
    const bow = bowOf(v)
    const missing = missingProblems(v)
    return [...missing, ...(missing.length === 0 && bow ? sizeProblems(v, bow) : []), ...openingProblems(v)]
  },
  develop: (v, _facts, say) => [develop(v, say)],
  sketch: (v, say, hung) => {
    const shown = v ?? standIn
    const bow = bowOf(shown) ?? bowOver(210, 60)
    return archSketch(
      develop(shown, say),
      hung,
      { ...shown, ...radiiOf(shown, bow), angle: bow.angle },
      v !== undefined,
      say,
    )
  },
})
