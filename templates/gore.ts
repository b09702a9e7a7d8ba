import { fittedCurve } from '../src/geometry/fit.ts'
import { pathLength } from '../src/geometry/length.ts'
import {
  arcTo,
  closedPath,
  cubicTo,
  endOf,
  lineTo,
  openPath,
  type Path,
  reversed,
  type Segment,
} from '../src/geometry/path.ts'
import { add, type Point, point, scaled } from '../src/geometry/point.ts'
import { mirrorAcross, transform } from '../src/geometry/transform.ts'
import type { Problem } from '../src/measure/problem.ts'
import type { Development } from '../src/panel/development.ts'
import type { ObjectMark } from '../src/panel/panel.ts'
import type { Strain } from '../src/panel/strain.ts'
import { tapedBy } from '../src/panel/taped.ts'
import { strainOf, stripRule, stripStrain } from './strain-rules.ts'

/** Largest distance of a long edge from the true curve, mm; far below what a blade can follow. */
const edgeTolerance = 1e-6

/** With fewer gores one would be wider than a quarter of the girth. */
const fewestGores = 4

/** One of several equal pieces that run up a round body, laid out about its upright middle line. Lengths in mm. */
export interface GoreForm {
  /** flat place at `share` (-1..1) of the way from the middle line to the right edge, at the place `t` up the side */
  readonly place: (share: number, t: number) => Point
  /** its derivative by t */
  readonly rate: (share: number, t: number) => Point
  /** radians by which the level line turns to the left between the middle and the right edge; 0 where it is straight */
  readonly turn: (t: number) => number
  /** along the level line from the middle to the right edge */
  readonly halfWidth: (t: number) => number
  /** product of both curvatures of the object, 1/mm^2 */
  readonly curvature: (t: number) => number
  /** from the lower end to the upper one; the form is smooth between two of them */
  readonly knots: readonly number[]
}

/** A gore that ends where it is wide enough for a blade. */
export interface CutGore {
  readonly form: GoreForm
  /** was a tip cut off at the lower end, at the upper end? */
  readonly low: boolean
  readonly high: boolean
}

/** Cuts both ends off where the gore is narrower than `tip` mm; undefined where it is narrower from end to end. */
export function cutTips(form: GoreForm, tip: number): CutGore | undefined {
  const [first, last] = endsOf(form)
  const low = firstWide(form, first, last, tip)
  const high = firstWide(form, last, first, tip)
  if (low === undefined || high === undefined || low >= high) return undefined
  const slack = 1e-6 * (last - first)
  const knots = [low, ...form.knots.filter((t) => t > low + slack && t < high - slack), high]
  return { form: { ...form, knots }, low: low !== first, high: high !== last }
}

export function endsOf({ knots }: GoreForm): readonly [number, number] {
  return [knots[0] ?? 0, knots.at(-1) ?? 0]
}

/** The first place from `from` towards `to` where the gore is `tip` mm wide. */
function firstWide(form: GoreForm, from: number, to: number, tip: number): number | undefined {
  const steps = 512
  const at = (i: number) => from + ((to - from) * i) / steps
  const wide = (t: number) => 2 * form.halfWidth(t) >= tip
  if (wide(from)) return from
  let step = 1
  while (step <= steps && !wide(at(step))) step++
  if (step > steps) return undefined
  let [narrow, enough] = [at(step - 1), at(step)]
  for (let i = 0; i < 60; i++) {
    const middle = (narrow + enough) / 2
    if (wide(middle)) enough = middle
    else narrow = middle
  }
  return enough
}

/** Places all the way up, every knot among them. */
export function placesUp({ knots }: GoreForm): number[] {
  const each = 32
  return knots.flatMap((knot, i) => {
    const next = knots[i + 1]
    return next === undefined ? [knot] : Array.from({ length: each }, (_, k) => knot + ((next - knot) * k) / each)
  })
}

export interface Gore {
  readonly cut: CutGore
  /** how many go round */
  readonly count: number
  /** mm by which the right edge laps over the left one of the next */
  readonly overlap: number
  /** what a tape round the object reads over one gore at its lower and its upper end, mm */
  readonly taped: { readonly bottom: number; readonly top: number }
  readonly marks: readonly ObjectMark[]
  readonly notes: (strain: Strain) => readonly string[]
}

/** The gore as a panel, with its strain. Both long edges are mirror images, so neighbours meet along their length. */
export function developGore({ cut, count, overlap, taped, marks, notes }: Gore): Development {
  const { form } = cut
  const strain = goreStrain(form)
  const [low, high] = endsOf(form)
  const right = rightEdge(form)
  const left = transform(reversed(right), mirrorAcross(0))
  const bottom = openPath(endOf(left), level(right.start, 2 * form.turn(low)))
  const top = openPath(endOf(right), level(left.start, -2 * form.turn(high)))
  const height = form.place(0, high).y - form.place(0, low).y
  // A cut tip meets the other tips, so no allowance is given to it.
  const met = (tip: boolean) => (tip ? { lap: 0 } : {})
  return {
    part: 'gore',
    copies: count,
    edges: [
      { name: 'bottom', path: bottom, ...tapedBy([{ film: pathLength(bottom), tape: taped.bottom }]), ...met(cut.low) },
      { name: 'right', path: right, lap: overlap, seam: 'A' },
      { name: 'top', path: top, ...tapedBy([{ film: pathLength(top), tape: taped.top }]), ...met(cut.high) },
      { name: 'left', path: left, lap: 0, seam: 'A' },
    ],
    holes: [],
    hinge: { from: form.place(0, low), to: form.place(0, high) },
    strain,
    labelSpots: [0.5, 0.4, 0.3, 0.2, 0.1].flatMap((share) => {
      const y = form.place(0, low).y + share * height
      return [
        { at: point(0, y), turn: 0 },
        { at: point(-3.5, y), turn: Math.PI / 2 },
      ]
    }),
    marks,
    notes: notes(strain),
  }
}

/** The right edge from the lower end to the upper one. */
function rightEdge(form: GoreForm): Path {
  const curves = form.knots.slice(1).map((knot, i) =>
    fittedCurve(
      (t) => form.place(1, t),
      (t) => form.rate(1, t),
      form.knots[i] ?? 0,
      knot,
      edgeTolerance,
    ),
  )
  const [low] = endsOf(form)
  return openPath(form.place(1, low), ...curves.flatMap((curve) => curve.segments))
}

function level(to: Point, sweep: number): Segment {
  return sweep === 0 ? lineTo(to) : arcTo(to, sweep)
}

/** By the strip rule with the middle line true: worst at the edges, shown in 6 x 16 patches by their middles. */
function goreStrain(form: GoreForm): Strain {
  const [columns, rows] = [6, 16]
  const [low, high] = endsOf(form)
  const up = (row: number) => low + ((high - low) * row) / rows
  const cells = Array.from({ length: columns * rows }, (_, i) => {
    const row = Math.floor(i / columns)
    const share = (column: number) => (2 * column) / columns - 1
    const middle = up(row + 0.5)
    const aside = share((i % columns) + 0.5) * form.halfWidth(middle)
    return {
      path: patch(form, [share(i % columns), share((i % columns) + 1)], [up(row), up(row + 1)]),
      strain: stripStrain(form.curvature(middle), 2 * aside),
    }
  })
  // The curvature may jump at a knot, so that is looked at from both sides.
  const beside = 1e-9 * (high - low)
  const edges = placesUp(form)
    .flatMap((t) => [t, Math.min(high, t + beside)])
    .map((t) => stripStrain(form.curvature(t), 2 * form.halfWidth(t)))
  return strainOf(edges, cells, stripRule)
}

function patch(form: GoreForm, [near, far]: readonly [number, number], [low, high]: readonly [number, number]): Path {
  const side = (share: number, from: number, to: number): Segment => {
    const [start, end] = [form.place(share, from), form.place(share, to)]
    const third = (to - from) / 3
    const near = add(start, scaled(form.rate(share, from), third))
    return cubicTo(near, add(end, scaled(form.rate(share, to), -third)), end)
  }
  return closedPath(form.place(near, low), [
    level(form.place(far, low), (far - near) * form.turn(low)),
    side(far, low, high),
    level(form.place(near, high), (near - far) * form.turn(high)),
    side(near, high, low),
  ])
}

/** How many gores keep the strain of `count` within `limit`: it falls with the square of their number. */
export function goresWithin(strain: Pick<Strain, 'stretch' | 'shrink'>, count: number, limit: number): number {
  const worst = Math.max(strain.stretch, -strain.shrink)
  return Math.max(fewestGores, Math.ceil(count * Math.sqrt(worst / limit) - 1e-9))
}

export function tooFewGores(count: number): Problem[] {
  if (count >= fewestGores) return []
  return [
    {
      code: 'too_few_gores',
      field: 'gores',
      value: `${count}, each ${count === 1 ? 'all' : `1/${count}`} of the girth`,
      limit: `a gore is at most a quarter of the girth wide, so that takes ${fewestGores} or more`,
      cure: `Enter ${fewestGores} or more; more of them lie flatter.`,
    },
  ]
}
