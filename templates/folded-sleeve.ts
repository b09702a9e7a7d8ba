import { lineTo, openPath } from '../src/geometry/path.ts'
import { point } from '../src/geometry/point.ts'
import type { Problem } from '../src/measure/problem.ts'
import type { Warning } from '../src/measure/warning.ts'
import type { Development, TickLine } from '../src/panel/development.ts'
import type { ObjectMark } from '../src/panel/panel.ts'
import { filmAt, tapeAt, tapedBy } from '../src/panel/taped.ts'
import type { Facts, Say } from '../src/panel/template.ts'
import { crossDoubts } from './cross-check.ts'
import { type OpeningValues, placedOpenings } from './openings.ts'

/** What the ticks and the sheet call a face or a corner. */
interface Named {
  readonly code: string
  /** as it stands in a sentence: `the front`, `side 2` */
  readonly words: string
}

/** An upright object with flat faces and corners that are all rounded alike, seen from outside. */
export interface Prism {
  /** in order to the right; `flat` is the width between the roundings, mm, `corner` the one at its right end */
  readonly faces: readonly { readonly face: Named; readonly flat: number; readonly corner: Named }[]
  /** radius of every corner, mm */
  readonly radius: number
}

/** A stretch of the way round: a face, a corner, or half of one. */
export type Leg =
  | { readonly kind: 'flat'; readonly name: Named; readonly length: number; readonly whole: boolean }
  | { readonly kind: 'bend'; readonly name: Named; readonly turn: number; readonly whole: boolean }

type Face = Prism['faces'][number]

const flat = ({ face, flat }: Face, whole: boolean): Leg => ({
  kind: 'flat',
  name: face,
  length: whole ? flat : flat / 2,
  whole,
})

/** All corners turn alike: 2 pi over their number, radians. */
const bend = ({ faces }: Prism, { corner }: Face, whole: boolean): Leg => ({
  kind: 'bend',
  name: corner,
  turn: ((whole ? 2 : 1) * Math.PI) / faces.length,
  whole,
})

/** Faces from the one numbered `first` on to the right, round and round. */
function facesFrom({ faces }: Prism, first: number, count: number): Face[] {
  const all = Array.from({ length: count }, (_, i) => faces[(first + i + faces.length) % faces.length])
  return all.filter((face) => face !== undefined)
}

/** The way over `count` faces from the one numbered `first`, from the middle of a corner to the middle of a corner. */
export function fromCorner(prism: Prism, first: number, count: number): Leg[] {
  return facesFrom(prism, first - 1, count + 1).flatMap((face, i) => [
    ...(i === 0 ? [] : [flat(face, true)]),
    bend(prism, face, i > 0 && i < count),
  ])
}

/** The way all round from the middle of the face numbered `first`. */
export function fromMiddle(prism: Prism, first: number): Leg[] {
  const faces = facesFrom(prism, first, prism.faces.length + 1)
  return faces.flatMap((face, i) => {
    const inside = i > 0 && i < prism.faces.length
    return i === prism.faces.length ? [flat(face, false)] : [flat(face, inside), bend(prism, face, true)]
  })
}

/**
 * Lengths along the middle of something of `thickness` mm that goes round: a corner counts by its angle and the
 * radius to that middle, so that any convex girth grows by pi times the thickness (J. Steiner: the parallel curve of
 * a convex one is longer by 2 pi times the distance).
 */
function lengths(legs: readonly Leg[], radius: number, thickness: number): number[] {
  return legs.map((leg) => (leg.kind === 'flat' ? leg.length : leg.turn * (radius + thickness / 2)))
}

const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0)

/** The girth along the middle of something of `thickness` mm that lies round it, mm. */
function girthOf(prism: Prism, thickness: number): number {
  return sum(lengths(fromCorner(prism, 0, prism.faces.length), prism.radius, thickness))
}

/** The same place of a closed way, `whole` mm long, between its ends. */
const onTheWay = (along: number, whole: number): number => along - whole * Math.floor(along / whole)

export interface Sleeve {
  readonly part?: string
  readonly prism: Prism
  readonly legs: readonly Leg[]
  readonly height: number
  /** set for a full wrap: how far the right edge laps over the left one, mm */
  readonly overlap?: number
  /** are ticks wanted at the middle of each face? */
  readonly middles: boolean
  /** what stands at the left edge of the film, as it stands in a sentence */
  readonly from: string
  readonly marks: readonly ObjectMark[]
  readonly openings: OpeningValues
  readonly notes: readonly string[]
}

/** A tick nearer to the hinge than this is left out, mm, for the hinge tick stands for it (common practice, no source). */
const nearHinge = 3

/**
 * A sleeve laid out flat: as long as its own middle, with fold ticks at the middle of each corner's arc. Tape distances
 * are carried to the film leg by leg, exactly.
 */
export function developSleeve(sleeve: Sleeve, facts: Facts, say: Say): Development {
  const { prism, legs, height } = sleeve
  const film = lengths(legs, prism.radius, facts.filmThickness)
  const tape = lengths(legs, prism.radius, facts.tapeThickness)
  const half = sum(film) / 2
  const h = height / 2
  const corners = [point(-half, -h), point(half, -h), point(half, h), point(-half, h)] as const
  const lap = (mm: number) => (sleeve.overlap === undefined ? {} : { lap: mm })
  const edge = (name: string, i: 0 | 1 | 2 | 3) => ({
    name,
    path: openPath(corners[i], lineTo(corners[((i + 1) % 4) as 0 | 1 | 2 | 3])),
  })
  const upright = (x: number) => ({ from: point(x, -h), to: point(x, h) })
  const ticked = places(sleeve, film).filter(({ along }) => Math.abs(along - half) >= nearHinge)
  const pieces = film.map((own, i) => ({ film: own, tape: tape[i] ?? own }))
  const way = tapedBy(pieces)
  const toTape = (along: number) => tapeAt(way, along)
  const atHinge = hingePlace(legs, film, half)
  return {
    ...(sleeve.part === undefined ? {} : { part: sleeve.part }),
    edges: [
      { ...edge('bottom', 0), ...way },
      { ...edge('right', 1), ...lap(sleeve.overlap ?? 0) },
      { ...edge('top', 2), ...tapedBy([...pieces].reverse()) },
      { ...edge('left', 3), ...lap(0) },
    ],
    ...placedOpenings(sleeve.openings, (along, up) => ({
      at: point(filmAt(way, sleeve.overlap === undefined ? along : onTheWay(along, sum(tape))) - half, up - h),
      turn: 0,
    })),
    ...(sleeve.overlap === undefined ? {} : { onceRound: 2 * half }),
    hinge: upright(0),
    tickLines: ticked.map(({ role, along, name }) => ({ role, line: upright(along - half), mark: name.code })),
    surface: { kind: 'round', taper: 0 },
    labelSpots: [0.5, -0.5, 0.25, -0.25].map((share) => ({ at: point(share * half, -2), turn: 0 })),
    marks: [
      ...sleeve.marks,
      ...(['bottom', 'top'] as const).map((end) => ({
        code: `hinge ${end}`,
        text: `Mark the object ${say(toTape(half))} round from ${sleeve.from}, to the right, at the ${end} edge: ${atHinge.words}.`,
      })),
      ...ticked.map(({ role, along, name }) => ({
        code: name.code,
        text:
          role === 'fold'
            ? `The two ticks ${name.code} meet ${name.words}${prism.radius > 0 ? ', at the middle of its rounding' : ''}: ${say(toTape(along))} round from ${sleeve.from}.`
            : `The two ticks ${name.code} meet ${name.words}: ${say(toTape(along))} round from ${sleeve.from}.`,
      })),
    ],
    notes: [
      ...sleeve.notes,
      ...(atHinge.bent
        ? [
            `The hinge falls on ${atHinge.words}. A flat face is easier to hang it from: put the seam elsewhere, or give the hinge as a length.`,
          ]
        : []),
    ],
  }
}

interface TickPlace {
  readonly role: TickLine['role']
  readonly name: Named
  /** mm of film from the left edge */
  readonly along: number
}

/** Every fold, and every middle of a face where they are wanted, from left to right. */
function places({ legs, middles }: Sleeve, film: readonly number[]): TickPlace[] {
  return legs.flatMap((leg, i): TickPlace[] => {
    const along = sum(film.slice(0, i)) + (film[i] ?? 0) / 2
    if (!leg.whole) return []
    if (leg.kind === 'bend') return [{ role: 'fold', name: leg.name, along }]
    const name = { code: `middle ${leg.name.code}`, words: `the middle of ${leg.name.words}` }
    return middles ? [{ role: 'place', name, along }] : []
  })
}

/** What stands under the hinge, and whether it is a corner. */
function hingePlace(legs: readonly Leg[], film: readonly number[], half: number): { words: string; bent: boolean } {
  const near = legs.map((leg, i) => {
    const own = film[i] ?? 0
    return { leg, own, away: Math.abs(sum(film.slice(0, i)) + own / 2 - half) }
  })
  const bent = near.find(
    ({ leg, own, away }) => leg.kind === 'bend' && leg.whole && away < Math.max(own / 2, nearHinge),
  )
  if (bent) return { words: bent.leg.name.words, bent: true }
  const face = near.find(({ leg, own, away }) => leg.kind === 'flat' && away <= own / 2)
  if (!face) return { words: 'the middle of the way', bent: false }
  const { words } = face.leg.name
  return { words: face.away < 0.5 ? `the middle of ${words}` : `on ${words}`, bent: false }
}

/** Two rulers and a rounding may miss a taped girth by this much, mm, or this share of it (common practice, no source). */
const girthSlack = 4
const girthShare = 0.005

/**
 * A taped girth that the other measures cannot give.
 * @param sharp the girth if the corners were sharp, mm
 * @param sides the names of the measures of the sides
 */
export function girthProblems(girth: number | undefined, prism: Prism, sharp: number, sides: string): Problem[] {
  if (girth === undefined) return []
  const wanted = girthOf(prism, 0)
  const off = girth - wanted
  if (Math.abs(off) <= Math.max(girthSlack, girthShare * wanted)) return []
  const n = prism.faces.length
  // Each mm of radius takes 2 n tan(pi/n) - 2 pi off the sharp girth.
  const radius = (sharp - girth) / (2 * n * Math.tan(Math.PI / n) - 2 * Math.PI)
  const room = Math.min(...prism.faces.map(({ flat }) => flat)) / (2 * Math.tan(Math.PI / n)) + prism.radius
  const cure =
    radius >= 0 && radius <= room
      ? `The radius is the hardest to measure: ${radius.toFixed(1)} mm would fit. Measure it again.`
      : off > 0
        ? `No radius explains that. Measure ${sides} again, then the girth with the tape level.`
        : `No radius explains that. Measure the girth again, then ${sides}.`
  return [
    {
      code: 'contradiction',
      field: 'girth',
      value: `${girth} mm`,
      limit: `${sides} and radius give ${wanted.toFixed(1)} mm, which is ${Math.abs(off).toFixed(1)} mm ${off > 0 ? 'less' : 'more'}`,
      cure,
    },
  ]
}

/** A taped girth that three readings and more do not explain, though not so far off that it is refused. */
export function girthDoubts(girth: number | undefined, prism: Prism, facts: Facts, say: Say): Warning[] {
  if (girth === undefined) return []
  const wanted = girthOf(prism, facts.tapeThickness)
  return crossDoubts({ field: 'girth', read: girth, wanted, readings: 4, madeTo: 'the others' }, say)
}

/** How well a taped girth agrees, for the sheet. */
export function girthNotes(girth: number | undefined, prism: Prism, facts: Facts, say: Say): string[] {
  if (girth === undefined) return []
  const off = girth - girthOf(prism, facts.tapeThickness)
  const apart = say(Math.abs(off))
  return [
    `The girth read is ${apart} ${off < 0 ? 'less' : 'more'} than the other measures give; the film is made to the other measures.`,
  ]
}

/** A run of some faces has two free edges. */
export function sleeveOverlapProblem(part: boolean, overlap: number | undefined): Problem[] {
  if (!part || overlap === undefined) return []
  return [
    {
      code: 'overlap_on_part_wrap',
      field: 'overlap',
      value: `${overlap} mm`,
      limit: 'a part wrap has two free edges, so nothing overlaps',
      cure: 'Leave overlap out, or cover it all round.',
    },
  ]
}
