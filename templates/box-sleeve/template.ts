import type { Problem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { defineTemplate, type Say, type Template, type Values } from '../../src/panel/template.ts'
import { rectangularFace } from '../flat-face.ts'
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
import { boxSketch, standIn } from './sketch.ts'

/** Faces as one goes round to the right. */
const faces: readonly string[] = ['front', 'right', 'back', 'left']
/** The corner at the right end of each face. */
const corners: readonly string[] = ['front right', 'back right', 'back left', 'front left']

const specs = {
  length: { kind: 'length', min: 10, max: 5000, letter: 'A', help: 'across the front, over all' },
  width: { kind: 'length', min: 10, max: 5000, letter: 'B', help: 'from front to back, over all' },
  height: { kind: 'length', min: 5, max: 5000, letter: 'C', help: 'from the lower edge to the upper edge of the film' },
  radius: {
    kind: 'length',
    min: 0,
    max: 2500,
    standard: 0,
    letter: 'R',
    help: 'rounding of the four upright corners: half the width of the coin or lid that fits it; 0 for sharp ones',
  },
  girth: {
    kind: 'length',
    min: 40,
    max: 20000,
    optional: true,
    letter: 'G',
    help: 'all the way round, tape level: checks the other measures',
  },
  cover: {
    kind: 'choice',
    options: [
      'all round',
      'front',
      'right',
      'back',
      'left',
      'front right',
      'right back',
      'back left',
      'left front',
      'front right back',
      'right back left',
      'back left front',
      'left front right',
    ],
    standard: 'all round',
    help: 'the faces covered, in order to the right; a run ends at the middle of the corner at each end',
  },
  seam: {
    kind: 'choice',
    options: ['middle of the back', 'front right', 'back right', 'back left', 'front left'],
    standard: 'middle of the back',
    help: 'where film that goes all round laps over itself: the middle of the back, or a corner',
  },
  overlap: wrapOverlapSpec,
  middles: { kind: 'choice', options: ['no', 'yes'], standard: 'no', help: 'ticks at the middle of each face as well' },
  lid: { kind: 'choice', options: ['no', 'yes'], standard: 'no', help: 'a panel for the top as well' },
  base: { kind: 'choice', options: ['no', 'yes'], standard: 'no', help: 'a panel for the underside as well' },
  ...openingSpecs,
  openings: { ...openingSpecs.openings, help: `on the sleeve: ${openingSpecs.openings.help}` },
  points: { ...openingSpecs.points, help: `on the sleeve: ${openingSpecs.points.help}` },
} as const

export type BoxValues = Values<typeof specs>

function prismOf({ length, width, radius }: BoxValues): Prism {
  return {
    radius,
    faces: faces.map((face, i) => ({
      face: { code: face, words: i % 2 === 0 ? `the ${face}` : `the ${face} side` },
      flat: (i % 2 === 0 ? length : width) - 2 * radius,
      corner: { code: `corner ${corners[i]}`, words: `the ${corners[i]} corner` },
    })),
  }
}

export const boxSleeve: Template = defineTemplate({
  id: 'box-sleeve',
  title: 'Box sleeve',
  when: 'Round an upright box with sharp or rounded corners: a toolbox, a battery case, a cash box. All round, or some faces; lid and base too.',
  specs,
  example: {
    measures: { length: '300 mm', width: '200 mm', radius: '25 mm', height: '140 mm', lid: 'yes' },
    shows:
      'All the way round is 957.1 mm before film thickness, not the 1000 mm of sharp corners; the hinge stands at the middle of the front.',
  },
  check: (v) => {
    const problems: Problem[] = []
    const least = Math.min(v.length, v.width)
    if (2 * v.radius > least) {
      problems.push({
        code: 'radii_too_big',
        field: 'radius',
        value: `${v.radius} mm`,
        limit: `half the smaller side is ${least / 2} mm`,
        cure: 'Measure the radius again; two corners must fit on a side.',
      })
    } else {
      const sharp = 2 * (v.length + v.width)
      problems.push(...girthProblems(v.girth, prismOf(v), sharp, 'length, width'))
    }
    return [...problems, ...sleeveOverlapProblem(v.cover !== 'all round', v.overlap), ...openingProblems(v)]
  },
  doubts: (v, facts, say) => girthDoubts(v.girth, prismOf(v), facts, say),
  develop: (v, facts, say) => {
    const prism = prismOf(v)
    const single = v.lid === 'no' && v.base === 'no'
    const common = {
      ...(single ? {} : { part: 'sleeve' }),
      prism,
      height: v.height,
      middles: v.middles === 'yes',
      openings: v,
      notes: girthNotes(v.girth, prism, facts, say),
    }
    const rounding = v.radius > 0 ? ', at the middle of its rounding' : ''
    const sleeve = () => {
      if (v.cover !== 'all round') {
        const run = v.cover.split(' ')
        const first = faces.indexOf(run[0] ?? '')
        const [left, right] = [corners[(first + 3) % 4], corners[(first + run.length - 1) % 4]]
        const text = `The film begins on the ${left} corner and ends on the ${right} corner${rounding.replace('its', 'their')}.`
        return developSleeve(
          {
            ...common,
            legs: fromCorner(prism, first, run.length),
            from: `the ${left} corner`,
            marks: [{ code: 'ends', text }],
          },
          facts,
          say,
        )
      }
      const overlap = v.overlap ?? standardOverlap
      const over = overlap > 0 ? `laps ${say(overlap)} past it` : 'meets it there'
      const corner = corners.indexOf(v.seam)
      if (corner < 0) {
        const text = `Draw the seam line straight up the middle of the back: the left edge of the film stands on it, the right edge comes round and ${over}.`
        return developSleeve(
          { ...common, legs: fromMiddle(prism, 2), from: 'the seam line', overlap, marks: [{ code: 'seam', text }] },
          facts,
          say,
        )
      }
      const text = `The left edge of the film stands on the ${v.seam} corner${rounding}; the right edge comes round and ${over}.`
      return developSleeve(
        {
          ...common,
          legs: fromCorner(prism, corner + 1, 4),
          from: `the ${v.seam} corner`,
          overlap,
          marks: [{ code: 'seam', text }],
        },
        facts,
        say,
      )
    }
    return [
      sleeve(),
      ...(v.base === 'yes' ? [flatEnd('base', v, say)] : []),
      ...(v.lid === 'yes' ? [flatEnd('lid', v, say)] : []),
    ]
  },
  sketch: (values, say, hung) => {
    const [film] = boxSleeve.develop(values ?? standIn, { filmThickness: 0, tapeThickness: 0 }, say)
    if (!film) throw new RangeError('a sleeve without film')
    return boxSketch(values, film, hung, say)
  },
})

/** The panel of the top or of the underside, its front edge below. */
function flatEnd(part: 'lid' | 'base', { length, width, radius }: BoxValues, say: Say): Development {
  return {
    part,
    ...rectangularFace(length, width, [radius, radius, radius, radius]),
    holes: [],
    marks: [
      {
        code: 'front',
        text: `The bottom edge of the ${part} panel lies along the front. Where the sleeve is turned in over the edge, the ${part} panel goes on top of it.`,
      },
      { code: 'hinge bottom', text: `Mark the ${part} ${say(length / 2)} from its left side, at the front edge.` },
      { code: 'hinge top', text: `Mark the ${part} ${say(length / 2)} from its left side, at the back edge.` },
    ],
    notes: [],
  }
}
