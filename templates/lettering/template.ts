import { type Box, boundsOf, boxHeight, boxWidth } from '../../src/geometry/bounds.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { arcTo, lineTo, openPath, type Path } from '../../src/geometry/path.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import { type Problem, Refusal } from '../../src/measure/problem.ts'
import type { BareEdge, Development } from '../../src/panel/development.ts'
import type { ObjectMark } from '../../src/panel/panel.ts'
import { defineTemplate, type Say, type Values } from '../../src/panel/template.ts'
import { faceOf } from './font.ts'
import { type Baseline, charactersOf, codePoint, type Lettering, lettersOf } from './letters.ts'
import { letteringSketch } from './sketch.ts'
import { thinnest } from './thinnest.ts'

/** Strokes narrower than this lift or tear when a blade turns in them, mm (common practice, no source). */
const leastStroke = 0.8
/** The least film between letters and the rounding of a corner, mm (common practice, no source). */
const leastBeside = 1

const specs = {
  text: { kind: 'text', most: 60, help: 'the words, on one line' },
  font: { kind: 'file', help: 'the font they are set in: a .ttf, .otf or .woff file, named as seen from the job file' },
  capHeight: { kind: 'length', min: 3, max: 2000, letter: 'A', help: 'height of a capital H' },
  spacing: {
    kind: 'length',
    min: -200,
    max: 500,
    standard: 0,
    letter: 'S',
    help: 'added between letters; below 0 they stand closer',
  },
  on: { kind: 'choice', options: ['line', 'arc'], standard: 'line', help: 'what the letters stand on' },
  radius: {
    kind: 'length',
    min: 5,
    max: 20000,
    optional: true,
    letter: 'R',
    help: 'of the arc that the letters stand on, from its middle to their feet',
  },
  side: {
    kind: 'choice',
    options: ['outside', 'inside'],
    standard: 'outside',
    help: 'of the arc: outside, the heads point away from its middle; inside, towards it',
  },
  border: {
    kind: 'length',
    min: 2,
    max: 500,
    standard: 10,
    letter: 'B',
    help: 'from the letters to the border on every side; what lies between is weeded out',
  },
  borderRadius: { kind: 'length', min: 0, max: 1000, standard: 3, letter: 'C', help: 'rounding of its corners' },
  backing: {
    kind: 'choice',
    options: ['none', 'panel'],
    standard: 'none',
    help: 'panel: a second panel of another film that goes on first, under the letters',
  },
  backingMargin: {
    kind: 'length',
    min: 2,
    max: 1000,
    standard: 20,
    letter: 'E',
    help: 'from the letters to the edge of the backing panel',
  },
  backingShape: {
    kind: 'choice',
    options: ['rectangle', 'arch'],
    standard: 'rectangle',
    help: 'of the backing panel; an arch has a round top, which runs along with letters that stand outside on an arc',
  },
  backingRadius: { kind: 'length', min: 0, max: 1000, standard: 8, help: 'rounding of its square corners' },
  archRise: {
    kind: 'length',
    min: 1,
    max: 5000,
    optional: true,
    help: 'how far the top of an arch rises over its sides; if left out, a sixth of its width or along with the letters',
  },
} as const

export type LetteringValues = Values<typeof specs>

export const lettering = defineTemplate({
  id: 'lettering',
  title: 'Lettering',
  when: 'Words or numbers cut out of film, for a flat face or a round one: the name on a toolbox lid, the number of a tin.',
  specs,
  example: {
    measures: { text: 'TOOL LIBRARY', font: 'fonts/barlow-latin-600-normal.woff', capHeight: '40 mm', border: '12 mm' },
    shows:
      'The border is 390.8 x 65 mm before any allowance; the letters stand 12.6 mm above its lower edge, and the hinge stands 195.4 mm from its left edge.',
  },
  check: (v) => [
    ...textProblems(v.text),
    ...arcProblems(v),
    ...cornerProblem('borderRadius', v.borderRadius, 'border', v.border),
    ...(v.backing === 'panel' ? cornerProblem('backingRadius', v.backingRadius, 'backingMargin', v.backingMargin) : []),
  ],
  develop: (v, facts, say) => {
    const face = faceOf(v.font, facts)
    const baseline: Baseline =
      v.on === 'arc' && v.radius !== undefined ? { on: 'arc', radius: v.radius, side: v.side } : { on: 'line' }
    const letters = lettersOf(v.text, face, { capHeight: v.capHeight, spacing: v.spacing, baseline }, say)
    const ink = withBaseLine(boundsOf(letters.paths))
    const border = grown(ink, v.border)
    checkRadius('borderRadius', v.borderRadius, border, say)
    const notes = letterNotes(v, letters, face.isVariable, say)
    const own: Development = {
      ...rectangular(v.on, border, v.borderRadius, say),
      holes: [],
      inner: letters.paths,
      labelSpots: labelSpots(ink, border),
      notes,
    }
    if (v.backing === 'none') return [own]
    const behind: Development = {
      ...backingOf(v, letters, ink, say),
      part: 'backing',
      holes: [],
      labelSpots: labelSpots(ink, grown(ink, v.backingMargin)),
      notes: [
        'Cut the backing from a film of its own. It goes on first, the letters go on it from the same middle line.',
      ],
    }
    return [behind, { ...own, part: 'letters' }]
  },
  sketch: letteringSketch,
})

/** Scripts whose letters join, stack or run from right to left, which takes more than one letter after the other. */
const shaped =
  /\p{Script=Arabic}|\p{Script=Hebrew}|\p{Script=Syriac}|\p{Script=Thaana}|\p{Script=Nko}|\p{Script=Devanagari}|\p{Script=Bengali}|\p{Script=Gurmukhi}|\p{Script=Gujarati}|\p{Script=Oriya}|\p{Script=Tamil}|\p{Script=Telugu}|\p{Script=Kannada}|\p{Script=Malayalam}|\p{Script=Sinhala}|\p{Script=Thai}|\p{Script=Lao}|\p{Script=Tibetan}|\p{Script=Myanmar}|\p{Script=Khmer}|\p{Script=Mongolian}/u

function textProblems(text: string): Problem[] {
  const characters = charactersOf(text)
  const named = (own: readonly string[]) => [...new Set(own)].map(codePoint).join(', ')
  const problems: Problem[] = []
  if (characters.length === 0) {
    const cure = 'Write what is to be cut.'
    problems.push({ code: 'no_text', field: 'text', value: `"${text}"`, limit: 'there is nothing to cut', cure })
  }
  const control = characters.filter((c) => /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u.test(c))
  if (control.length > 0) {
    problems.push({
      code: 'control_character',
      field: 'text',
      value: `a text with ${named(control)}`,
      limit: 'lettering is one line of letters, without line ends, tabs and other characters that do not show',
      cure: 'Leave them out; give each line an object of its own.',
    })
  }
  const marks = characters.filter((c) => /\p{M}/u.test(c))
  if (marks.length > 0) {
    problems.push({
      code: 'loose_accent',
      field: 'text',
      value: `a text with ${named(marks)}`,
      limit: 'an accent is cut only where there is one letter with that accent',
      cure: 'Leave the accent out, or write the letter otherwise.',
    })
  }
  const foreign = characters.filter((c) => shaped.test(c) && !marks.includes(c))
  if (foreign.length > 0) {
    problems.push({
      code: 'shaped_script',
      field: 'text',
      value: `"${[...new Set(foreign)].join('')}" (${named(foreign)})`,
      limit: 'letters are set one by one from left to right; these join, stack or run the other way',
      cure: 'Set the words in a drawing program and bring them as outlines.',
    })
  }
  return problems
}

function arcProblems({ on, radius, backing, backingShape, archRise }: LetteringValues): Problem[] {
  const problems: Problem[] = []
  if (on === 'arc' && radius === undefined) {
    const limit = 'letters on an arc need its radius'
    const cure = 'Measure from the middle of the arc to the feet of the letters, and add radius.'
    problems.push({ code: 'missing', field: 'radius', value: 'not given', limit, cure })
  }
  if (on === 'line' && radius !== undefined) {
    const limit = 'letters on a line have none'
    const cure = 'Leave radius out, or set on: arc.'
    problems.push({ code: 'contradiction', field: 'radius', value: `${radius} mm`, limit, cure })
  }
  if (archRise !== undefined && (backing === 'none' || backingShape !== 'arch')) {
    const limit = 'only a backing panel in the form of an arch has it'
    const cure = 'Leave archRise out, or set backing: panel and backingShape: arch.'
    problems.push({ code: 'contradiction', field: 'archRise', value: `${archRise} mm`, limit, cure })
  }
  return problems
}

/**
 * The corner of the box round the letters, `margin` mm in from both sides, must stay off a rounding of radius r about
 * (r, r): r - sqrt(2) (r - margin) is left between them where r is more than the margin.
 */
function cornerProblem(field: string, radius: number, marginField: string, margin: number): Problem[] {
  if (radius <= margin || radius - Math.SQRT2 * (radius - margin) >= leastBeside) return []
  const most = (Math.SQRT2 * margin - leastBeside) / (Math.SQRT2 - 1)
  return [
    {
      code: 'radius_too_big',
      field,
      value: `${radius} mm`,
      limit: `with ${marginField} ${margin} mm the rounding would come nearer than ${leastBeside} mm to the letters`,
      cure: `Give ${Math.floor(Math.max(most, margin))} mm or less, or a wider ${marginField}.`,
    },
  ]
}

/** Two roundings must fit on the shorter side. */
function checkRadius(field: string, radius: number, box: Box, say: Say): void {
  const side = Math.min(boxWidth(box), boxHeight(box))
  if (2 * radius <= side) return
  const limit = `the shorter side is ${say(side)}, and the two roundings on it must fit`
  throw new Refusal([
    { code: 'radii_too_big', field, value: say(radius), limit, cure: `Give ${say(Math.floor(side / 2))} or less.` },
  ])
}

function letterNotes(v: LetteringValues, letters: Lettering, isVariable: boolean, say: Say): string[] {
  const thin = thinnest(letters.paths, leastStroke, v.capHeight / 40)
  return [
    ...(thin === undefined
      ? []
      : [
          `The thinnest stroke is about ${say(thin)} wide; under ${say(leastStroke)} a blade tears film as it turns. Take a cap height of ${say(Math.ceil((v.capHeight * leastStroke) / thin + 0.5))} or more, or a bolder font.`,
        ]),
    ...(letters.runTogether ? ['Letters that run into each other are cut as one.'] : []),
    ...(letters.flattened
      ? ['An outline of the font crosses itself; it is cut on chords within 0.005 mm of its curves.']
      : []),
    ...(isVariable ? ['The font file holds several weights; the letters have the one it starts from.'] : []),
  ]
}

/** Letters such as an asterisk stand clear of the base line; their panel reaches it all the same, for its marks. */
const withBaseLine = ({ low, high }: Box): Box => ({
  low: point(low.x, Math.min(low.y, 0)),
  high: point(high.x, Math.max(high.y, 0)),
})

const grown = ({ low, high }: Box, by: number): Box => ({
  low: point(low.x - by, low.y - by),
  high: point(high.x + by, high.y + by),
})

const side = (name: string, from: Point, to: Point): BareEdge => ({ name, path: openPath(from, lineTo(to)) })

type Outlined = Required<Pick<Development, 'edges' | 'radii' | 'hinge' | 'surface' | 'marks'>>

function rectangular(on: LetteringValues['on'], box: Box, radius: number, say: Say): Outlined {
  const { low, high } = box
  return {
    edges: [
      side('bottom', low, point(high.x, low.y)),
      side('right', point(high.x, low.y), high),
      side('top', high, point(low.x, high.y)),
      side('left', point(low.x, high.y), low),
    ],
    radii: [radius, radius, radius, radius],
    hinge: { from: point(0, low.y), to: point(0, high.y) },
    surface: { kind: 'flat', taper: 0 },
    marks: [...baseMarks(on, box, say), ...hingeMarks(low.y, high.y, say)],
  }
}

function backingOf(v: LetteringValues, letters: Lettering, ink: Box, say: Say): Outlined {
  const box = grown(ink, v.backingMargin)
  if (v.backingShape === 'rectangle') {
    checkRadius('backingRadius', v.backingRadius, box, say)
    return rectangular(v.on, box, v.backingRadius, say)
  }
  const half = boxWidth(box) / 2
  const along = v.on === 'arc' && v.side === 'outside' && v.archRise === undefined ? v.radius : undefined
  const { shoulder, rise } =
    along === undefined
      ? { shoulder: box.high.y, rise: v.archRise ?? half / 3 }
      : alongArc(along, v.backingMargin, letters.paths, half)
  if (rise > half) {
    throw new Refusal([
      {
        code: 'arch_too_high',
        field: 'archRise',
        value: say(rise),
        limit: `the arch is ${say(2 * half)} wide, and the most is a half circle`,
        cure: `Give ${say(Math.floor(half))} or less.`,
      },
    ])
  }
  checkRadius('backingRadius', v.backingRadius, { low: box.low, high: point(box.high.x, shoulder) }, say)
  const r = v.backingRadius
  const low = box.low.y
  const round = (to: Point) => (r > 0 ? [arcTo(to, Math.PI / 2)] : [])
  const level = r < half ? [lineTo(point(half - r, low))] : []
  const [right, left] = [point(half, shoulder), point(-half, shoulder)]
  const [start, end] = [point(-half, low + r), point(half, low + r)]
  return {
    edges: [
      // Its corners are rounded here: `radii` serves outlines of straight edges only.
      {
        name: 'bottom',
        path: openPath(start, ...round(point(-half + r, low)), ...level, ...round(end)),
      },
      side('right', end, right),
      // The rise over half the chord is the tangent of a quarter of the turn.
      { name: 'top', path: openPath(right, arcTo(left, 4 * Math.atan(rise / half))) },
      side('left', left, start),
    ],
    radii: [0, 0, 0, 0],
    hinge: { from: point(0, box.low.y), to: point(0, shoulder + rise) },
    surface: { kind: 'flat', taper: 0 },
    marks: [...baseMarks(v.on, box, say), ...hingeMarks(box.low.y, shoulder + rise, say)],
  }
}

/** Shoulder and rise of an arch whose top runs round the middle of the letters' arc, `margin` mm clear of their heads. */
function alongArc(radius: number, margin: number, paths: readonly Path[], half: number) {
  const rough = 0.01
  const heads = paths.flatMap((path) => flatten(path, rough)).map(({ x, y }) => Math.hypot(x, y + radius))
  const outer = Math.max(...heads) + rough + margin
  const shoulder = Math.sqrt(Math.max(0, outer * outer - half * half)) - radius
  return { shoulder, rise: outer - radius - shoulder }
}

const labelSpots = (ink: Box, box: Box) =>
  [(box.low.y + ink.low.y) / 2 - 2, (box.high.y + ink.high.y) / 2 - 2].flatMap((y) =>
    [0.5, -0.5, 0.25, -0.25].map((share) => ({ at: point(share * box.high.x, y), turn: 0 })),
  )

/** The base line drawn on the object, and where letters and panel stand to it. */
function baseMarks(on: LetteringValues['on'], panel: Box, say: Say): ObjectMark[] {
  const below = `${say(-panel.low.y)} above the lower edge of the panel`
  return [
    {
      code: 'base line',
      text:
        on === 'line'
          ? `Draw the base line level on the object. The letters stand on it, ${below}.`
          : `Draw a base line level on the object. The letter in the middle of the text stands on it, ${below}.`,
    },
    {
      code: 'middle',
      text: `Mark the middle of the text on the base line; the panel reaches ${say(panel.high.x)} to either side.`,
    },
  ]
}

function hingeMarks(low: number, high: number, say: Say): ObjectMark[] {
  return [
    {
      code: 'hinge bottom',
      text: `Draw the upright line through the middle of the text; mark it ${say(-low)} below the base line.`,
    },
    { code: 'hinge top', text: `On the same upright line, mark ${say(high)} above the base line.` },
  ]
}
