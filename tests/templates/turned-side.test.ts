import fc from 'fast-check'
import { expect, test } from 'vitest'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { keptShape } from '../../templates/turned-body/kept-shape.ts'
import { profileOf, type Station } from '../../templates/turned-body/profile.ts'
import { raised } from '../../templates/turned-body/raised.ts'
import { spline } from '../../templates/turned-body/spline.ts'
import { turnedBody } from '../../templates/turned-body/template.ts'
import { mm, say, thin } from './measures.ts'

const none = { cover: 'bands', sides: 'curved', seams: 'half round', gores: 8, overlap: 6, tip: 4 }
const byHeight = (...list: readonly (readonly [z: number, girth: number])[]) =>
  list.map(([height, girth]) => ({ girth, height, along: undefined }))
const byAlong = (...list: readonly (readonly [along: number, girth: number])[]) =>
  list.map(([along, girth]) => ({ girth, along, height: undefined }))

type Values = Parameters<typeof turnedBody.develop>[0]
const valuesOf = (values: object) => ({ ...none, ...values }) as Values
const develop = (values: object, facts = thin) => turnedBody.develop(valuesOf(values), facts, say)
const doubtsOf = (values: object) => turnedBody.doubts?.(valuesOf(values), thin, say) ?? []
const goreOf = (stations: readonly Station[]) => develop({ stations, cover: 'gores' })[0] ?? expect.fail('no gore')
const edgeOf = (panel: ReturnType<typeof goreOf>, name: string) =>
  panel.edges.find((e) => e.name === name)?.path ?? expect.fail(`no ${name} edge`)

/** A tin of 300 mm round with a shoulder, measured at its foot, its shoulder and its neck. */
const tin = byHeight([0, 300], [200, 300], [230, 150])

test('gores of an upright side with a shoulder are as wide as the girth that was measured, 37.5 mm, and no wider', () => {
  const right = edgeOf(goreOf(tin), 'right')
  const widths = Array.from({ length: 400 }, (_, i) => 2 * stationAt(right, (pathLength(right) * i) / 400).at.x)
  expect(Math.max(...widths)).toBeCloseTo(300 / 8, 9)
  // Upright to the shoulder, all 200 mm of it.
  for (const width of widths.slice(0, 300)) expect(width).toBeCloseTo(37.5, 9)
  const [band] = develop({ stations: tin })
  expect([band?.strain?.stretch, band?.strain?.shrink]).toEqual([0, 0])
})

test('what else the side could be is said in words, with the place of the girth that would tell', () => {
  const told = (values: object) => doubtsOf({ stations: tin, ...values }).map(({ field, text }) => `${field}: ${text}`)
  const [gore] = told({ cover: 'gores' })
  const found = /most of all ([\d.]+) mm up: a freely bent side would be ([\d.]+) mm more round/.exec(gore ?? '')
  // A parabola through 300, 300 and 150 after 0, 200 and 238.36 mm of side is widest halfway to 200: by hand
  // 150 / (38.36 x 238.36) x 100^2 = 164.0 mm.
  expect(Math.abs(Number(found?.[1]) - 109)).toBeLessThan(3)
  expect(Number(found?.[2])).toBeCloseTo(164, 0)
  expect(told({})[0]).toMatch(/^stations: .*most of all .* up.*Measure a girth there/)
  expect(told({ sides: 'straight' }).join(' ')).not.toMatch(/is a guess/)
  const closer = byHeight([0, 300], [100, 300], [190, 300], [200, 296], [208, 284], [216, 262], [224, 222], [228, 180])
  const note = goreOf(closer).notes.join(' ')
  expect(Math.abs(Number(/bent side would be ([\d.]+)/.exec(note)?.[1] ?? 0))).toBeLessThan(10)
})

test('what the laps of the gores make up for is a note, and past half of them a doubt', () => {
  // The widest place stands at 90: a straight side would be 10.7 mm less round, which is 1.3 mm a gore.
  const stations = byHeight([0, 240], [40, 300], [90, 360], [140, 330], [180, 250], [200, 240])
  const gores = (overlap: number) => ({ stations, cover: 'gores', gores: 8, overlap })
  expect(doubtsOf(gores(6))).toEqual([])
  expect(develop(gores(6))[0]?.notes.join(' ')).toMatch(/It may differ: .* 10\.7\d* mm less round/)
  expect(doubtsOf(gores(2))).toMatchObject([{ field: 'stations' }])
  expect(develop(gores(2))[0]?.notes.join(' ')).not.toMatch(/It may differ/)
})

const readings = fc.array(fc.record({ step: mm(5, 120), girth: mm(60, 900) }), { minLength: 2, maxLength: 9 })

test('between two readings the girth never leaves what lies between them, and it is exact at each', () => {
  let looked = 0
  fc.assert(
    fc.property(readings, fc.boolean(), fc.boolean(), (list, up, level) => {
      let at = 0
      const stations = list.map(({ step, girth }, i): Station => {
        at += i === 0 ? 0 : up ? step : Math.max(step, 140)
        const own = level && i % 3 === 1 ? (list[i - 1]?.girth ?? girth) : girth
        return up ? { girth: own, height: at } : { girth: own, along: at }
      })
      const { girth, place, knots } = profileOf(stations)
      knots.slice(1).forEach((to, i) => {
        const [a, b] = [stations[i]?.girth ?? 0, stations[i + 1]?.girth ?? 0]
        const from = knots[i] ?? 0
        expect(girth(from)).toBeCloseTo(a, 9)
        expect(girth(to)).toBeCloseTo(b, 9)
        let [last, low, least] = [a, place(from), 0]
        for (let k = 1; k <= 50; k++) {
          const t = from + ((to - from) * k) / 50
          const own = girth(t)
          // All the way up or all the way down, within both, and never downward along the side.
          const room = [(own - last) * Math.sign(b - a), Math.max(a, b) - own, own - Math.min(a, b), place(t) - low]
          least = Math.min(least, ...room)
          ;[last, low] = [own, place(t)]
          looked++
        }
        expect(least).toBeGreaterThan(-1e-9)
      })
    }),
    { numRuns: 150 },
  )
  expect(looked).toBeGreaterThan(10_000)
})

test('cones and cylinders come out exactly, and so does a straight stretch between three stations of a flask', () => {
  const steps = fc.array(mm(8, 90), { minLength: 1, maxLength: 7 })
  fc.assert(
    fc.property(mm(200, 900), mm(-2, 2), steps, fc.boolean(), (first, lean, list, up) => {
      const places = list.reduce<number[]>((all, step) => all.concat((all.at(-1) ?? 0) + step), [0])
      const tall = places.at(-1) ?? 0
      fc.pre(first + lean * tall > 80)
      const point = (at: number) => [at, first + lean * at] as const
      const stations = up ? byHeight(...places.map(point)) : byAlong(...places.map(point))
      const side = profileOf(stations)
      const length = up ? tall * Math.hypot(1, lean / (2 * Math.PI)) : tall
      for (const share of [0.07, 0.31, 0.5, 0.83]) {
        const t = share * (side.knots.at(-1) ?? 0)
        expect(side.girth(t)).toBeCloseTo(first + lean * side.place(t), 8)
        expect(Math.abs(side.curvature(t))).toBeLessThan(1e-9)
      }
      expect(side.arc(side.knots.at(-1) ?? 0)).toBeCloseTo(length, 8)
    }),
    { numRuns: 60 },
  )
  // Upright to 120, a cone from 120 to 200 with a station on it, upright again.
  const flask = byHeight([0, 302], [60, 302], [120, 302], [160, 214], [200, 126], [220, 126], [240, 126])
  const side = profileOf(flask)
  for (const t of [10, 50, 90, 119]) expect(side.girth(t)).toBe(302)
  const neck = side.knots.at(-2) ?? 0
  for (const t of [neck - 19, neck - 5, neck + 11]) expect(side.girth(t)).toBe(126)
})

test('a shelf of readings on a line stays a line beside any end: three stations of a cone before a shoulder', () => {
  const curve = keptShape([0, 10, 20, 25, 30], [0, 5, 10, 20, 20])
  for (const x of [1, 4, 9]) {
    expect(curve(x).value).toBeCloseTo(x / 2, 12)
    expect(curve(x).bend).toBeCloseTo(0, 12)
  }
})

/** Radius of a bottle, mm: upright to 130, a shoulder as half a cosine to 180, a neck of 28 mm across to 220. */
const bottle = (z: number) => (z <= 130 ? 35 : z >= 180 ? 14 : 14 + 10.5 * (1 + Math.cos((Math.PI * (z - 130)) / 50)))

test('a bottle by 5, 7 and 12 girths, evenly spaced: at most 35.2, 13.3 and 2.1 mm off, none of it a bulge', () => {
  const worst = (count: number, curve?: typeof keptShape) => {
    const heights = Array.from({ length: count }, (_, i) => (220 * i) / (count - 1))
    const side = profileOf(byHeight(...heights.map((z) => [z, 2 * Math.PI * bottle(z)] as const)), curve)
    const long = side.knots.at(-1) ?? 0
    const seen = Array.from({ length: 2001 }, (_, i) => (long * i) / 2000)
    return {
      off: Math.max(...seen.map((t) => Math.abs(side.girth(t) - 2 * Math.PI * bottle(side.place(t))))),
      most: Math.max(...seen.map((t) => side.girth(t))),
    }
  }
  const found = [5, 7, 12].map((count) => worst(count))
  found.forEach(({ off, most }, i) => {
    expect(off).toBeCloseTo([35.2, 13.3, 2.1][i] ?? 0, 1)
    expect(most).toBeCloseTo(70 * Math.PI, 9)
  })
  // The free spline is farther off, and swells past the body.
  const free = [5, 7, 12].map((count) => worst(count, spline))
  for (const [i, { off }] of free.entries()) expect(off).toBeGreaterThan(found[i]?.off ?? 0)
  for (const { most } of free.slice(0, 2)) expect(most).toBeGreaterThan(70 * Math.PI + 1)
})

test('rates of the curve are those of its own values, by differences, and it has one slope at each place', () => {
  fc.assert(
    fc.property(readings, (list) => {
      const places = list.reduce<number[]>((all, { step }) => all.concat((all.at(-1) ?? -step) + step), [])
      const curve = keptShape(
        places,
        list.map(({ girth }) => girth),
      )
      const h = 1e-4
      places.slice(1).forEach((to, i) => {
        const x = (places[i] ?? 0) * 0.6 + to * 0.4
        expect((curve(x + h).value - curve(x - h).value) / (2 * h)).toBeCloseTo(curve(x).slope, 3)
        expect((curve(x + h).slope - curve(x - h).slope) / (2 * h)).toBeCloseTo(curve(x).bend, 3)
        if (i + 2 < places.length) expect(curve(to + 1e-9).slope).toBeCloseTo(curve(to).slope, 4)
      })
    }),
    { numRuns: 60 },
  )
})

test('a level lid on an upright side is a sharp edge, which gores are refused over and bands go round', () => {
  const lidded = byHeight([0, 300], [100, 300], [100, 120])
  expect(turnedBody.check(valuesOf({ stations: lidded, cover: 'gores' }))).toMatchObject([
    { code: 'sharp_edge', field: 'stations[1]' },
  ])
  expect(turnedBody.check(valuesOf({ stations: lidded }))).toEqual([])
  const [side, lid] = develop({ stations: lidded })
  expect([side, lid].map((band) => [band?.strain?.stretch, band?.strain?.shrink])).toEqual([
    [0, 0],
    [0, 0],
  ])
})

const degree = Math.PI / 180

test('a sheet of 2 mm on a ball of 100 lies about a ball of 101, its way along the side longer by a hundredth', () => {
  for (const way of ['height', 'along'] as const) {
    const angles = Array.from({ length: 21 }, (_, i) => (-40 + 5 * i) * degree)
    const girth = (f: number) => 200 * Math.PI * Math.cos(f)
    const ball =
      way === 'height'
        ? byHeight(...angles.map((f) => [100 * Math.sin(f) + 100, girth(f)] as const))
        : byAlong(...angles.map((f) => [100 * (f + 40 * degree), girth(f)] as const))
    const film = raised(ball, 2)
    angles.forEach((f, i) => {
      expect(film[i]?.girth).toBeCloseTo(202 * Math.PI * Math.cos(f), 2)
      if (way === 'height') expect(film[i]?.height).toBeCloseTo(101 * Math.sin(f) + 100, 2)
      else expect(film[i]?.along).toBeCloseTo(101 * (f + 40 * degree), 2)
    })
  }
})

test('on straight sides the middles of two bands meet where both cones, moved out, cross', () => {
  // Upright to 100, then in at 45 degrees: 1 mm out, the two lines cross 1 mm out and tan(22.5) = 0.414214 mm up.
  const [r, R] = [60, 100]
  const film = raised(
    byHeight([0, 2 * Math.PI * R], [100, 2 * Math.PI * R], [140, 2 * Math.PI * r], [200, 2 * Math.PI * r]),
    2,
    'straight',
  )
  expect(film[1]?.girth).toBeCloseTo(2 * Math.PI * 101, 9)
  expect(film[1]?.height).toBeCloseTo(100.414214, 6)
  expect(film[2]?.girth).toBeCloseTo(2 * Math.PI * 61, 9)
  expect(film[2]?.height).toBeCloseTo(140.414214, 6)
})
