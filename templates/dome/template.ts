import { diameterFromGirth } from '../../src/measure/girth.ts'
import { type Problem, Refusal } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import type { Strain } from '../../src/panel/strain.ts'
import { defineTemplate, type Facts, type Say, type Values } from '../../src/panel/template.ts'
import { cutTips, developGore, endsOf, goresWithin, tooFewGores } from '../gore.ts'
import { overlapSpec } from '../overlap.ts'
import { developStack, type StackedBand, seamSpec } from '../stacked-bands.ts'
import { strainNotes } from '../strain-rules.ts'
import { atPole, type Ball, ballOf, ballProblems } from './ball.ts'
import { developDisc, discRadius } from './disc.ts'
import { equalArcForm, polyconicForm } from './forms.ts'
import { domeSketch } from './sketch.ts'

const specs = {
  girth: {
    kind: 'length',
    min: 60,
    max: 40000,
    optional: true,
    letter: 'A',
    help: 'round the ball where it is widest; or give radius, or rim and height',
  },
  radius: { kind: 'length', min: 10, max: 6000, optional: true, letter: 'R', help: 'of the ball; in place of girth' },
  rim: {
    kind: 'length',
    min: 20,
    max: 12000,
    optional: true,
    letter: 'D',
    help: 'across the rim of a cap, straight; with height, in place of girth',
  },
  height: {
    kind: 'length',
    min: 1,
    max: 12000,
    optional: true,
    letter: 'H',
    help: 'of a cap, from its rim straight up to its top; without rim, girth or radius tells the ball',
  },
  part: {
    kind: 'choice',
    options: ['half', 'whole'],
    standard: 'half',
    help: 'the upper half of the ball or all of it, where neither height nor from and to are given',
  },
  from: {
    kind: 'angle',
    min: -90,
    max: 90,
    optional: true,
    help: 'latitude of the lower edge: 0 where the ball is widest, below 0 under it; 0 if only to is given',
  },
  to: {
    kind: 'angle',
    min: -90,
    max: 90,
    optional: true,
    help: 'latitude of the upper edge: 90 at the top; 90 if only from is given',
  },
  cover: {
    kind: 'choice',
    options: ['equal-arc', 'polyconic', 'zones'],
    standard: 'equal-arc',
    help: 'upright gores with straight level ends, or with ends curved as the rim is; or zones: rings of film, and a disc on top',
  },
  gores: { kind: 'number', min: 1, max: 200, whole: true, standard: 12, help: 'for gores: how many go round' },
  zones: {
    kind: 'number',
    min: 1,
    max: 100,
    whole: true,
    standard: 4,
    help: 'for zones: how many stand above each other, the disc over the top among them',
  },
  seams: seamSpec,
  overlap: overlapSpec('how far each upright seam laps, and a disc over what is below it'),
  tip: {
    kind: 'length',
    min: 1,
    max: 50,
    standard: 4,
    help: 'for gores: a tip is cut off where it is this wide, because a blade cannot cut a needle',
  },
  cap: {
    kind: 'length',
    min: 10,
    max: 2000,
    optional: true,
    help: 'for gores: across a disc that covers where the tips meet; none if left out',
  },
} as const

export type DomeValues = Values<typeof specs>

export const dome = defineTemplate({
  id: 'dome',
  title: 'Dome',
  when: 'Over an object that is part of a ball: a domed lid, a ball float, a lamp globe. In gores, or in zones.',
  specs,
  edges: ['bottom', 'top'],
  example: {
    measures: { radius: '36 in', gores: 16, tip: '1 in' },
    shows:
      'Sixteen gores, each 14.137 in (359.1 mm) wide at the base and cut off 54.0 in (1371.6 mm) up its middle, where it is 1 in wide, before film thickness, overlap and allowance.',
  },
  check: (v) => {
    const problems = ballProblems(v)
    if (problems.length > 0) return problems
    return v.cover === 'zones' ? zoneProblems(ballOf(v), v) : goreProblems(ballOf(v), v)
  },
  develop: (v, facts, say) => {
    const told = ballOf(v)
    const radius = v.girth === undefined ? told.radius : diameterFromGirth(v.girth, facts.tapeThickness) / 2
    const ball = { ...told, radius: radius + facts.filmThickness / 2 }
    const tape = tapeOn(radius, facts.tapeThickness)
    return v.cover === 'zones' ? developZones(ball, tape, v, facts, say) : developGores(ball, tape, v, facts, say)
  },
  sketch: domeSketch,
})

/** What a tape on the ball reads, mm. */
interface Tape {
  /** level, all the way round at a latitude */
  readonly round: (latitude: number) => number
  /** along the side, over an angle */
  readonly along: (angle: number) => number
}

const tapeOn = (radius: number, thickness: number): Tape => ({
  round: (latitude) => 2 * Math.PI * radius * Math.cos(latitude) + Math.PI * thickness,
  along: (angle) => (radius + thickness / 2) * angle,
})

function formOf({ radius, low, high }: Ball, { cover, gores }: DomeValues) {
  const gore = { radius, count: gores, low, high }
  return cover === 'polyconic' ? polyconicForm(gore) : equalArcForm(gore)
}

function developGores(ball: Ball, tape: Tape, v: DomeValues, facts: Facts, say: Say): Development[] {
  const cut = cutTips(formOf(ball, v), v.tip)
  // The thickness of the tape may just tip what `check` let pass.
  if (!cut) throw new Refusal(goreProblems(ball, v))
  const [low, high] = endsOf(cut.form)
  const part = (latitude: number) => say(tape.round(latitude) / v.gores)
  const [foot, head] = [cut.low ? 'widest place' : 'lower edge of the film', cut.high ? 'top' : 'upper edge']
  const gore = developGore({
    cut,
    count: v.gores,
    overlap: v.overlap,
    taped: { bottom: tape.round(low) / v.gores, top: tape.round(high) / v.gores },
    marks: [
      {
        code: 'hinge bottom',
        text: `Mark the ${foot} round the object into ${v.gores} parts of ${part(cut.low ? 0 : low)}; each gore hangs from a mark.`,
      },
      {
        code: 'hinge top',
        text: cut.high
          ? `Mark the top, and draw a line from each mark straight up to it; the tip ends ${say(tape.along(Math.PI / 2 - high))} short of it.`
          : `Mark the ${head} into ${v.gores} parts of ${part(high)}, each mark straight above one below.`,
      },
      { code: 'seam A', text: 'The seams come midway between the lines.' },
    ],
    notes: (strain) =>
      strainNotes(strain, facts.filmStretch, (limit) => `${goresWithin(strain, v.gores, limit)} gores stay inside it`),
  })
  if (v.cap === undefined) return [gore]
  const poles = (cut.low ? 1 : 0) + (cut.high ? 1 : 0)
  const cap = developDisc({
    part: 'cap',
    copies: poles,
    ball: ball.radius,
    radius: v.cap / 2,
    lap: undefined,
    marks: discMarks('the top, where the tips meet', v.cap / 2, say),
    notes: (own) => strainNotes(own, facts.filmStretch, () => 'a smaller cap lies flatter'),
  })
  return [gore, cap]
}

function developZones(ball: Ball, tape: Tape, v: DomeValues, facts: Facts, say: Say): Development[] {
  const step = (ball.high - ball.low) / v.zones
  const edges = Array.from({ length: v.zones + 1 }, (_, i) => (i === v.zones ? ball.high : ball.low + step * i))
  const pairs = edges.slice(1).map((high, i) => ({ low: edges[i] ?? 0, high, part: `zone ${i + 1}` }))
  const first = pairs[0]
  const last = pairs.at(-1)
  const isTop = (pair: typeof first) => pair === last && atPole(ball.high)
  const isBottom = (pair: typeof first) => pair === first && atPole(ball.low)
  const notes = (strain: Strain) =>
    strainNotes(strain, facts.filmStretch, (limit) => `${zonesWithin(ball, limit)} zones stay inside it`)
  const disc = (pair: { low: number; high: number; part: string }, where: string) => {
    const angle = pair.high - pair.low
    const radius = discRadius(ball.radius * Math.sin(angle), ball.radius * (1 - Math.cos(angle)))
    return developDisc({
      part: pair.part,
      copies: 1,
      ball: ball.radius,
      radius,
      lap: v.zones === 1 ? undefined : v.overlap,
      marks: discMarks(where, tape.along(angle), say),
      notes,
    })
  }
  const bands = pairs
    .filter((pair) => !isTop(pair) && !isBottom(pair))
    .map((pair, i, all): StackedBand => {
      const girth = (latitude: number) => 2 * Math.PI * ball.radius * Math.cos(latitude)
      const beside = (met: boolean, end: boolean) => (met ? 'band' : end ? 'disc' : 'nothing')
      return {
        part: pair.part,
        bottomGirth: girth(pair.low),
        topGirth: girth(pair.high),
        slant: 2 * ball.radius * Math.sin(step / 2),
        misfit: zoneMisfit(pair.low, pair.high),
        below: beside(i > 0, isBottom(first)),
        above: beside(i < all.length - 1, isTop(last)),
        bottomTape: tape.round(pair.low),
        topTape: tape.round(pair.high),
        bottomAt: placeOf(tape.along(pair.low), say),
        topAt: placeOf(tape.along(pair.high), say),
        notes,
      }
    })
  return [
    ...(first && isBottom(first) ? [disc(first, 'the lowest point')] : []),
    ...developStack({ bands, seams: v.seams, overlap: v.overlap }, say),
    ...(last && isTop(last) ? [disc(last, 'the top')] : []),
  ]
}

/** A level by its way along the side from the widest place, mm. */
function placeOf(arc: number, say: Say): string {
  if (Math.abs(arc) < 0.01) return 'where the object is widest'
  return `${say(Math.abs(arc))} along the side ${arc > 0 ? 'above' : 'below'} where the object is widest`
}

/** Strain of the girth at the share 0..1 of the way up the cone between two latitudes of a ball. */
function zoneMisfit(low: number, high: number): (share: number) => number {
  return (share) => {
    const cone = Math.cos(low) * (1 - share) + Math.cos(high) * share
    return Math.cos(low + (high - low) * share) / cone - 1
  }
}

/** The fewest zones of one height that strain no more than `limit`, a disc over either pole. */
function zonesWithin({ low, high }: Ball, limit: number): number {
  const most = 1000
  const shares = Array.from({ length: 63 }, (_, i) => (i + 1) / 64)
  let zones = 1
  while (zones < most) {
    const step = (high - low) / zones
    const lies = Array.from({ length: zones }, (_, i) => low + step * i).every((from) => {
      if (atPole(from) || atPole(from + step)) return 1 / Math.cos(step / 2) - 1 <= limit
      const misfit = zoneMisfit(from, from + step)
      return shares.every((share) => misfit(share) <= limit)
    })
    if (lies) break
    zones++
  }
  return zones
}

function discMarks(where: string, reach: number, say: Say) {
  const mark = (end: 'bottom' | 'top', way: string) => ({
    code: `hinge ${end}`,
    text: `Mark the object ${say(reach)} from ${where}, along the side ${way}.`,
  })
  return [mark('bottom', 'towards you'), mark('top', 'away from you')]
}

function zoneProblems({ low, high }: Ball, { zones, cap }: DomeValues): Problem[] {
  const whole = atPole(low) && atPole(high)
  return [
    ...(whole && zones === 1
      ? [
          {
            code: 'too_few_zones',
            field: 'zones',
            value: '1',
            limit: 'a whole ball takes a disc below and a disc on top, 2 or more',
            cure: 'Enter 4 or more; more of them lie flatter.',
          },
        ]
      : []),
    ...(cap === undefined
      ? []
      : [
          {
            code: 'contradiction',
            field: 'cap',
            value: `${cap} mm beside cover zones`,
            limit: 'zones have a disc over the top already',
            cure: 'Leave cap out.',
          },
        ]),
  ]
}

function goreProblems(ball: Ball, v: DomeValues): Problem[] {
  const few = tooFewGores(v.gores)
  if (few.length > 0) return few
  const form = formOf(ball, v)
  const cut = cutTips(form, v.tip)
  if (!cut) {
    const widest = Math.max(...form.knots.map((f) => 2 * form.halfWidth(f)))
    const most = Math.floor((widest * v.gores) / v.tip)
    return [
      {
        code: 'gores_too_narrow',
        field: 'gores',
        value: `${v.gores}, which makes each ${widest.toFixed(1)} mm wide at most`,
        limit: `the least is the width of a tip, ${v.tip} mm`,
        cure: most > 4 ? `Enter fewer than ${most}, or choose zones.` : 'Choose zones.',
      },
    ]
  }
  if (v.cap === undefined) return []
  if (!cut.low && !cut.high) {
    return [
      {
        code: 'no_pole',
        field: 'cap',
        value: `${v.cap} mm`,
        limit: 'no tips meet on this part of the ball, so there is nothing to cover',
        cure: 'Leave cap out.',
      },
    ]
  }
  const [low, high] = endsOf(cut.form)
  const hole = 2 * ball.radius * Math.max(cut.high ? Math.PI / 2 - high : 0, cut.low ? Math.PI / 2 + low : 0)
  const most = 2 * Math.SQRT2 * ball.radius
  const short = v.cap <= hole
  if (!short && v.cap < most) return []
  return [
    {
      code: short ? 'too_small' : 'too_big',
      field: 'cap',
      value: `${v.cap} mm`,
      limit: short
        ? `the cut tips leave ${hole.toFixed(1)} mm bare round the top`
        : `a disc of ${most.toFixed(1)} mm has the area of half the ball`,
      cure: short ? `Enter ${Math.ceil(hole + 10)} mm or more, or a smaller tip.` : 'Enter less.',
    },
  ]
}
