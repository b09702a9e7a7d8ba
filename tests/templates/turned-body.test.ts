import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { endOf, type Path } from '../../src/geometry/path.ts'
import { distance } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { onObject } from '../../src/panel/surface.ts'
import type { Facts } from '../../src/panel/template.ts'
import { profileOf } from '../../templates/turned-body/profile.ts'
import { spline } from '../../templates/turned-body/spline.ts'
import { turnedBody } from '../../templates/turned-body/template.ts'
import { any } from './any/turned-body.ts'
import { panelsOf, refusalsOf, say, thin } from './measures.ts'

const none = { cover: 'bands', sides: 'curved', seams: 'half round', gores: 8, overlap: 6, tip: 4 }
const byHeight = (...list: readonly (readonly [z: number, girth: number])[]) =>
  list.map(([height, girth]) => ({ girth, height, along: undefined }))
const byAlong = (...list: readonly (readonly [along: number, girth: number])[]) =>
  list.map(([along, girth]) => ({ girth, along, height: undefined }))
const vase = byHeight([0, 220], [40, 300], [90, 360], [140, 330], [180, 250], [200, 240])

type Values = Parameters<typeof turnedBody.develop>[0]
const valuesOf = (values: object) => ({ ...none, ...values }) as Values
const develop = (values: object, facts: Facts = thin) => turnedBody.develop(valuesOf(values), facts, say)
const problems = (values: object) =>
  turnedBody.check(valuesOf(values)).map((problem) => ({ ...problem, text: formatProblem(problem) }))
const only = (panels: readonly Development[]): Development =>
  panels[0] && panels.length === 1 ? panels[0] : expect.fail(`${panels.length} panels`)
const edge = (panel: Development, name: string): Path =>
  panel.edges.find((e) => e.name === name)?.path ?? expect.fail(`no ${name} edge`)
const areaOf = (panel: Development) => signedArea(panelsOf([panel])[0]?.bare ?? expect.fail('no panel'))
const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0)
/** Length and turn of the edges at one end of a band, whole or in halves. */
const levelOf = (panel: Development, end: 'bottom' | 'top') => {
  const paths = panel.edges.filter(({ name }) => name.startsWith(end)).map(({ path }) => path)
  const turn = paths.flatMap(({ segments }) => segments.map((s) => (s.kind === 'arc' ? s.sweep : 0)))
  return { length: sum(paths.map(pathLength)), turn: sum(turn) * (end === 'bottom' ? 1 : -1) }
}
const degree = Math.PI / 180

test('a vase of six girths: slants, band angles, lower radii and area, worked by hand', () => {
  const bands = develop({ stations: vase })
  const slants = [41.97754, 50.903723, 50.227455, 41.97754, 20.063226]
  const angles = [109.19321, 67.534289, -34.221789, -109.19321, -28.557611]
  const radii = [115.438236, 254.518617, 602.729464, 173.157354, 501.580645]
  expect(bands).toHaveLength(5)
  bands.forEach((band, i) => {
    expect(pathLength(edge(band, 'left'))).toBeCloseTo(slants[i] ?? 0, 6)
    const { length, turn } = levelOf(band, 'bottom')
    // A level edge of a band that widens upward is hollow: it turns to the right.
    expect(-turn / degree).toBeCloseTo(angles[i] ?? 0, 6)
    expect(length / Math.abs(turn)).toBeCloseTo(radii[i] ?? 0, 5)
  })
  expect(sum(bands.map(areaOf))).toBeCloseTo(62129.838346, 5)
})

/** Stations of y(x) turned about the x axis, evenly spaced, mm. */
const turned = (y: (x: number) => number, from: number, to: number, count: number) =>
  byHeight(
    ...Array.from({ length: count + 1 }, (_, i) => {
      const x = from + ((to - from) * i) / count
      return [x, 2 * Math.PI * y(x)] as const
    }),
  )
const rootBands = (count: number) =>
  develop({ stations: turned((x) => 100 * Math.sqrt(x / 100), 100, 400, count), overlap: 0 })
/** Area of y = sqrt x turned, x = 1..4: (pi / 6)(17 sqrt 17 - 5 sqrt 5), 30.846490 (OpenStax Calculus 2, sec. 2.4). */
const rootArea = (Math.PI / 6) * (17 * Math.sqrt(17) - 5 * Math.sqrt(5))

test('bands of y = sqrt x, 1..4: areas 30.719088, 30.814170, 30.838376, 30.844459, 30.846363, the limit 30.846490, as 1 / n^2', () => {
  const areas = [3, 6, 12, 24, 96].map((count) => sum(rootBands(count).map(areaOf)) / 1e4)
  const worked = [30.719088, 30.81417, 30.838376, 30.844459, 30.846363]
  areas.forEach((area, i) => {
    expect(area).toBeCloseTo(worked[i] ?? 0, 6)
  })
  expect(rootArea).toBeCloseTo(30.84649, 5)
  const missed = areas.map((area) => rootArea - area)
  expect((missed[2] ?? 0) / (missed[3] ?? 1)).toBeCloseTo(4, 1)
  expect((missed[3] ?? 0) / (missed[4] ?? 1)).toBeCloseTo(16, 0)
})

test('slants of the bands of y = sqrt x add up to 3.166964, 3.167607, 3.167781 for 3, 6 and 12; the arc is 3.167841', () => {
  const arcs = [3, 6, 12].map((count) => sum(rootBands(count).map((band) => pathLength(edge(band, 'left')))) / 100)
  expect(arcs[0]).toBeCloseTo(3.166964, 6)
  expect(arcs[1]).toBeCloseTo(3.167607, 6)
  expect(arcs[2]).toBeCloseTo(3.167781, 6)
  // The gore runs along the smooth side, and comes near faster.
  const gore = only(develop({ stations: turned((x) => 10 * Math.sqrt(x), 100, 400, 12), cover: 'gores' }))
  expect(distance(gore.hinge.from, gore.hinge.to) / 100).toBeCloseTo(3.167841, 5)
})

test('gores of y = sqrt x, 1..4, come near to its area 30.846490 as 1 / n^4, the rate of the spline (de Boor, A Practical Guide to Splines)', () => {
  const missed = (count: number) => {
    const stations = turned((x) => 100 * Math.sqrt(x / 100), 100, 400, count)
    return Math.abs((8 * areaOf(only(develop({ stations, cover: 'gores' })))) / 1e4 - rootArea)
  }
  expect(missed(3)).toBeLessThan(0.02)
  // At least 2^3.5 a halving, of 2^4 in the limit.
  for (const count of [6, 12]) expect(missed(count) / missed(2 * count)).toBeGreaterThan(11)
  expect(missed(24)).toBeLessThan(1e-6)
})

test('bands of y = x^3, 0..1: 3.563122 (thinkquest 3616) less the tip up to x = 0.1', () => {
  const whole = (Math.PI / 27) * (10 * Math.sqrt(10) - 1)
  expect(whole).toBeCloseTo(3.563122, 6)
  const tip = (Math.PI / 27) * ((1 + 9e-4) ** 1.5 - 1)
  const missed = (count: number) => {
    const stations = turned((x) => 1000 * (x / 1000) ** 3, 100, 1000, count)
    return Math.abs(sum(develop({ stations, overlap: 0 }).map(areaOf)) / 1e6 - (whole - tip))
  }
  expect(missed(96)).toBeLessThan(2e-4)
  expect(missed(24) / missed(48)).toBeCloseTo(4, 1)
})

test('a station measured along the side stands where one by height does on a cone', () => {
  // 628.3185 mm of girth are 100 mm of radius: 100 aside and 240 up are 260 along.
  const up = develop({ stations: byHeight([30, 400], [270, 400 + 200 * Math.PI]) })
  const along = develop({ stations: byAlong([0, 400], [260, 400 + 200 * Math.PI]) })
  expect(pathLength(edge(only(along), 'left'))).toBeCloseTo(260, 9)
  expect(pathLength(edge(only(up), 'left'))).toBeCloseTo(260, 9)
})

test('a flat shoulder between two stations of one height unrolls as a ring', () => {
  const [, ring] = develop({ stations: byHeight([0, 600], [50, 600], [50, 200], [80, 190]), overlap: 0 })
  expect(pathLength(edge(ring ?? expect.fail('no ring'), 'left'))).toBeCloseTo(400 / (2 * Math.PI), 9)
})

test('what meets has one length and one place on the object, seams in line or half round', () => {
  let joints = 0
  fc.assert(
    fc.property(any, ({ template, values, facts }) => {
      expect(template.check(values)).toEqual([])
      const found = new Map<string, { length: number; angle: number }[]>()
      template.develop(values, facts, say).forEach((panel, i) => {
        const turn = values.seams === 'half round' && i % 2 === 1 ? Math.PI : 0
        for (const { name, path, seam } of panel.edges) {
          if (seam === undefined) continue
          const length = pathLength(path)
          const level = name.includes(' ')
          // Angle round the object of the middle of a half edge; the hinge is at 0, or half round.
          const { round } = onObject(panel.surface ?? { kind: 'flat', taper: 0 }, stationAt(path, length / 2).at)
          const mid = (levelOf(panel, 'bottom').length + levelOf(panel, 'top').length) / 2
          const angle = level ? (2 * Math.PI * round) / mid + turn : 0
          found.set(seam, [...(found.get(seam) ?? []), { length, angle }])
        }
      })
      for (const [code, [a, b, ...more]] of found) {
        expect(more, code).toEqual([])
        if (!a || !b) return expect.fail(`seam ${code} has one edge`)
        expect(Math.abs(a.length - b.length), code).toBeLessThan(1e-9)
        expect(Math.cos(a.angle - b.angle), code).toBeCloseTo(1, 9)
        joints++
      }
    }),
    { numRuns: 60 },
  )
  expect(joints).toBeGreaterThan(100)
})

test('each joint has two codes, the same on both its bands', () => {
  const codes = (seams: string) =>
    develop({ stations: vase, seams }).map(({ edges }) => edges.map(({ name, seam }) => [name, seam]))
  expect(codes('half round').slice(0, 2)).toEqual([
    [
      ['bottom', undefined],
      ['right', '1'],
      ['top right', 'A1'],
      ['top left', 'A2'],
      ['left', '1'],
    ],
    [
      ['bottom left', 'A1'],
      ['bottom right', 'A2'],
      ['right', '2'],
      ['top right', 'B1'],
      ['top left', 'B2'],
      ['left', '2'],
    ],
  ])
  expect(codes('in line')[0]?.slice(2, 4)).toEqual([
    ['top right', 'A2'],
    ['top left', 'A1'],
  ])
})

test('any turned body makes panels, whose cells of strain cover them', () => {
  fc.assert(
    fc.property(any, ({ template, values, facts }) => {
      const developments = template.develop(values, facts, say)
      expect(refusalsOf(developments)).toEqual([])
      for (const panel of developments) {
        const cells = panel.strain?.cells ?? []
        expect(cells.length).toBeGreaterThanOrEqual(48)
        const area = sum(cells.map(({ path }) => signedArea(path)))
        expect(Math.abs(area / areaOf(panel) - 1)).toBeLessThan(1e-4)
      }
    }),
    { numRuns: 25 },
  )
})

test('film counts at every station by the cosine of the lean, tape in full', () => {
  // 50 mm up widen the radius by 50 / 2 pi = 7.957747: the side is 50.629297 long and the cosine 0.987570.
  const cone = byHeight([0, 400], [50, 450], [100, 500])
  const bands = develop({ stations: cone }, { filmThickness: 0.08, tapeThickness: 0.2 })
  const girths = [400, 450, 500].map((girth) => girth - 0.2 * Math.PI + 0.08 * Math.PI * 0.98757)
  bands.forEach((band, i) => {
    expect(levelOf(band, 'bottom').length).toBeCloseTo(girths[i] ?? 0, 5)
    expect(levelOf(band, 'top').length).toBeCloseTo(girths[i + 1] ?? 0, 5)
    expect(pathLength(edge(band, 'left'))).toBeCloseTo(50.629297, 5)
  })
})

test('a girth that jumps is refused with the size of the jump, at the reading most likely wrong', () => {
  // 20 mm of side change the girth by 125.7 mm at most; the third of five girths is 200 mm off.
  const stations = byAlong([0, 400], [20, 410], [40, 620], [60, 430], [80, 440])
  const found = problems({ stations })
  expect(found.map(({ code, field, value }) => [code, field, value])).toEqual([
    ['girth_jumps', 'stations[2].girth', '620 mm'],
    ['girth_jumps', 'stations[2].girth', '620 mm'],
  ])
  expect(found[0]?.text).toMatch(/from stations\[1\] to stations\[2\].*by 210\.0 mm over 20\.0 mm of side.*125\.7 mm/)
  expect(found[1]?.text).toMatch(/by 190\.0 mm/)
  // Wrong at the end: only one step jumps.
  const last = byAlong([0, 400], [20, 410], [40, 420], [60, 230])
  expect(problems({ stations: last })).toMatchObject([{ code: 'girth_jumps', field: 'stations[3].girth' }])
  const first = byAlong([0, 130], [20, 410], [40, 420], [60, 430])
  expect(problems({ stations: first })).toMatchObject([{ code: 'girth_jumps', field: 'stations[0].girth' }])
  // Of three girths the one that jumps both ways.
  const three = problems({ stations: byAlong([0, 400], [20, 620], [40, 430]) })
  expect(three.map(({ field }) => field)).toEqual(['stations[1].girth', 'stations[1].girth'])
  // A side that lies level is the most there can be.
  expect(problems({ stations: byAlong([0, 400], [20, 400 + 40 * Math.PI]) })).toEqual([])
  expect(problems({ stations: byAlong([0, 400], [20, 400.1 + 40 * Math.PI]) })).toHaveLength(1)
})

test('stations are measured in one way, in order and apart', () => {
  expect(problems({ stations: byAlong([0, 400]) })).toMatchObject([{ code: 'too_few_stations' }])
  const none = [{ girth: 400, height: undefined, along: undefined }, ...byAlong([20, 410])]
  expect(problems({ stations: none })).toMatchObject([{ code: 'missing', field: 'stations[0].height' }])
  const both = [{ girth: 400, height: 0, along: 0 }, ...byAlong([20, 410])]
  expect(problems({ stations: both })).toMatchObject([{ code: 'contradiction', field: 'stations[0].height' }])
  const mixed = [...byHeight([0, 400], [20, 410]), ...byAlong([40, 420])]
  expect(problems({ stations: mixed })).toMatchObject([{ code: 'contradiction', field: 'stations[2]' }])
  expect(problems({ stations: byHeight([20, 400], [10, 410]) })).toMatchObject([
    { code: 'stations_out_of_order', field: 'stations[1].height', value: '10 mm' },
  ])
  expect(problems({ stations: byHeight([20, 400], [20, 400]) })).toMatchObject([
    { code: 'stations_too_near', field: 'stations[1].height' },
  ])
})

test('too few gores, gores on straight sides, gores slimmer than a tip and sides steeper than any are refused', () => {
  const gores = { stations: vase, cover: 'gores' }
  expect(problems({ ...gores, gores: 3 })[0]?.text).toMatch(/a quarter of the girth wide.*Enter 4 or more/)
  expect(problems({ ...gores, gores: 4 })).toEqual([])
  expect(problems({ ...gores, sides: 'straight' })).toMatchObject([{ code: 'contradiction', field: 'sides' }])
  // 360 mm is the widest of it.
  expect(problems({ ...gores, gores: 120 })).toMatchObject([{ code: 'gores_too_narrow', field: 'gores' }])
  const waist = byHeight([0, 400], [60, 300], [120, 200], [180, 300], [240, 400])
  expect(problems({ stations: waist, cover: 'gores', gores: 60 })[0]?.text).toMatch(/at the neck.*or choose bands/)
  const steep = byAlong([0, 400], [20, 520], [40, 400], [60, 520])
  expect(problems({ stations: steep, cover: 'gores' })).toMatchObject([{ code: 'too_few_stations', field: 'stations' }])
})

/** Stations on a ball of 100 mm between two latitudes, by height or along the side. */
const onBall = (from: number, to: number, count: number, way: 'height' | 'along') => {
  const at = Array.from({ length: count + 1 }, (_, i) => (from + ((to - from) * i) / count) * degree)
  const girth = (f: number) => 200 * Math.PI * Math.cos(f)
  return way === 'height'
    ? byHeight(...at.map((f) => [100 + 100 * Math.sin(f), girth(f)] as const))
    : byAlong(...at.map((f) => [100 * (f - from * degree), girth(f)] as const))
}

test('on a ball gores are the equal-arc gores of the ball, and strain by w^2 / (8 R^2)', () => {
  for (const way of ['height', 'along'] as const) {
    const gore = only(develop({ stations: onBall(-40, 60, 20, way), cover: 'gores', gores: 10 }))
    expect(distance(gore.hinge.from, gore.hinge.to)).toBeCloseTo(100 * 100 * degree, 2)
    const right = edge(gore, 'right')
    for (const share of [0.1, 0.35, 0.8]) {
      const { at } = stationAt(right, share * pathLength(right))
      expect(at.x).toBeCloseTo(10 * Math.PI * Math.cos(at.y / 100 - 40 * degree), 2)
    }
    const width = 20 * Math.PI
    expect((gore.strain?.shrink ?? 0) / (-(width ** 2) / 8e4)).toBeCloseTo(1, 2)
    expect(gore.strain?.stretch).toBe(0)
  }
})

test('on a waist the edges of gores stretch: the inner half of a ring with radii 100 and 50 at the waist', () => {
  // r = 150 - sqrt(100^2 - z^2): curvatures 1/100 and -1/50 at z = 0.
  const stations = turned((z) => 150 - Math.sqrt(1e4 - (z - 60) ** 2), 0, 120, 24)
  const gore = only(develop({ stations, cover: 'gores', gores: 6 }))
  const width = (2 * Math.PI * 50) / 6
  const waist = width ** 2 / 8 / 5000
  expect(gore.strain?.shrink).toBe(0)
  const middle = gore.strain?.cells.filter((_, i) => Math.floor(i / 6) === 8).map(({ strain }) => strain) ?? []
  // The outermost patch's middle stands 5/6 of the way out.
  expect(Math.max(...middle) / (waist * (5 / 6) ** 2)).toBeGreaterThan(0.97)
  expect(Math.max(...middle) / (waist * (5 / 6) ** 2)).toBeLessThan(1.03)
})

test('bands of a cone need no stretch, bands of a ball what the ball is wider than their cones', () => {
  const cone = byHeight([0, 400], [50, 450], [100, 500], [170, 570])
  for (const band of develop({ stations: cone })) {
    expect([band.strain?.stretch, band.strain?.shrink]).toEqual([0, 0])
    expect(band.notes).toEqual(['It unrolls exactly: the film need not stretch.'])
  }
  for (const band of develop({ stations: vase, sides: 'straight' })) expect(band.strain?.stretch).toBe(0)
  const bands = develop({ stations: onBall(-40, 40, 8, 'height') })
  // The fifth of eight bands begins at the widest place: cos 5 / ((1 + cos 10) / 2) - 1 = 1 / cos 5 - 1 halfway up.
  expect((bands[4]?.strain?.stretch ?? 0) / (1 / Math.cos(5 * degree) - 1)).toBeCloseTo(1, 1)
  const finer = develop({ stations: onBall(-40, 40, 24, 'height') })
  expect((bands[4]?.strain?.stretch ?? 0) / (finer[12]?.strain?.stretch ?? 1)).toBeCloseTo(9, 0)
})

test('notes tell whether the film lies, and how many gores or stations would do', () => {
  const facts = { ...thin, filmStretch: 0.01 }
  const gores = (count: number) =>
    only(develop({ stations: onBall(-40, 60, 10, 'height'), cover: 'gores', gores: count }, facts)).notes.join(' ')
  const wanted = Number(/(\d+) gores stay inside it/.exec(gores(8))?.[1])
  // w = R sqrt(8 e) asks for 22.2 on a true ball.
  expect(Math.abs(wanted - 23)).toBeLessThanOrEqual(1)
  expect(gores(wanted)).toMatch(/so it lies/)
  expect(gores(wanted - 1)).toMatch(/takes only 1 %/)
  const bands = develop({ stations: onBall(-30, 30, 2, 'height') }, facts)
  expect(bands[0]?.notes[0]).toMatch(/measure 1 more girth.* between 50[.0-9]* mm up and 100 mm up, for 2 bands there/)
  const more = develop({ stations: onBall(-30, 30, 4, 'height') }, facts)
  for (const { notes } of more) expect(notes[0]).toMatch(/so it lies/)
  expect(bands[0]?.notes[1]).toMatch(/curved side is about 0\.\d mm longer/)
})

test('gores to a slim end are cut off where they are as wide as a tip', () => {
  const flask = byAlong([0, 500], [60, 480], [120, 300], [160, 120], [190, 20])
  const gore = only(develop({ stations: flask, cover: 'gores', gores: 8, tip: 5 }))
  expect(pathLength(edge(gore, 'top'))).toBeCloseTo(5, 9)
  expect(gore.edges.map(({ name, lap }) => [name, lap])).toEqual([
    ['bottom', undefined],
    ['right', 6],
    ['top', 0],
    ['left', 0],
  ])
  expect(endOf(edge(gore, 'right')).y).toBeLessThan(190)
})

test('the spline gives back any cubic, a parabola through three places and a line through two', () => {
  const number = fc.double({ min: -5, max: 5, noNaN: true })
  const spacing = fc.array(fc.double({ min: 0.2, max: 3, noNaN: true }), { minLength: 1, maxLength: 9 })
  fc.assert(
    fc.property(fc.tuple(number, number, number, number), spacing, ([a, b, c, d], gaps) => {
      const places = gaps.reduce<number[]>((list, gap) => list.concat((list.at(-1) ?? 0) + gap), [0])
      const [cubic, square] = [places.length > 3 ? d : 0, places.length > 2 ? c : 0]
      const value = (x: number) => a + x * (b + x * (square + x * cubic))
      const found = spline(places, places.map(value))
      for (const share of [0, 0.13, 0.5, 0.77, 1]) {
        const x = share * (places.at(-1) ?? 0)
        const scale = 1 + Math.abs(value(x)) + (places.at(-1) ?? 0) ** 3
        expect(Math.abs(found(x).value - value(x)) / scale).toBeLessThan(1e-8)
        expect(Math.abs(found(x).slope - (b + x * (2 * square + 3 * x * cubic))) / scale).toBeLessThan(1e-7)
        expect(Math.abs(found(x).bend - (2 * square + 6 * x * cubic)) / scale).toBeLessThan(1e-6)
      }
    }),
  )
})

test('rates of the profile are those of its own values, by differences', () => {
  const profile = profileOf(vase)
  const h = 1e-4
  for (const t of [10, 60, 120, 199]) {
    const rate = (value: (t: number) => number) => (value(t + h) - value(t - h)) / (2 * h)
    expect(profile.girthRate(t)).toBeCloseTo(rate(profile.girth), 6)
    expect(profile.arcRate(t)).toBeCloseTo(rate(profile.arc), 6)
  }
})
