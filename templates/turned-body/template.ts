import { diameterFromGirth } from '../../src/measure/girth.ts'
import { type Problem, Refusal } from '../../src/measure/problem.ts'
import { defineTemplate, type Facts, type Say, type Values } from '../../src/panel/template.ts'
import { cutTips, developGore, endsOf, type GoreForm, goresWithin, placesUp, tooFewGores } from '../gore.ts'
import { overlapSpec } from '../overlap.ts'
import { developStack, type StackedBand, seamSpec } from '../stacked-bands.ts'
import { strainNotes } from '../strain-rules.ts'
import { departureOf, departureTold } from './departure.ts'
import { type Profile, profileOf, type Station, slantsOf } from './profile.ts'
import { isEdge, raised } from './raised.ts'
import { turnedSketch } from './sketch.ts'
import { stationProblems } from './station-problems.ts'

const specs = {
  stations: {
    kind: 'list',
    fewest: 2,
    help: 'girths from the lower edge of the film up to its upper edge: where the side bends, and where it is widest and slimmest, for between two of them it never swells; the more, the closer',
    item: {
      girth: { kind: 'length', min: 5, max: 20000, letter: 'A', help: 'round the object there, tape level' },
      height: {
        kind: 'length',
        min: 0,
        max: 10000,
        optional: true,
        letter: 'B',
        help: 'straight up from the base to the tape; or give along',
      },
      along: {
        kind: 'length',
        min: 0,
        max: 10000,
        optional: true,
        letter: 'S',
        help: 'along the side from the first tape to this one, 0 for the first; in place of height',
      },
    },
  },
  cover: {
    kind: 'choice',
    options: ['bands', 'gores'],
    standard: 'bands',
    help: 'bands: a ring of film from each station to the next; gores: upright pieces, pointed where the body is slim',
  },
  sides: {
    kind: 'choice',
    options: ['curved', 'straight'],
    standard: 'curved',
    help: 'how the side runs between two stations; straight where the body is made of cones, which bands then fit exactly',
  },
  seams: seamSpec,
  gores: { kind: 'number', min: 1, max: 200, whole: true, standard: 8, help: 'for gores: how many go round' },
  overlap: overlapSpec('how far each upright seam laps'),
  tip: {
    kind: 'length',
    min: 1,
    max: 50,
    standard: 4,
    help: 'for gores: a tip is cut off where it is this wide, because a blade cannot cut a needle',
  },
} as const

export type TurnedValues = Values<typeof specs>

export const turnedBody = defineTemplate({
  id: 'turned-body',
  title: 'Turned body',
  when: 'Round an object that bulges or narrows as if turned on a lathe: a vase, a bowl, the shoulder of a flask.',
  specs,
  edges: ['bottom', 'top'],
  example: {
    measures: {
      stations: [
        { girth: '220 mm', height: '0 mm' },
        { girth: '300 mm', height: '40 mm' },
        { girth: '360 mm', height: '90 mm' },
        { girth: '330 mm', height: '140 mm' },
        { girth: '250 mm', height: '180 mm' },
        { girth: '240 mm', height: '200 mm' },
      ],
    },
    shows:
      'Five bands of 41.98, 50.90, 50.23, 41.98 and 20.06 mm; laid out, the lowest is part of a ring with the inner radius 115.4 mm and the angle 109.2 degrees, before film thickness, overlap and allowance.',
  },
  check: (v) => {
    const problems = stationProblems(v.stations)
    if (v.cover === 'bands') return problems
    const own = [...tooFewGores(v.gores), ...straightGores(v)]
    return problems.length + own.length > 0 ? [...problems, ...own] : goreProblems(v.stations, v)
  },
  doubts: (v, _facts, say) => {
    const told = sideTold(v, say)
    return told?.isDoubt ? [{ text: told.text, field: 'stations' }] : []
  },
  develop: (v, facts, say) => {
    const bare = v.stations.map((station) => ({
      ...station,
      girth: Math.PI * diameterFromGirth(station.girth, facts.tapeThickness),
    }))
    return v.cover === 'bands' ? developBands(bare, v, facts, say) : [developGores(bare, v, facts, say)]
  },
  sketch: turnedSketch,
})

/** @param bare the stations with the girths of the body itself */
function developBands(bare: readonly Station[], v: TurnedValues, facts: Facts, say: Say) {
  const film = raised(bare, facts.filmThickness, v.sides)
  const profile = profileOf(film)
  const slants = slantsOf(film)
  const bands = slants.map((slant, i): StackedBand => {
    const [low, high] = [film[i]?.girth ?? 0, film[i + 1]?.girth ?? 0]
    const [from, to] = [profile.knots[i] ?? 0, profile.knots[i + 1] ?? 0]
    const extra = v.sides === 'straight' ? 0 : profile.arc(to) - profile.arc(from) - slant
    return {
      part: `band ${i + 1}`,
      bottomGirth: low,
      topGirth: high,
      slant,
      misfit: v.sides === 'straight' ? () => 0 : misfitOf(profile, profile.arc, from, to),
      below: i === 0 ? 'nothing' : 'band',
      above: i === slants.length - 1 ? 'nothing' : 'band',
      bottomTape: v.stations[i]?.girth ?? 0,
      topTape: v.stations[i + 1]?.girth ?? 0,
      bottomAt: placeOf(v.stations[i], say),
      topAt: placeOf(v.stations[i + 1], say),
      notes: (strain) => [
        ...strainNotes(strain, facts.filmStretch, (limit) => {
          const parts = partsWithin(profile, from, to, limit)
          const more = `${parts - 1} more ${parts === 2 ? 'girth' : 'girths'}, evenly spaced`
          return `measure ${more} between ${placeOf(v.stations[i], say)} and ${placeOf(v.stations[i + 1], say)}, for ${parts} bands there that stay inside it`
        }),
        ...(extra > 0.2
          ? [`The curved side is about ${extra.toFixed(1)} mm longer than this band: a station between closes that.`]
          : []),
      ],
    }
  })
  return developStack({ bands, seams: v.seams, overlap: v.overlap }, say)
}

function placeOf(station: Station | undefined, say: Say): string {
  return station?.along === undefined ? `${say(station?.height ?? 0)} up` : `${say(station.along)} along the side`
}

/** What else the side may be than it is drawn; a doubt where the laps of the seams do not make up for it. */
function sideTold(v: TurnedValues, say: Say): { readonly text: string; readonly isDoubt: boolean } | undefined {
  const { stations, cover, sides } = v
  if (cover === 'bands' && sides === 'straight') return undefined
  const drawn = profileOf(stations)
  // The straight side of a band is the band itself, whose strain is told already.
  const told = departureTold(departureOf(stations, drawn, cover === 'gores'), drawn, placing(stations, say), say)
  // A gore that is off by half its lap still laps by the other half.
  return told && { text: told.text, isDoubt: cover === 'bands' || told.apart > (v.gores * v.overlap) / 2 }
}

/** A place of the drawn side in words, told as its stations are. */
const placing = (stations: readonly Station[], say: Say) => (mm: number) =>
  placeOf(stations[0]?.along === undefined ? { girth: 0, height: mm } : { girth: 0, along: mm }, say)

/**
 * Strain of the girth at the share 0..1 of the way up a cone between two places of the side, told by the place that
 * lies at the same share of the curved way.
 */
function misfitOf({ girth }: Profile, arc: Profile['arc'], from: number, to: number): (share: number) => number {
  const [low, high, first, last] = [girth(from), girth(to), arc(from), arc(to)]
  return (share) => {
    const t = from + (to - from) * share
    return girth(t) / (low + ((high - low) * (arc(t) - first)) / (last - first)) - 1
  }
}

/** Into how many bands a stretch of the side must be parted so that none strains more than `limit`. */
function partsWithin(profile: Profile, from: number, to: number, limit: number): number {
  const most = 200
  const shares = Array.from({ length: 31 }, (_, i) => (i + 1) / 32)
  const arc = tabled(profile.arc, from, to)
  let parts = 2
  while (parts < most) {
    const step = (to - from) / parts
    const worst = Array.from({ length: parts }, (_, i) =>
      misfitOf(profile, arc, from + step * i, from + step * (i + 1)),
    )
    if (worst.every((misfit) => shares.every((share) => Math.abs(misfit(share)) <= limit))) break
    parts++
  }
  return parts
}

/** A smooth function between two places, from a table: for where it is asked for very often. */
function tabled(value: (t: number) => number, from: number, to: number): (t: number) => number {
  const steps = 512
  const table = Array.from({ length: steps + 1 }, (_, i) => value(from + ((to - from) * i) / steps))
  return (t) => {
    const at = ((t - from) / (to - from)) * steps
    const i = Math.min(steps - 1, Math.max(0, Math.floor(at)))
    const [a, b] = [table[i] ?? 0, table[i + 1] ?? 0]
    return a + (b - a) * (at - i)
  }
}

/** A gore along the arc of the side, half as wide as its share of the girth there. */
function goreForm(profile: Profile, count: number): GoreForm {
  return {
    place: (share, t) => ({ x: (share * profile.girth(t)) / (2 * count), y: profile.arc(t) }),
    rate: (share, t) => ({ x: (share * profile.girthRate(t)) / (2 * count), y: profile.arcRate(t) }),
    turn: () => 0,
    halfWidth: (t) => profile.girth(t) / (2 * count),
    curvature: profile.curvature,
    knots: profile.knots,
  }
}

/** @param bare the stations with the girths of the body itself */
function developGores(bare: readonly Station[], v: TurnedValues, facts: Facts, say: Say) {
  const film = raised(bare, facts.filmThickness)
  const profile = profileOf(film)
  const drawn = profileOf(v.stations)
  const side = sideTold(v, say)
  const taped = profileOf(raised(bare, facts.tapeThickness))
  const cut = cutTips(goreForm(profile, v.gores), v.tip)
  // Film thickness may just tip what `check` let pass.
  if (!cut) throw new Refusal(goreProblems(film, v))
  const [low, high] = endsOf(cut.form)
  // What a tape reads at a place of the film's, round it and up the side to it.
  const round = (t: number) => drawn.girth(sameShare(profile.knots, drawn.knots, t))
  const reading = (t: number) => taped.arc(sameShare(profile.knots, taped.knots, t))
  const [first, last] = [reading(profile.knots[0] ?? 0), reading(profile.knots.at(-1) ?? 0)]
  const [base, rim] = [v.stations[0]?.girth ?? 0, v.stations.at(-1)?.girth ?? 0]
  const part = (girth: number) => say(girth / v.gores)
  return developGore({
    cut,
    count: v.gores,
    overlap: v.overlap,
    taped: { bottom: round(low) / v.gores, top: round(high) / v.gores },
    marks: [
      {
        code: 'hinge bottom',
        text: cut.low
          ? `The tips end ${say(reading(low) - first)} up from the first station; each gore hangs from a line straight up from it.`
          : `Mark the lower edge of the film round the object into ${v.gores} parts of ${part(base)}; each gore hangs from a mark.`,
      },
      {
        code: 'hinge top',
        text: cut.high
          ? `Draw a line from each mark straight up the side; the tips end ${say(last - reading(high))} short of the last station.`
          : `Mark the upper edge into ${v.gores} parts of ${part(rim)}, each mark straight above one at the lower edge.`,
      },
      { code: 'seam A', text: 'The seams come midway between the marks, all the way up.' },
    ],
    notes: (strain) => [
      `Between the stations the side is drawn, not measured: smooth, and with no bulge of its own.${side && !side.isDoubt ? ` It may differ: ${side.text}` : ''}`,
      ...strainNotes(
        strain,
        facts.filmStretch,
        (limit) => `${goresWithin(strain, v.gores, limit)} gores stay inside it`,
      ),
    ],
  })
}

/** The place at the same share of the way between the same two stations. */
function sameShare(from: readonly number[], to: readonly number[], t: number): number {
  const i = Math.max(
    1,
    from.findIndex((knot, k) => k > 0 && t <= knot),
  )
  const [a, b, c, d] = [from[i - 1] ?? 0, from[i] ?? 0, to[i - 1] ?? 0, to[i] ?? 0]
  return c + ((d - c) * (t - a)) / (b - a)
}

function straightGores({ sides }: TurnedValues): Problem[] {
  if (sides === 'curved') return []
  return [
    {
      code: 'contradiction',
      field: 'sides',
      value: 'straight, beside cover gores',
      limit: 'gores follow a smooth side',
      cure: 'Cover straight sides with bands, which fit them exactly, or leave sides out.',
    },
  ]
}

/** A smooth side that cannot be, or gores too slim to cut. */
function goreProblems(stations: readonly Station[], { gores, tip }: TurnedValues): Problem[] {
  const profile = profileOf(stations)
  const form = goreForm(profile, gores)
  const steep = placesUp(form).find(
    (t) => Math.abs(profile.girthRate(t)) > 2 * Math.PI * profile.arcRate(t) * (1 + 1e-9) || !(profile.girth(t) > 0),
  )
  if (steep !== undefined) {
    const i = Math.max(
      1,
      profile.knots.findIndex((knot) => knot >= steep),
    )
    return [
      {
        code: 'too_few_stations',
        field: 'stations',
        value: `none between stations[${i - 1}] and stations[${i}]`,
        limit: `a smooth side through them would change the girth by ${Math.abs(profile.girthRate(steep)).toFixed(2)} mm a mm there, and no side changes it by more than 6.28 mm a mm`,
        cure: 'Measure one more girth between them, and repeat these two.',
      },
    ]
  }
  const edge = profile.knots.findIndex((t) => isEdge(profile, t))
  if (edge >= 0) {
    return [
      {
        code: 'sharp_edge',
        field: `stations[${edge}]`,
        value: 'on a sharp edge, where a level side meets an upright one or turns back',
        limit: 'gores follow a smooth side',
        cure: 'Choose bands, or let the gores end at that edge.',
      },
    ]
  }
  const cut = cutTips(form, tip)
  const narrow = cut
    ? Math.min(...placesUp(cut.form).map((t) => 2 * form.halfWidth(t)))
    : Math.max(...placesUp(form).map((t) => 2 * form.halfWidth(t)))
  if (cut && narrow >= tip * (1 - 1e-9)) return []
  const most = Math.floor((narrow * gores) / tip)
  return [
    {
      code: 'gores_too_narrow',
      field: 'gores',
      value: `${gores}, which makes each ${narrow.toFixed(1)} mm wide at ${cut ? 'the neck' : 'most'}`,
      limit: `the least is the width of a tip, ${tip} mm`,
      cure: most >= 4 ? `Enter ${most} or fewer, or choose bands.` : 'Choose bands.',
    },
  ]
}
