import { diameterFromGirth, wrapLength } from '../../src/measure/girth.ts'
import type { Problem } from '../../src/measure/problem.ts'
import { defineTemplate } from '../../src/panel/template.ts'
import { bandSketch } from '../band-sketch.ts'
import { developBand, filmArc, hingeMarks, overlapProblem } from '../round-band.ts'

const standardOverlap = 6

export const straightBand = defineTemplate({
  id: 'straight-band',
  title: 'Straight band',
  when: 'Round a cylinder with upright sides: a paint tin, a flask, a jar. All the way round, or between two edges of a handle.',
  specs: {
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
      help: 'from the lower edge to the upper edge of the film',
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
    overlap: {
      kind: 'length',
      min: 0,
      max: 100,
      optional: true,
      help: `how far a full wrap laps over itself; ${standardOverlap} mm if left out, 0 for a butt seam`,
    },
  },
  example: {
    measures: { span: '215 mm', height: '95 mm' },
    shows:
      'With 1 mm on every edge it is cut 217 x 97 mm; the hinge stands 107.5 mm round from either edge of the handle, away from it.',
  },
  check: ({ girth, diameter, gap, span, overlap }) => {
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
    return [...problems, ...overlapProblem(gap !== undefined || span !== undefined, overlap)]
  },
  develop: ({ girth, diameter, height, gap, span, overlap }, facts, say) => {
    const across = diameter ?? (girth === undefined ? undefined : diameterFromGirth(girth, facts.tapeThickness))
    if (across === undefined) {
      // Only the span is known: the angle it takes up is not, so no thickness can be allowed for.
      const part = span ?? 0
      return developBand({
        bottomGirth: part,
        topGirth: part,
        slant: height,
        bottomGap: 0,
        topGap: 0,
        marks: hingeMarks('either edge of the gap, away from it', part / 2, part / 2, say),
        notes: ['Girth unknown: no correction for the thickness of tape and film.'],
      })
    }
    const taped = girth ?? Math.PI * (across + facts.tapeThickness)
    const film = wrapLength(across, facts.filmThickness)
    const covered = span ?? (gap === undefined ? undefined : taped - gap)
    if (covered === undefined) {
      return developBand({
        bottomGirth: film,
        topGirth: film,
        slant: height,
        bottomGap: 0,
        topGap: 0,
        overlap: overlap ?? standardOverlap,
        marks: [
          { code: 'seam', text: 'Draw the seam line straight up the object where it is seen least.' },
          ...hingeMarks('the seam line', taped / 2, taped / 2, say),
        ],
        notes: [],
      })
    }
    const bare = film - filmArc(covered, taped, film)
    return developBand({
      bottomGirth: film,
      topGirth: film,
      slant: height,
      bottomGap: bare,
      topGap: bare,
      marks: hingeMarks('either edge of the gap, away from it', covered / 2, covered / 2, say),
      notes: [],
    })
  },
  sketch: (values, say) =>
    bandSketch(
      values && {
        bottom: values.girth ?? (values.diameter ?? (values.span ?? 0) / 2.8) * Math.PI,
        top: values.girth ?? (values.diameter ?? (values.span ?? 0) / 2.8) * Math.PI,
        height: values.height,
        part: values.gap !== undefined || values.span !== undefined,
      },
      values
        ? {
            round: values.girth
              ? `girth ${say(values.girth)}`
              : values.diameter
                ? `diameter ${say(values.diameter)}`
                : `span ${say(values.span ?? 0)}`,
            side: `height ${say(values.height)}`,
            gap: values.gap ? `gap ${say(values.gap)}` : 'gap',
          }
        : { round: 'A  girth (D: diameter across, S: span round to the other edge)', side: 'B  height', gap: 'G  gap' },
    ),
})
