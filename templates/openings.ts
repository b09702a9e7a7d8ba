import { circle, type Path, rectangle } from '../src/geometry/path.ts'
import { between, type Point, point } from '../src/geometry/point.ts'
import { transform, turning } from '../src/geometry/transform.ts'
import type { Problem } from '../src/measure/problem.ts'
import type { Development } from '../src/panel/development.ts'
import { openingForm } from '../src/panel/opening-form.ts'
import { onObject } from '../src/panel/surface.ts'
import type { ListSpec, Say, Values } from '../src/panel/template.ts'

const reach = 20000

/** What must stay free, measured on the object from two edges of the film; the fields of every shape that has both. */
export const openingSpecs = {
  openings: {
    kind: 'list',
    help: 'what must stay free: a spout, a latch, a handle boss, a badge',
    item: {
      shape: { kind: 'choice', options: ['round', 'rectangular'], standard: 'rectangular', help: 'its form' },
      diameter: { kind: 'length', min: 2, max: 10000, optional: true, help: 'across a round opening' },
      width: {
        kind: 'length',
        min: 2,
        max: reach,
        optional: true,
        help: 'across a rectangular opening, the tape straight from the middle of one side to the other',
      },
      height: {
        kind: 'length',
        min: 2,
        max: reach,
        optional: true,
        help: 'up a rectangular opening, from the middle of the lower side to that of the upper',
      },
      radius: { kind: 'length', min: 0, max: 10000, standard: 0, help: 'rounding of a rectangular opening' },
      fromLeft: {
        kind: 'length',
        min: -reach,
        max: reach,
        help: 'from the left edge of the film, tape level, to the middle of the left side of the opening; below 0 it reaches past the edge, or across the seam of a full wrap',
      },
      fromBottom: {
        kind: 'length',
        min: -reach,
        max: reach,
        help: 'from the bottom edge of the film straight up to the middle of the lower side of the opening; below 0 it reaches past the edge',
      },
    },
  },
  points: {
    kind: 'list',
    help: 'places to find again on the film, shown by a pen cross: the middle of a badge, a screw',
    item: {
      fromLeft: { kind: 'length', min: -reach, max: reach, help: 'from the left edge of the film, tape level' },
      fromBottom: { kind: 'length', min: -reach, max: reach, help: 'from the bottom edge of the film, straight up' },
    },
  },
} as const satisfies Record<string, ListSpec>

export type OpeningValues = Values<typeof openingSpecs>
export type Opening = OpeningValues['openings'][number]

/** Size over all of an opening, mm; NaN where the measures of its form are missing. */
function sizeOf(opening: Opening): { width: number; height: number } {
  return opening.shape === 'round'
    ? { width: opening.diameter ?? Number.NaN, height: opening.diameter ?? Number.NaN }
    : { width: opening.width ?? Number.NaN, height: opening.height ?? Number.NaN }
}

/** An opening about its own middle, mm. */
function formOf(opening: Opening): Path {
  const { width, height } = sizeOf(opening)
  if (opening.shape === 'round') return circle(point(0, 0), width / 2)
  const r = opening.radius
  return rectangle(point(-width / 2, -height / 2), point(width / 2, height / 2), [r, r, r, r])
}

/**
 * The flat place of the middle of what was measured `along` mm level from the left edge and `up` mm from the bottom
 * edge, and the angle by which upright turns there. `half` is the way from the middle to the left side, mm: the tape
 * went to the middle of that side, `along - half`, which matters where level lines bend; 0 for a point.
 */
export type PlaceOnPanel = (along: number, up: number, half: number) => { readonly at: Point; readonly turn: number }

/**
 * Openings and points on the flat panel. An opening keeps its form, as a sticker of that form would lie on the object:
 * exact for whatever unrolls without stretch.
 */
export function placedOpenings(
  { openings, points }: OpeningValues,
  place: PlaceOnPanel,
): Required<Pick<Development, 'holes' | 'points'>> {
  return {
    holes: openings.map((opening, i) => {
      const { width, height } = sizeOf(opening)
      const { at, turn } = place(opening.fromLeft + width / 2, opening.fromBottom + height / 2, width / 2)
      return { name: `openings[${i}]`, path: transform(formOf(opening), turning(turn, at)) }
    }),
    points: points.map(({ fromLeft, fromBottom }) => place(fromLeft, fromBottom, 0).at),
  }
}

/** The measures of each form of opening, and those that it has none of. */
const forms = {
  round: { has: ['diameter'], lacks: ['width', 'height', 'radius'] },
  rectangular: { has: ['width', 'height'], lacks: ['diameter'] },
} as const

/** Corners farther than this from the level of a side's middle are told, mm. */
const seenBent = 0.3

/**
 * What to know of a rectangular opening on a cone: its sides are straight and level lines are not, so that its corners
 * stand above or below the middle of its lower side, to which it was measured.
 */
export function bentOpeningNotes({ holes, surface }: Pick<Development, 'holes' | 'surface'>, say: Say): string[] {
  return holes.flatMap(({ path }, i) => {
    const form = openingForm(path)
    if (!surface || form?.kind !== 'rectangular') return []
    const [a, b] = form.corners as [Point, Point, Point, Point]
    const off = onObject(surface, a).up - onObject(surface, between(a, b, 0.5)).up
    if (Math.abs(off) < seenBent) return []
    const where = `${say(Math.abs(off))} ${off < 0 ? 'lower' : 'higher'}`
    return [
      `Opening ${i + 1} has straight sides on a side that narrows: its lower corners stand ${where} than the middle of its ` +
        'lower side. Measure to the middles of its sides; what follows the level of the rim instead is another form.',
    ]
  })
}

/** Measures that are missing or do not go together. */
export function openingProblems({ openings }: OpeningValues): Problem[] {
  return openings.flatMap((opening, i): Problem[] => {
    const { has, lacks } = forms[opening.shape]
    const wrong = lacks.filter((field) => (opening[field] ?? 0) !== 0)
    if (wrong.length > 0) {
      const other = opening.shape === 'round' ? 'rectangular' : 'round'
      return wrong.map((field) => ({
        code: 'contradiction',
        field: `openings[${i}].${field}`,
        value: `given for a ${opening.shape} opening`,
        limit: `a ${opening.shape} opening has ${has.join(' and ')}`,
        cure: `Write shape: ${other}, or give ${has.join(' and ')} in its place.`,
      }))
    }
    const missing = has
      .filter((field) => opening[field] === undefined)
      .map((field) => ({
        code: 'missing',
        field: `openings[${i}].${field}`,
        value: 'not given',
        limit: `a ${opening.shape} opening needs ${has.join(' and ')}`,
        cure: `Measure it and add ${field}.`,
      }))
    const { width, height } = sizeOf(opening)
    if (opening.shape !== 'rectangular' || !(2 * opening.radius > Math.min(width, height))) return missing
    return [
      ...missing,
      {
        code: 'radii_too_big',
        field: `openings[${i}].radius`,
        value: `${opening.radius} mm`,
        limit: `half its smaller side is ${Math.min(width, height) / 2} mm`,
        cure: 'Measure the radius again.',
      },
    ]
  })
}
