import { diameterFromGirth, wrapLength } from '../../src/measure/girth.ts'
import type { Problem } from '../../src/measure/problem.ts'
import { defineTemplate, type Facts, type Template, type Values } from '../../src/panel/template.ts'
import { crossDoubts } from '../cross-check.ts'
import { openingProblems, openingSpecs } from '../openings.ts'
import { standardOverlap, wrapOverlapSpec } from '../overlap.ts'
import { developRimmed, isSlanted, rimFieldProblems, rimProblems, rimSpecs, rimsOf } from '../rim-measures.ts'
import { type BandForm, developBand, filmArc, hingeMarks, overlapProblem } from '../round-band.ts'
import { straightSketch } from './sketch.ts'

const specs = {
  girth: {
    kind: 'length',
    min: 30,
    max: 20000,
    optional: true,
    letter: 'A',
    help: 'all the way round, tape level; or give diameter, or span',
  },
  diameter: {
    kind: 'length',
    min: 10,
    max: 6000,
    optional: true,
    letter: 'D',
    help: 'across, by caliper; in place of girth',
  },
  height: {
    kind: 'length',
    min: 5,
    max: 5000,
    letter: 'B',
    help: 'from the lower edge to the upper edge of the film; where a rim slants, up the left edge of the film',
  },
  gap: {
    kind: 'length',
    min: 0.2,
    max: 20000,
    optional: true,
    letter: 'G',
    help: 'what stays bare for a handle or seam, tape round the object; makes a part wrap',
  },
  span: {
    kind: 'length',
    min: 10,
    max: 20000,
    optional: true,
    letter: 'S',
    help: 'round from one edge of the handle to the other, the way the film goes; makes a part wrap',
  },
  overlap: wrapOverlapSpec,
  ...rimSpecs,
  ...openingSpecs,
} as const

export type StraightValues = Values<typeof specs>

/** What goes round the object: across it, tape round it, and the part of that which is covered, if not all; mm. */
interface Around {
  readonly across: number
  readonly taped: number
  readonly covered: number | undefined
}

/** Undefined where only a span is known. */
function aroundOf({ girth, diameter, gap, span }: StraightValues, tapeThickness: number): Around | undefined {
  const across = diameter ?? (girth === undefined ? undefined : diameterFromGirth(girth, tapeThickness))
  if (across === undefined) return undefined
  const taped = girth ?? Math.PI * (across + tapeThickness)
  return { across, taped, covered: span ?? (gap === undefined ? undefined : taped - gap) }
}

const levelOf = ({ across, taped, covered = taped }: Around) => ({ across, taped, bare: taped - covered })

function formOf(v: StraightValues, around: Around, filmThickness: number): BandForm {
  const { across, taped, covered } = around
  const film = wrapLength(across, filmThickness)
  const bare = covered === undefined ? 0 : film - filmArc(covered, taped, film)
  const level = levelOf(around)
  return {
    bottomGirth: film,
    topGirth: film,
    slant: v.height,
    bottomGap: bare,
    topGap: bare,
    ...rimsOf(v, level, level, 0),
  }
}

/** Slants that contradict each other, the object, or are told of an object whose girth is not known. */
function slantProblems(v: StraightValues, inOrder: boolean): Problem[] {
  const problems = rimFieldProblems(v)
  const around = aroundOf(v, 0)
  if (isSlanted(v) && !around && v.span !== undefined) {
    problems.push({
      code: 'missing',
      field: 'girth',
      value: 'not given',
      limit: 'a rim that slants needs the girth or the diameter, which a span does not tell',
      cure: 'Put the tape round the object once and enter girth beside span.',
    })
  }
  if (problems.length > 0 || !inOrder || !around) return problems
  return rimProblems(v, levelOf(around), levelOf(around), formOf(v, around, 0))
}

/** Film and tape of no thickness: the object as it was measured. */
const asMeasured: Facts = { filmThickness: 0, tapeThickness: 0 }

/** Where only a span is known, the object is shown with this share of it bare. */
const shownBare = 0.12

/** The band as it is drawn on its object. */
function seenForm(v: StraightValues): BandForm {
  const around = aroundOf(v, 0)
  if (around) return formOf(v, around, 0)
  const [span, bare] = [v.span ?? 0, shownBare * (v.span ?? 0)]
  const girth = span + bare
  return { bottomGirth: girth, topGirth: girth, slant: v.height, bottomGap: bare, topGap: bare }
}

export const straightBand: Template = defineTemplate({
  id: 'straight-band',
  title: 'Straight band',
  when: 'Round a cylinder with upright sides: a paint tin, a flask, a jar. All the way round, or between two edges of a handle.',
  specs,
  example: {
    measures: { span: '215 mm', height: '95 mm' },
    shows:
      'With 1 mm on every edge it is cut 217 x 97 mm; the hinge stands 107.5 mm round from either edge of the handle, away from it.',
  },
  check: (v) => {
    const { girth, diameter, gap, span, overlap } = v
    const problems: Problem[] = []
    if (girth === undefined && diameter === undefined && span === undefined) {
      problems.push({
        code: 'missing',
        field: 'girth',
        value: 'not given',
        limit: 'a band needs girth, diameter or span',
        cure: 'Put the tape round the object once and enter girth.',
      })
    }
    if (girth !== undefined && diameter !== undefined) {
      problems.push({
        code: 'contradiction',
        field: 'diameter',
        value: `${diameter} mm beside a girth of ${girth} mm`,
        limit: 'one of the two is enough',
        cure: 'Keep the one you trust more; a tape round it beats a caliper across it.',
      })
    }
    const round = girth ?? (diameter === undefined ? undefined : Math.PI * diameter)
    if (round !== undefined && gap !== undefined && gap >= round - 5) {
      problems.push({
        code: 'gap_too_wide',
        field: 'gap',
        value: `${gap} mm`,
        limit: `the girth is ${round.toFixed(1)} mm, and 5 mm of film must be left`,
        cure: 'Check whether gap and girth were changed over.',
      })
    }
    if (round !== undefined && span !== undefined && Math.abs(span + (gap ?? 0) - round) > 4 && gap !== undefined) {
      problems.push({
        code: 'contradiction',
        field: 'span',
        value: `${span} mm, with the gap ${(span + gap).toFixed(1)} mm`,
        limit: `the girth is ${round.toFixed(1)} mm and the two must add up to it within 4 mm`,
        cure: 'Measure all three again.',
      })
    }
    if (round !== undefined && span !== undefined && gap === undefined && span >= round) {
      problems.push({
        code: 'contradiction',
        field: 'span',
        value: `${span} mm`,
        limit: `the girth is ${round.toFixed(1)} mm`,
        cure: 'A span is shorter than the girth; leave it out for a full wrap.',
      })
    }
    return [
      ...problems,
      ...openingProblems(v),
      ...overlapProblem(gap !== undefined || span !== undefined, overlap),
      ...slantProblems(v, problems.length === 0),
    ]
  },
  doubts: (v, facts, say) => {
    const round = aroundOf(v, facts.tapeThickness)?.taped
    if (round === undefined || v.span === undefined || v.gap === undefined) return []
    return crossDoubts({ field: 'span', read: v.span, wanted: round - v.gap, readings: 3, madeTo: 'the span' }, say)
  },
  develop: (v, facts, say) => {
    const around = aroundOf(v, facts.tapeThickness)
    if (!around) {
      // Only the span is known: the angle it takes up is not, so no thickness can be allowed for.
      const part = v.span ?? 0
      return developBand({
        bottomGirth: part,
        topGirth: part,
        slant: v.height,
        bottomGap: 0,
        topGap: 0,
        marks: hingeMarks('either edge of the gap, away from it', part / 2, part / 2, say),
        openings: v,
        notes: ['Girth unknown: no correction for the thickness of tape and film.'],
      })
    }
    const { taped, covered } = around
    const form = formOf(v, around, facts.filmThickness)
    const opened = { openings: v, bottomTaped: taped, topTaped: taped }
    if (covered === undefined) {
      const marks = [
        { code: 'seam', text: 'Draw the seam line straight up the object where it is seen least.' },
        ...hingeMarks('the seam line', taped / 2, taped / 2, say, form),
      ]
      return developRimmed({ ...form, ...opened, overlap: v.overlap ?? standardOverlap, marks, notes: [] }, say)
    }
    const marks = hingeMarks('either edge of the gap, away from it', covered / 2, covered / 2, say, form)
    return developRimmed({ ...form, ...opened, marks, notes: [] }, say)
  },
  sketch: (values, say, hung) => {
    const [film] = values ? straightBand.develop(values, asMeasured, say) : []
    const form = values && seenForm(values)
    return straightSketch(values, form && film && { form, film, hung }, say)
  },
})
