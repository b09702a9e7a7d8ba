import type { Problem } from '../../src/measure/problem.ts'
import { defineTemplate, type Template, type Values } from '../../src/panel/template.ts'
import {
  developSleeve,
  fromCorner,
  fromMiddle,
  girthDoubts,
  girthNotes,
  girthProblems,
  type Prism,
  sleeveOverlapProblem,
} from '../folded-sleeve.ts'
import { openingProblems, openingSpecs } from '../openings.ts'
import { standardOverlap, wrapOverlapSpec } from '../overlap.ts'
import { prismSketch, standIn } from './sketch.ts'

const specs = {
  sides: { kind: 'number', min: 3, max: 24, whole: true, help: 'how many equal sides it has' },
  side: {
    kind: 'length',
    min: 5,
    max: 5000,
    optional: true,
    letter: 'A',
    help: 'one side, from corner to corner as if they were sharp; or give acrossFlats',
  },
  acrossFlats: {
    kind: 'length',
    min: 10,
    max: 10000,
    optional: true,
    letter: 'D',
    help: 'from one side to the side opposite, by caliper; in place of side, where the number of sides is even',
  },
  height: { kind: 'length', min: 5, max: 5000, letter: 'B', help: 'from the lower edge to the upper edge of the film' },
  radius: {
    kind: 'length',
    min: 0,
    max: 2500,
    standard: 0,
    letter: 'R',
    help: 'rounding of the corners; 0 for sharp ones',
  },
  girth: {
    kind: 'length',
    min: 15,
    max: 20000,
    optional: true,
    letter: 'G',
    help: 'all the way round, tape level: checks the other measures',
  },
  covered: {
    kind: 'number',
    min: 1,
    max: 23,
    whole: true,
    optional: true,
    help: 'sides covered by a part wrap, from corner to corner; all the way round if left out',
  },
  seam: {
    kind: 'choice',
    options: ['corner', 'middle of a side'],
    standard: 'corner',
    help: 'where film that goes all round laps over itself',
  },
  overlap: wrapOverlapSpec,
  middles: { kind: 'choice', options: ['no', 'yes'], standard: 'no', help: 'ticks at the middle of each side as well' },
  ...openingSpecs,
} as const

export type PrismValues = Values<typeof specs>

/** A side from corner to corner as if they were sharp, mm: a = D tan(pi/n) of a regular shape of even n. */
export function sharpSide({ sides, side, acrossFlats }: Pick<PrismValues, 'sides' | 'side' | 'acrossFlats'>): number {
  return side ?? (acrossFlats ?? Number.NaN) * Math.tan(Math.PI / sides)
}

function prismOf(v: PrismValues): Prism {
  const flat = sharpSide(v) - 2 * v.radius * Math.tan(Math.PI / v.sides)
  return {
    radius: v.radius,
    faces: Array.from({ length: v.sides }, (_, i) => ({
      face: { code: `side ${i + 1}`, words: `side ${i + 1}` },
      flat,
      corner: { code: `corner ${i + 1}`, words: `corner ${i + 1}` },
    })),
  }
}

export const prismSleeve: Template = defineTemplate({
  id: 'prism-sleeve',
  title: 'Prism sleeve',
  when: 'Round an upright object with equal flat sides: a hexagonal tool tin, an eight-sided lamp base, a triangular post. All round, or some sides.',
  specs,
  example: {
    measures: { sides: 6, side: '40 mm', radius: '5 mm', height: '90 mm' },
    shows: 'All the way round is 236.8 mm before film thickness, with fold ticks 39.5 mm apart.',
  },
  check: (v) => {
    const problems: Problem[] = []
    const { sides, side, acrossFlats, radius, covered } = v
    if ((side === undefined) === (acrossFlats === undefined)) {
      const none = side === undefined
      problems.push({
        code: none ? 'missing' : 'contradiction',
        field: none ? 'side' : 'acrossFlats',
        value: none ? 'not given' : `${acrossFlats} mm beside a side of ${side} mm`,
        limit: 'one of side and acrossFlats is needed, and enough',
        cure: none
          ? 'Measure one side, or across two opposite sides.'
          : 'Keep the one you trust more: across flats beats a single side.',
      })
    }
    if (acrossFlats !== undefined && sides % 2 === 1) {
      problems.push({
        code: 'no_opposite_side',
        field: 'acrossFlats',
        value: `${acrossFlats} mm with ${sides} sides`,
        limit: 'a side has a side opposite only where the number of sides is even',
        cure: 'Measure one side and give side.',
      })
    }
    const sharp = sharpSide(v)
    const most = sharp / (2 * Math.tan(Math.PI / sides))
    if (radius > most) {
      problems.push({
        code: 'radii_too_big',
        field: 'radius',
        value: `${radius} mm`,
        limit: `with that radius the sides would be gone: the most is ${most.toFixed(1)} mm`,
        cure: 'Measure the radius again, or take a straight band for a round object.',
      })
    } else if (Number.isFinite(sharp)) {
      const measured = side === undefined ? 'acrossFlats' : 'side'
      problems.push(...girthProblems(v.girth, prismOf(v), sides * sharp, measured))
    }
    if (covered !== undefined && covered >= sides) {
      problems.push({
        code: 'too_many_sides',
        field: 'covered',
        value: `${covered}`,
        limit: `it has ${sides} sides, and a part wrap leaves one bare at least`,
        cure: 'Leave covered out to go all the way round.',
      })
    }
    return [...problems, ...sleeveOverlapProblem(covered !== undefined, v.overlap), ...openingProblems(v)]
  },
  doubts: (v, facts, say) => girthDoubts(v.girth, prismOf(v), facts, say),
  develop: (v, facts, say) => {
    const prism = prismOf(v)
    const common = {
      prism,
      height: v.height,
      middles: v.middles === 'yes',
      openings: v,
      notes: girthNotes(v.girth, prism, facts, say),
    }
    const rounding = v.radius > 0 ? ', at the middle of its rounding' : ''
    const count = 'Sides and corners are counted to the right from there.'
    if (v.covered !== undefined) {
      const text = `Choose the corner where the left edge of the film stands${rounding}. ${count} The right edge stands on corner ${v.covered}.`
      const marks = [{ code: 'ends', text }]
      return [
        developSleeve(
          { ...common, legs: fromCorner(prism, 0, v.covered), from: 'the corner where the film begins', marks },
          facts,
          say,
        ),
      ]
    }
    const overlap = v.overlap ?? standardOverlap
    const over = overlap > 0 ? `laps ${say(overlap)} past it` : 'meets it there'
    const atCorner = v.seam === 'corner'
    const text = atCorner
      ? `Choose the corner where the seam is seen least: the left edge of the film stands on it${rounding}, the right edge comes round and ${over}. ${count}`
      : `Draw the seam line straight up the middle of the side where it is seen least, which is side 1: the left edge of the film stands on it, the right edge comes round and ${over}. ${count}`
    return [
      developSleeve(
        {
          ...common,
          legs: atCorner ? fromCorner(prism, 0, v.sides) : fromMiddle(prism, 0),
          from: atCorner ? 'the seam corner' : 'the seam line',
          overlap,
          marks: [{ code: 'seam', text }],
        },
        facts,
        say,
      ),
    ]
  },
  sketch: (values, say, hung) => {
    const [film] = prismSleeve.develop(values ?? standIn, { filmThickness: 0, tapeThickness: 0 }, say)
    if (!film) throw new RangeError('a sleeve without film')
    return prismSketch(values, film, hung, say)
  },
})
