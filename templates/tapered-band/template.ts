import { diameterFromGirth, wrapLength } from '../../src/measure/girth.ts'
import type { Problem } from '../../src/measure/problem.ts'
import { defineTemplate, type Facts, type Template, type Values } from '../../src/panel/template.ts'
import { openingProblems, openingSpecs } from '../openings.ts'
import { standardOverlap, wrapOverlapSpec } from '../overlap.ts'
import {
  developRimmed,
  isSlanted,
  type Level,
  rimFieldProblems,
  rimProblems,
  rimSpecs,
  rimsOf,
} from '../rim-measures.ts'
import { type BandForm, filmArc, hingeMarks, leanOf, overlapProblem, stripArc } from '../round-band.ts'
import { taperedSketch } from './sketch.ts'

/** Slant from upright height and the two girths, mm. */
const slantOf = (height: number, a: number, b: number) => Math.hypot(height, (a - b) / (2 * Math.PI))

const specs = {
  bottomGirth: {
    kind: 'length',
    min: 1,
    max: 20000,
    optional: true,
    letter: 'A',
    help: 'round at the lower edge of the film, tape level; where that slants, level with the lower end of the left edge',
  },
  bottomDiameter: {
    kind: 'length',
    min: 0.5,
    max: 6000,
    optional: true,
    help: 'across at the lower edge; in place of bottomGirth',
  },
  topGirth: {
    kind: 'length',
    min: 1,
    max: 20000,
    optional: true,
    letter: 'C',
    help: 'round at the upper edge of the film, tape level; where that slants, level with the upper end of the left edge',
  },
  topDiameter: {
    kind: 'length',
    min: 0.5,
    max: 6000,
    optional: true,
    help: 'across at the upper edge; in place of topGirth',
  },
  slant: {
    kind: 'length',
    min: 5,
    max: 5000,
    optional: true,
    letter: 'B',
    help: 'along the side, from edge to edge; in place of height; where a rim slants, up the left edge of the film',
  },
  height: {
    kind: 'length',
    min: 0.001,
    max: 5000,
    optional: true,
    help: 'straight up, from edge to edge; in place of slant',
  },
  gap: {
    kind: 'length',
    min: 0.2,
    max: 20000,
    optional: true,
    letter: 'G',
    help: 'what stays bare for a handle of the same width all the way up; makes a part wrap',
  },
  bottomGap: {
    kind: 'length',
    min: 0.2,
    max: 20000,
    optional: true,
    help: 'bare width at the lower edge, tape round; with topGap, for a gap that tapers',
  },
  topGap: {
    kind: 'length',
    min: 0.2,
    max: 20000,
    optional: true,
    help: 'bare width at the upper edge, tape round; with bottomGap',
  },
  overlap: wrapOverlapSpec,
  ...rimSpecs,
  ...openingSpecs,
} as const

export type TaperedValues = Values<typeof specs>

/** What was measured at both levels, and the film's form from it. */
interface Measured {
  readonly bottom: Level
  readonly top: Level
  readonly form: BandForm
}

function measuredOf(v: TaperedValues, { filmThickness, tapeThickness }: Facts): Measured {
  const acrossBottom = v.bottomDiameter ?? diameterFromGirth(v.bottomGirth ?? 0, tapeThickness)
  const acrossTop = v.topDiameter ?? diameterFromGirth(v.topGirth ?? 0, tapeThickness)
  const tapedBottom = v.bottomGirth ?? Math.PI * (acrossBottom + tapeThickness)
  const tapedTop = v.topGirth ?? Math.PI * (acrossTop + tapeThickness)
  const slant = v.slant ?? slantOf(v.height ?? 0, Math.PI * acrossBottom, Math.PI * acrossTop)
  // The middle of the film is the same cone, moved along its axis; its edges lie square over those of the object.
  const lean = (acrossTop - acrossBottom) / (2 * slant)
  const cosine = Math.sqrt(Math.max(0, 1 - lean * lean))
  const filmBottom = wrapLength(acrossBottom, filmThickness, cosine)
  const filmTop = wrapLength(acrossTop, filmThickness, cosine)
  const bare = (given: number | undefined, here: number, there: number) =>
    given ?? (v.gap === undefined ? 0 : stripArc(v.gap, here, there, slant))
  const bottom = { across: acrossBottom, taped: tapedBottom, bare: bare(v.bottomGap, tapedBottom, tapedTop) }
  const top = { across: acrossTop, taped: tapedTop, bare: bare(v.topGap, tapedTop, tapedBottom) }
  return {
    bottom,
    top,
    form: {
      bottomGirth: filmBottom,
      topGirth: filmTop,
      slant,
      bottomGap: filmArc(bottom.bare, tapedBottom, filmBottom),
      topGap: filmArc(top.bare, tapedTop, filmTop),
      ...rimsOf(v, bottom, top, leanOf(filmBottom, filmTop, slant)),
    },
  }
}

/** Slants that contradict each other or the object. */
function slantProblems(v: TaperedValues, inOrder: boolean): Problem[] {
  const problems = rimFieldProblems(v)
  if (problems.length > 0 || !inOrder || !isSlanted(v)) return problems
  const { bottom, top, form } = measuredOf(v, asMeasured)
  return rimProblems(v, bottom, top, form)
}

/** Film and tape of no thickness: the object as it was measured. */
const asMeasured: Facts = { filmThickness: 0, tapeThickness: 0 }

export const taperedBand: Template = defineTemplate({
  id: 'tapered-band',
  title: 'Tapered band',
  when: 'Round an object with straight sides that lean: a pail, a lamp shade, a plant pot. All the way round, or beside a handle.',
  specs,
  example: {
    measures: { bottomGirth: '600 mm', topGirth: '700 mm', slant: '200 mm' },
    shows:
      'Laid out, the film is part of a ring: radii 1200 and 1400 mm, angle 28.65 degrees, before film thickness and allowance.',
  },
  check: (v) => {
    const problems: Problem[] = []
    const either = (a: number | undefined, b: number | undefined, first: string, second: string) => {
      if ((a === undefined) !== (b === undefined)) return
      problems.push({
        code: a === undefined ? 'missing' : 'contradiction',
        field: first,
        value: a === undefined ? 'not given' : `given beside ${second}`,
        limit: `a tapered band needs one of ${first} and ${second}`,
        cure: a === undefined ? `Measure ${first}.` : 'Keep the one you trust more.',
      })
    }
    either(v.bottomGirth, v.bottomDiameter, 'bottomGirth', 'bottomDiameter')
    either(v.topGirth, v.topDiameter, 'topGirth', 'topDiameter')
    either(v.slant, v.height, 'slant', 'height')
    const bottom = v.bottomGirth ?? (v.bottomDiameter ?? Number.NaN) * Math.PI
    const top = v.topGirth ?? (v.topDiameter ?? Number.NaN) * Math.PI
    const lean = Math.abs(top - bottom) / (2 * Math.PI)
    if (v.slant !== undefined && v.slant < lean) {
      problems.push({
        code: 'slant_too_short',
        field: 'slant',
        value: `${v.slant} mm`,
        limit: `the two girths differ by ${lean.toFixed(1)} mm of radius, and the side cannot be shorter than that`,
        cure: 'Measure along the side, and check that the girths were not mixed with diameters.',
      })
    }
    if ((v.bottomGap === undefined) !== (v.topGap === undefined)) {
      problems.push({
        code: 'missing',
        field: v.topGap === undefined ? 'topGap' : 'bottomGap',
        value: 'not given',
        limit: 'a gap that tapers is measured at both edges',
        cure: 'Measure the other one, or give gap for parallel sides.',
      })
    }
    if (v.gap !== undefined && (v.bottomGap !== undefined || v.topGap !== undefined)) {
      problems.push({
        code: 'contradiction',
        field: 'gap',
        value: `${v.gap} mm beside bottomGap or topGap`,
        limit: 'a gap is either of one width or measured at both edges',
        cure: 'Keep one of the two.',
      })
    }
    const slant = v.slant ?? (v.height === undefined ? Number.NaN : slantOf(v.height, bottom, top))
    const bottomArc = v.bottomGap ?? (v.gap === undefined ? 0 : stripArc(v.gap, bottom, top, slant))
    const topArc = v.topGap ?? (v.gap === undefined ? 0 : stripArc(v.gap, top, bottom, slant))
    for (const [field, arc, girth] of [
      ['bottomGap', bottomArc, bottom],
      ['topGap', topArc, top],
    ] as const) {
      if (!(arc >= girth - 5 && arc > 0)) continue
      problems.push({
        code: 'gap_too_wide',
        field: v.gap === undefined ? field : 'gap',
        value: `${v.gap ?? arc} mm`,
        limit: `the girth there is ${girth.toFixed(1)} mm, and 5 mm of film must be left`,
        cure: 'Check whether gap and girth were changed over.',
      })
    }
    return [
      ...problems,
      ...openingProblems(v),
      ...overlapProblem(v.gap !== undefined || v.bottomGap !== undefined, v.overlap),
      ...slantProblems(v, problems.length === 0),
    ]
  },
  develop: (v, facts, say) => {
    const { bottom, top, form } = measuredOf(v, facts)
    const opened = { openings: v, bottomTaped: bottom.taped, topTaped: top.taped }
    if (v.gap === undefined && v.bottomGap === undefined) {
      const marks = [
        { code: 'seam', text: 'Draw the seam line straight up the side of the object where it is seen least.' },
        ...hingeMarks('the seam line', bottom.taped / 2, top.taped / 2, say, form),
      ]
      return developRimmed({ ...form, ...opened, overlap: v.overlap ?? standardOverlap, marks, notes: [] }, say)
    }
    const marks = hingeMarks(
      'either edge of the gap, away from it',
      (bottom.taped - bottom.bare) / 2,
      (top.taped - top.bare) / 2,
      say,
      form,
    )
    return developRimmed({ ...form, ...opened, marks, notes: [] }, say)
  },
  sketch: (values, say, hung) => {
    const [film] = values ? taperedBand.develop(values, asMeasured, say) : []
    return taperedSketch(values, values && film && { form: measuredOf(values, asMeasured).form, film, hung }, say)
  },
})
