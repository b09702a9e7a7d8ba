import type { Point } from '../src/geometry/point.ts'
import { type Problem, Refusal } from '../src/measure/problem.ts'
import { type TapeClass, tapeErrorLimit } from '../src/measure/readings.ts'
import type { Warning } from '../src/measure/warning.ts'
import type { Say } from '../src/panel/template.ts'
import {
  type Adjusted,
  adjustedLengths,
  cornersOf,
  type FourCorners,
  type LengthName,
  lengthNames,
  lengthsOf,
  type SixLengths,
  turnsLeft,
} from './quadrilateral.ts'

/** Four sides of a flat face and one diagonal or both, mm. */
export type FourReadings = { readonly [name in LengthName]: number | undefined } & {
  readonly [side in 'bottom' | 'right' | 'top' | 'left']: number
}

/** The tape whose error limit, about three times its standard error, tells what it explains. */
const tape: TapeClass = 'II'
/** Readings that disagree this many times more than the tape explains are refused (common practice, no source). */
const gross = 4
/** The least height of a triangle, in error limits of its longest side (common practice, no source). */
const leastHeight = 10
/** A corner turns by this much at least, radians: less is a straight edge of two pieces (common practice, no source). */
const leastTurn = (2 * Math.PI) / 180

const inMm = (mm: number, places = 1) => `${Number(mm.toFixed(places))} mm`
const isSix = (v: FourReadings): v is SixLengths =>
  v.bottomLeftToTopRight !== undefined && v.bottomRightToTopLeft !== undefined

/** The lengths alone, without what was left out. */
const readingsOf = (v: FourReadings): Partial<SixLengths> =>
  Object.fromEntries(lengthNames.flatMap((name) => (v[name] === undefined ? [] : [[name, v[name]]])))

/** The triangles that two sides make with a diagonal. */
const triangles: readonly (readonly [LengthName, LengthName, LengthName])[] = [
  ['bottom', 'right', 'bottomLeftToTopRight'],
  ['top', 'left', 'bottomLeftToTopRight'],
  ['bottom', 'left', 'bottomRightToTopLeft'],
  ['right', 'top', 'bottomRightToTopLeft'],
]

/** One triangle of measured lengths, its longest side first. */
interface Triangle {
  readonly names: readonly [LengthName, LengthName, LengthName]
  readonly sides: readonly [number, number, number]
}

function trianglesOf(readings: Partial<SixLengths>): Triangle[] {
  return triangles.flatMap((names) => {
    const sides = names.flatMap((name) => (readings[name] === undefined ? [] : [{ name, mm: readings[name] }]))
    const [a, b, c] = sides.sort((p, q) => q.mm - p.mm)
    return a && b && c ? [{ names: [a.name, b.name, c.name], sides: [a.mm, b.mm, c.mm] }] : []
  })
}

const isOpen = ({ sides: [a, b, c] }: Triangle) => a >= b + c
/** Height over the longest side, mm, by Heron's formula as Kahan writes it, which does not cancel for thin ones. */
const heightOf = ({ sides: [a, b, c] }: Triangle) =>
  Math.sqrt((a + (b + c)) * (c - (a - b)) * (c + (a - b)) * (a + (b - c))) / (2 * a)

function triangleProblems(readings: Partial<SixLengths>): Problem[] {
  const all = trianglesOf(readings)
  const open = all.filter(isOpen)
  const found = open.map((triangle): Problem => {
    const [a, b, c] = triangle.names
    const [long, ...others] = triangle.sides
    const short = others[0] + others[1]
    // A reading that opens two triangles is the likeliest; otherwise the longest side.
    const shared = triangle.names.find((name) => open.filter(({ names }) => names.includes(name)).length > 1) ?? a
    return {
      code: 'triangle_open',
      field: a,
      value: inMm(long),
      limit: `in the triangle of ${a}, ${b} and ${c} the other two are ${inMm(short)} together, ${inMm(long - short)} too short to close it`,
      cure: `Measure ${shared} again first.`,
    }
  })
  if (open.length > 0) return found
  return all.flatMap((triangle): Problem[] => {
    const [a, b, c] = triangle.names
    const least = leastHeight * tapeErrorLimit(triangle.sides[0], tape)
    const height = heightOf(triangle)
    if (height >= least) return []
    return [
      {
        code: 'triangle_thin',
        field: a,
        value: `${inMm(triangle.sides[0])}, which leaves the triangle of ${a}, ${b} and ${c} ${inMm(height)} high`,
        limit: `under ${inMm(least)} the tape's own error moves its corner too far`,
        cure: 'Give the other diagonal in place of this one, or take the face by outline-by-offsets.',
      },
    ]
  })
}

function cornerProblems(corners: FourCorners, field: LengthName): Problem[] {
  const places = ['bottom left', 'bottom right', 'top right', 'top left'] as const
  return places.flatMap((place, i): Problem[] => {
    const [before, here, after] = [corners[(i + 3) % 4], corners[i], corners[(i + 1) % 4]] as [Point, Point, Point]
    if (turnsLeft(before, here, after, leastTurn)) return []
    return [
      {
        code: 'corner_turns_in',
        field,
        value: `such that the ${place} corner is flat or turns inward`,
        limit: 'a four-sided panel has four corners that point outward',
        cure: 'Measure both diagonals again; a face that really turns in is taken by outline-by-offsets.',
      },
    ]
  })
}

/** What the tape's own error can make of the misclosure, mm: the limits of all six readings taken together. */
const explainedOf = (six: SixLengths, { pull }: Adjusted): number =>
  Math.hypot(...lengthNames.map((name) => pull[name] * tapeErrorLimit(six[name], tape)))

/** The reading whose error would be the smallest of those that explain the misclosure alone, and what it should read. */
function suspectOf(six: SixLengths, { pull, misclosure }: Adjusted): { name: LengthName; reads: number } {
  const name = lengthNames.reduce((a, b) => (Math.abs(pull[b]) > Math.abs(pull[a]) + 1e-9 ? b : a))
  return { name, reads: six[name] - misclosure / pull[name] }
}

function misclosureProblems(six: SixLengths): Problem[] {
  const adjusted = adjustedLengths(six)
  const explained = adjusted && explainedOf(six, adjusted)
  if (adjusted && explained && Math.abs(adjusted.misclosure) <= gross * explained) return []
  const other = lengthsOf(cornersOf(six)).bottomRightToTopLeft
  const suspect = adjusted && suspectOf(six, adjusted)
  return [
    {
      code: 'contradiction',
      field: 'bottomRightToTopLeft',
      value: inMm(six.bottomRightToTopLeft),
      limit: `the other five lengths make it ${inMm(other)}, and a difference of ${inMm(Math.abs(six.bottomRightToTopLeft - other))} is more than ${gross} times what a class ${tape} tape explains`,
      cure: suspect
        ? `Measure ${suspect.name} again first; if it alone is wrong it reads about ${inMm(suspect.reads)}.`
        : 'Measure both diagonals again.',
    },
  ]
}

/** Everything in the readings that four corners cannot have. */
export function fourSidedProblems(v: FourReadings): Problem[] {
  const readings = readingsOf(v)
  const rising = v.bottomLeftToTopRight !== undefined
  if (!rising && v.bottomRightToTopLeft === undefined) {
    return [
      {
        code: 'missing',
        field: 'bottomLeftToTopRight',
        value: 'not given',
        limit: 'four sides alone can be pushed askew; one diagonal fixes them',
        cure: 'Measure from the bottom left corner to the top right corner, or the other diagonal, or both.',
      },
    ]
  }
  const triangular = triangleProblems(readings)
  if (triangular.length > 0) return triangular
  const turned = cornerProblems(cornersOf(readings), rising ? 'bottomLeftToTopRight' : 'bottomRightToTopLeft')
  return turned.length > 0 || !isSix(v) ? turned : misclosureProblems(v)
}

const signed = (mm: number) => `${mm < 0 ? '-' : '+'}${Math.abs(mm).toFixed(2)} mm`

/** The corners, and what the sheet says of the readings. */
export function fourSidedSolved(v: FourReadings, say: Say): { corners: FourCorners; notes: string[] } {
  if (!isSix(v)) {
    const corners = cornersOf(readingsOf(v))
    const other = v.bottomLeftToTopRight === undefined ? 'bottomLeftToTopRight' : 'bottomRightToTopLeft'
    const note = `Five lengths leave nothing to check them: ${other} should be ${say(lengthsOf(corners)[other])}.`
    return { corners, notes: [note] }
  }
  const adjusted = adjustedLengths(v)
  if (!adjusted) throw new Refusal(misclosureProblems(v))
  const explained = explainedOf(v, adjusted)
  const list = lengthNames.map((name) => `${name} ${signed(adjusted.residuals[name])}`).join(', ')
  const notes = [
    `Six readings adjusted by least squares, by ${list}; s0 ${adjusted.s0.toFixed(2)} mm.`,
    `The second diagonal closes within ${inMm(Math.abs(adjusted.misclosure), 2)}; a class ${tape} tape explains ${inMm(explained, 2)}.`,
  ]
  return { corners: adjusted.corners, notes }
}

/** Readings that close by more than the tape explains, though not so badly that they are refused. */
export function fourSidedDoubts(v: FourReadings, say: Say): Warning[] {
  const adjusted = isSix(v) ? adjustedLengths(v) : undefined
  if (!adjusted || !isSix(v)) return []
  const [off, explained] = [Math.abs(adjusted.misclosure), explainedOf(v, adjusted)]
  if (off <= explained) return []
  const { name, reads } = suspectOf(v, adjusted)
  const text = `the second diagonal closes within ${inMm(off, 2)}, and a class ${tape} tape explains ${inMm(explained, 2)}. Measure ${name} again first; if it alone is wrong it reads about ${say(reads)}, but one spare reading cannot tell for sure.`
  return [{ text, field: name }]
}
