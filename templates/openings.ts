import { circle, type Path, rectangle } from '../src/geometry/path.ts'
import { type Point, point } from '../src/geometry/point.ts'
import { transform, turning } from '../src/geometry/transform.ts'
import type { Problem } from '../src/measure/problem.ts'
import type { Development } from '../src/panel/development.ts'
import type { ListSpec, Values } from '../src/panel/template.ts'

const reach = 20000

/** What must stay free, measured on the object from two edges of the film; the fields of every shape that has both. */
export const openingSpecs = {
  openings: {
    kind: 'list',
    help: 'what must stay free: a spout, a latch, a handle boss, a badge',
    item: {
      shape: { kind: 'choice', options: ['round', 'rectangular'], standard: 'rectangular', help: 'its form' },
      diameter: { kind: 'length', min: 2, max: 10000, optional: true, help: 'across a round opening' },
      width: { kind: 'length', min: 2, max: reach, optional: true, help: 'across a rectangular opening' },
      height: { kind: 'length', min: 2, max: reach, optional: true, help: 'up a rectangular opening' },
      radius: { kind: 'length', min: 0, max: 10000, standard: 0, help: 'rounding of a rectangular opening' },
      fromLeft: {
        kind: 'length',
        min: -reach,
        max: reach,
        help: 'from the left edge of the film to the nearest edge of the opening, level; below 0 it reaches past the edge',
      },
      fromBottom: {
        kind: 'length',
        min: -reach,
        max: reach,
        help: 'from the bottom edge of the film to the nearest edge of the opening; below 0 it reaches past the edge',
      },
    },
  },
  points: {
    kind: 'list',
    help: 'places to find again on the film, shown by a pen cross: the middle of a badge, a screw',
    item: {
      fromLeft: { kind: 'length', min: 0, max: reach, help: 'from the left edge of the film, level' },
      fromBottom: { kind: 'length', min: 0, max: reach, help: 'from the bottom edge of the film' },
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
 * The flat place of what was measured `along` mm level from the left edge and `up` mm from the bottom edge, and the
 * angle by which upright turns there.
 */
export type PlaceOnPanel = (along: number, up: number) => { readonly at: Point; readonly turn: number }

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
      const { at, turn } = place(opening.fromLeft + width / 2, opening.fromBottom + height / 2)
      return { name: `openings[${i}]`, path: transform(formOf(opening), turning(turn, at)) }
    }),
    points: points.map(({ fromLeft, fromBottom }) => place(fromLeft, fromBottom).at),
  }
}

/** The measures of each form of opening, and those that it has none of. */
const forms = {
  round: { has: ['diameter'], lacks: ['width', 'height', 'radius'] },
  rectangular: { has: ['width', 'height'], lacks: ['diameter'] },
} as const

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
