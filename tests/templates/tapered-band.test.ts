import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { crossings } from '../../src/geometry/intersect.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { closedPath, endOf } from '../../src/geometry/path.ts'
import { cross, distance, subtract, unit } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { onObject, onPanel } from '../../src/panel/surface.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { surfaceOf } from '../panel/simple.ts'
import { any as slantedTapered } from './any/slanted-tapered-band.ts'
import { mm, panelOf, plainOptions, refusalsOf, say, thin, unopened } from './measures.ts'

const none = {
  bottomGirth: undefined,
  bottomDiameter: undefined,
  topGirth: undefined,
  topDiameter: undefined,
  slant: undefined,
  height: undefined,
  gap: undefined,
  bottomGap: undefined,
  topGap: undefined,
  overlap: undefined,
  ...unopened,
}
const pail = { bottomGirth: 700, topGirth: 800, slant: 200 }
const develop = (values: object, facts = thin) => taperedBand.develop({ ...none, ...values }, facts, say)
const edgesOf = (developments: ReturnType<typeof develop>) => developments.flatMap(({ edges }) => edges)
const problems = (values: object) =>
  taperedBand.check({ ...none, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

test('girths and slant, diameters and height give one and the same pail', () => {
  const byTape = develop(pail)
  const byCaliper = develop({
    bottomDiameter: 700 / Math.PI,
    topDiameter: 800 / Math.PI,
    height: 199.365737,
  })
  edgesOf(byTape).forEach((edge, i) => {
    const other = edgesOf(byCaliper)[i]?.path ?? expect.fail('an edge is missing')
    expect(pathLength(other)).toBeCloseTo(pathLength(edge.path), 5)
  })
})

test('film counts by the cosine of the lean, tape in full, at both edges alike', () => {
  // 100 / 2 pi = 15.915494 of radius over a side of 200: the sine is 0.079577, the cosine 0.996829.
  const [bottom, right, top] = edgesOf(develop(pail, { filmThickness: 0.08, tapeThickness: 0.2 }))
  const added = (0.08 * 0.9968286 - 0.2) * Math.PI
  expect(bottom && pathLength(bottom.path)).toBeCloseTo(700 + added, 6)
  expect(top && pathLength(top.path)).toBeCloseTo(800 + added, 6)
  expect(right && pathLength(right.path)).toBeCloseTo(200, 9)
})

test('on a steep cone of 240 mm across, 120 wider in radius over a side of 130, film adds 0.0967 mm and a sheet of 2 mm 2.4166', () => {
  // 50, 120 and 130 make a right angle, so the side leans with the cosine 5/13: pi x 0.08 x 5/13 and pi x 2 x 5/13. By
  // the full thickness that would be 0.2513 and 6.2832, 0.155 and 3.867 mm too much.
  const steep = { bottomDiameter: 240, topDiameter: 480 }
  for (const [filmThickness, added] of [
    [0.08, 0.096664],
    [2, 2.41661],
  ] as const) {
    for (const side of [{ slant: 130 }, { height: 50 }]) {
      const [bottom, right, top] = edgesOf(develop({ ...steep, ...side }, { filmThickness, tapeThickness: 0 }))
      expect(bottom && pathLength(bottom.path)).toBeCloseTo(240 * Math.PI + added, 5)
      expect(top && pathLength(top.path)).toBeCloseTo(480 * Math.PI + added, 5)
      expect(right && pathLength(right.path)).toBeCloseTo(130, 9)
    }
  }
  // A flat ring gains nothing, and is not lost to rounding.
  const [inner] = edgesOf(
    develop({ bottomDiameter: 240, topDiameter: 480, slant: 120 }, { filmThickness: 2, tapeThickness: 0 }),
  )
  expect(inner && pathLength(inner.path)).toBeCloseTo(240 * Math.PI, 9)
})

test('the middle of a sheet on a cone is the same cone moved along its axis: every point of it is half the sheet off the object', () => {
  fc.assert(
    fc.property(mm(60, 300), mm(-0.97, 0.97), mm(60, 300), mm(0.05, 4), (radius, sine, slant, thickness) => {
      fc.pre(radius + sine * slant > 20)
      const values = { bottomDiameter: 2 * radius, topDiameter: 2 * (radius + sine * slant), slant }
      const [bottom, , top] = edgesOf(develop(values, { filmThickness: thickness, tapeThickness: 0 }))
      const [low, high] = [bottom, top].map((edge) => pathLength(edge?.path ?? expect.fail('no edge')) / (2 * Math.PI))
      // The film's edges as circles in space: square over the object's, so lower or higher by the sine.
      const cosine = Math.sqrt(1 - sine * sine)
      const down = (-thickness / 2) * sine
      const off = (r: number, z: number) => (r - radius) * cosine - z * sine
      expect(off(low ?? 0, down)).toBeCloseTo(thickness / 2, 7)
      expect(off(high ?? 0, down + slant * cosine)).toBeCloseTo(thickness / 2, 7)
    }),
    { numRuns: 60 },
  )
})

test('gaps measured at both edges are left bare at both edges', () => {
  const [bottom, , top] = edgesOf(develop({ ...pail, bottomGap: 30, topGap: 60 }))
  expect(bottom && pathLength(bottom.path)).toBeCloseTo(670, 9)
  expect(top && pathLength(top.path)).toBeCloseTo(740, 9)
})

test('a side shorter than it leans is refused with the least it can be', () => {
  // 628 mm of girth are 100 mm of radius.
  const lean = { bottomGirth: 700, topGirth: 700 + 200 * Math.PI }
  const [problem, ...others] = problems({ ...lean, slant: 99 })
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'slant_too_short', field: 'slant', value: '99 mm' })
  expect(problem?.text).toMatch(/differ by 100\.0 mm of radius.*not mixed with diameters/)
  expect(problems({ ...lean, slant: 101 })).toEqual([])
})

test('each measure is wanted once: neither none nor both', () => {
  expect(problems({}).map(({ code, field }) => [code, field])).toEqual([
    ['missing', 'bottomGirth'],
    ['missing', 'topGirth'],
    ['missing', 'slant'],
  ])
  const both = problems({ ...pail, bottomDiameter: 220, topDiameter: 250, height: 199 })
  expect(both.map(({ code, field }) => [code, field])).toEqual([
    ['contradiction', 'bottomGirth'],
    ['contradiction', 'topGirth'],
    ['contradiction', 'slant'],
  ])
  expect(both[0]?.text).toMatch(/given beside bottomDiameter/)
})

test('half of a gap, or a gap told twice, is refused', () => {
  expect(problems({ ...pail, bottomGap: 30 })).toMatchObject([{ code: 'missing', field: 'topGap' }])
  expect(problems({ ...pail, topGap: 30 })).toMatchObject([{ code: 'missing', field: 'bottomGap' }])
  expect(problems({ ...pail, gap: 30, bottomGap: 30, topGap: 30 })).toMatchObject([
    { code: 'contradiction', field: 'gap' },
  ])
})

test('a gap wider than the girth is refused at the edge where it is', () => {
  expect(problems({ ...pail, bottomGap: 698, topGap: 60 })).toMatchObject([
    { code: 'gap_too_wide', field: 'bottomGap', value: '698 mm' },
  ])
  const wide = problems({ ...pail, gap: 1000 })
  expect(wide.map(({ code, field }) => [code, field])).toEqual([
    ['gap_too_wide', 'gap'],
    ['gap_too_wide', 'gap'],
  ])
  expect(wide[0]?.text).toMatch(/the girth there is 700\.0 mm/)
})

test('an overlap on a part wrap is refused', () => {
  for (const part of [{ gap: 30 }, { bottomGap: 30, topGap: 40 }]) {
    expect(problems({ ...pail, ...part, overlap: 6 })).toMatchObject([
      { code: 'overlap_on_part_wrap', field: 'overlap' },
    ])
  }
})

test('a cone as flat as a disc laps over itself on the flat film and is refused; without an overlap it is not', () => {
  const flat = { bottomGirth: 100, topGirth: 100 + 2 * Math.PI * 59.9, slant: 60 }
  expect(problems(flat)).toEqual([])
  expect(refusalsOf(develop({ ...flat, overlap: 6 }))).toMatchObject([{ code: 'panel_overlaps_itself', field: 'tin' }])
  expect(panelOf(develop({ ...flat, overlap: 0 })).slits).toHaveLength(1)
})

test('the slits of a strip end beside the hinge where the pattern nearly closes on its far side', () => {
  // A gap of 12 mm between the two ends, opposite the hinge, and slits 40 mm apart.
  const ring = { bottomGirth: 600, topGirth: 600 + 2 * Math.PI * 99, slant: 100, gap: 12 }
  const panel = panelOf(develop(ring), { ...plainOptions, slit: { lines: 'strip', strip: 40 } })
  expect(panel.slits).toHaveLength(2)
  for (const { from, to } of panel.slits) {
    expect(distance(from, to)).toBeGreaterThan(110)
    expect(distance(from, to)).toBeLessThan(115)
  }
})

test('an inset beyond the apex of the pattern is refused', () => {
  const allowances = { bottom: 1, right: -600, top: 1, left: -600 }
  const made = refusalsOf(develop({ ...pail, gap: 30 }), { ...plainOptions, allowances })
  expect(made).toMatchObject([{ code: 'allowance_swallows', field: 'tin.allowance' }])
})

const degree = Math.PI / 180
const pathOf = ({ edges }: Pick<Development, 'edges'>, name: string) =>
  edges.find((edge) => edge.name === name)?.path ?? expect.fail(`no ${name} edge`)
const areaOf = ({ edges: [first, ...others] }: Pick<Development, 'edges'>) =>
  signedArea(
    closedPath(
      first?.path.start ?? expect.fail('no edge'),
      [first, ...others].flatMap((edge) => edge?.path.segments ?? []),
    ),
  )
const single = (values: object): Development => develop(values)[0] ?? expect.fail('no panel')

/** A cone by its radius at height 0 and what it widens by for each mm up, and a plane z = c + x tan g. */
interface Cut {
  readonly radius: number
  readonly lean: number
  readonly c: number
  readonly tan: number
}

/** Half axes of the ellipse in which the plane meets the cone, from the two ends of its long axis. */
function ellipseOf({ radius, lean, c, tan }: Cut): { long: number; short: number } {
  // x = radius + lean z to the right, x = -(radius + lean z) to the left.
  const right = (radius + lean * c) / (1 - lean * tan)
  const left = -(radius + lean * c) / (1 + lean * tan)
  const middle = (right + left) / 2
  const round = radius + lean * (c + tan * middle)
  return { long: ((right - left) / 2) * Math.hypot(1, tan), short: Math.sqrt(round * round - middle * middle) }
}

/** Girth of an ellipse: the trapezium rule over a whole turn, which gains places with every step. */
function ellipseGirth({ long, short }: { long: number; short: number }): number {
  const steps = 4000
  const parts = Array.from({ length: steps }, (_, i) => {
    const t = (2 * Math.PI * i) / steps
    return Math.hypot(long * Math.sin(t), short * Math.cos(t))
  })
  return (2 * Math.PI * parts.reduce((a, b) => a + b)) / steps
}

test('the published girth of an ellipse of half axes 2 and 1 comes out of the rule that the tests below lean on', () => {
  expect(ellipseGirth({ long: 2, short: 1 })).toBeCloseTo(9.68844822055, 10)
})

test('a pail with its upper rim cut at a slant has the girth of that ellipse, and the skin that lies over it', () => {
  fc.assert(
    fc.property(
      fc.record({
        bottom: mm(300, 900),
        wider: mm(0.05, 0.6),
        narrows: fc.boolean(),
        up: mm(80, 300),
        slant: mm(1, 40),
      }),
      ({ bottom, wider, narrows, up, slant }) => {
        const lean = (narrows ? -wider : wider) * 0.4
        const top = bottom + 2 * Math.PI * lean * up
        fc.pre(top > 150)
        const panel = single({ bottomGirth: bottom, topGirth: top, height: up, topSlant: slant * degree })
        const [low, high, tan] = [bottom / (2 * Math.PI), top / (2 * Math.PI), Math.tan(slant * degree)]
        // The left edge ends where the rim is lowest, at the left, x = -high.
        const ellipse = ellipseOf({ radius: low, lean, c: up + tan * high, tan })
        expect(pathLength(pathOf(panel, 'top')) / ellipseGirth(ellipse)).toBeCloseTo(1, 9)
        // Seen from above every patch of the skin shows |lean| / sqrt(1 + lean^2) of itself.
        const seen = Math.abs(ellipse.long * Math.cos(slant * degree) * ellipse.short - low * low) * Math.PI
        expect(areaOf(panel) / ((seen * Math.hypot(1, lean)) / Math.abs(lean))).toBeCloseTo(1, 9)
      },
    ),
    { numRuns: 60 },
  )
})

test('a cone cut at a slant below opens just as far', () => {
  // Radii 100 below and 60 above, 150 high; the lower rim lowest halfway round, 20 degrees from square.
  const [tan, lean] = [Math.tan(20 * degree), -40 / 150]
  const panel = single({ bottomDiameter: 200, topDiameter: 120, height: 150, bottomSlant: 20 * degree })
  // With x to the left edge, z = (x - 100) tan g.
  const ellipse = ellipseOf({ radius: 100, lean, c: -100 * tan, tan })
  expect(pathLength(pathOf(panel, 'bottom')) / ellipseGirth(ellipse)).toBeCloseTo(1, 9)
  const seen = (ellipse.long * Math.cos(20 * degree) * ellipse.short - 60 * 60) * Math.PI
  expect(areaOf(panel) / ((seen * Math.hypot(1, lean)) / -lean)).toBeCloseTo(1, 9)
})

/** Where the plane meets the cone at `turn` from the plane's highest place: mm straight up, by halving. */
function meetAt({ radius, lean, c, tan }: Cut, turn: number): number {
  let [low, high] = [-1e4, 1e4]
  if (lean !== 0) {
    // Only the part of the cone on this side of its apex.
    if (lean > 0) low = -radius / lean
    else high = -radius / lean
  }
  for (let i = 0; i < 100; i++) {
    const z = (low + high) / 2
    if (c + tan * Math.cos(turn) * (radius + lean * z) > z) low = z
    else high = z
  }
  return (low + high) / 2
}

test('part wraps of a cone with both rims slanting anyhow agree with sums over the cone in space', () => {
  const any = fc.record({
    wider: mm(-0.35, 0.35),
    top: mm(1, 35),
    bottom: mm(1, 35),
    high: mm(0, 1),
    low: mm(0, 1),
    bare: mm(0.01, 0.5),
  })
  fc.assert(
    fc.property(any, ({ wider, top, bottom, high, low, bare }) => {
      const [r, up] = [120, 260]
      const above = r + wider * up
      const panel = single({
        bottomGirth: 2 * Math.PI * r,
        topGirth: 2 * Math.PI * above,
        height: up,
        bottomGap: 2 * Math.PI * r * bare,
        topGap: 2 * Math.PI * above * bare,
        topSlant: top * degree,
        topHigh: 2 * Math.PI * above * high,
        bottomSlant: bottom * degree,
        bottomLow: 2 * Math.PI * r * low,
      })
      const covered = 2 * Math.PI * (1 - bare)
      // Both planes pass through the ends of the left edge, at the turn 0 and the heights 0 and up.
      const plane = (slant: number, at: number, radius: number, height: number): Cut => {
        const tan = Math.tan(slant * degree)
        return { radius: r, lean: wider, c: height - tan * radius * Math.cos(at), tan }
      }
      const [highest, lowest] = [2 * Math.PI * high, 2 * Math.PI * low + Math.PI]
      const upper = (turn: number) => meetAt(plane(top, highest, above, up), turn - highest)
      const lower = (turn: number) => meetAt(plane(bottom, lowest, r, 0), turn - lowest)
      const steps = 1000
      const turns = Array.from({ length: steps + 1 }, (_, i) => (covered * i) / steps)
      const walk = (height: (turn: number) => number) => {
        const places = turns.map((turn) => {
          const z = height(turn)
          const radius = r + wider * z
          return [radius * Math.cos(turn), radius * Math.sin(turn), z] as const
        })
        return places
          .slice(1)
          .reduce((sum, p, i) => sum + Math.hypot(...[0, 1, 2].map((k) => (p[k] ?? 0) - (places[i]?.[k] ?? 0))), 0)
      }
      expect(walk(upper) / pathLength(pathOf(panel, 'top'))).toBeCloseTo(1, 5)
      expect(walk(lower) / pathLength(pathOf(panel, 'bottom'))).toBeCloseTo(1, 5)
      // A strip of the skin: from z to z' along the side, as wide as its mean radius times the turn. Simpson's rule.
      const strip = (turn: number) => {
        const [from, to] = [lower(turn), upper(turn)]
        return (to - from) * Math.hypot(1, wider) * (r + (wider * (from + to)) / 2)
      }
      const weight = (i: number) => (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2)
      const skin = turns.reduce((sum, turn, i) => sum + weight(i) * strip(turn), 0) * (covered / steps / 3)
      expect(areaOf(panel) / skin).toBeCloseTo(1, 9)
      expect(pathLength(pathOf(panel, 'left'))).toBeCloseTo(up * Math.hypot(1, wider), 9)
      expect(pathLength(pathOf(panel, 'right'))).toBeCloseTo(
        (upper(covered) - lower(covered)) * Math.hypot(1, wider),
        8,
      )
    }),
    { numRuns: 25 },
  )
})

test('beside a gap of one width a slanted rim ends on the straight side of the strip, run on', () => {
  const values = { ...pail, gap: 40, topRise: 60, topHigh: 500, bottomDrop: 30, bottomLow: 100 }
  expect(problems(values)).toEqual([])
  const [plain, cut] = [single({ ...pail, gap: 40 }), single(values)]
  const [side, own] = [pathOf(plain, 'right'), pathOf(cut, 'right')]
  const way = unit(subtract(endOf(side), side.start))
  for (const p of [own.start, endOf(own)]) expect(Math.abs(cross(way, subtract(p, side.start)))).toBeLessThan(1e-9)
  expect(pathOf(cut, 'left')).toEqual(pathOf(plain, 'left'))
})

test('the rise of a rim is the height of its highest place over its lowest', () => {
  fc.assert(
    fc.property(mm(-0.4, 0.4), mm(5, 80), mm(0.001, 0.999), (lean, rise, high) => {
      const [r, up] = [100, 200]
      const above = r + lean * up
      const round = 2 * Math.PI * above
      const values = { bottomGirth: 2 * Math.PI * r, topGirth: round, height: up, topRise: rise, topHigh: high * round }
      const panel = single(values)
      const surface = surfaceOf(panel)
      const top = pathOf(panel, 'top')
      const level = ({ up: along }: { up: number }) => along / Math.hypot(1, lean)
      const mid = Math.PI * (r + above)
      // The length up the side tells the height, on the ray of the cone at a share of a turn from the left edge.
      const heightAt = (share: number) => {
        const ray = ((share % 1) - 0.5) * mid
        const [from, to] = [onPanel(surface, ray, 0), onPanel(surface, ray, 1)]
        const nearest = crossings(top, from, subtract(to, from)).sort((a, b) => Math.abs(a.reach) - Math.abs(b.reach))
        return level(onObject(surface, nearest[0]?.at ?? expect.fail('no edge above')))
      }
      const [highest, lowest] = [heightAt(high), heightAt(high + 0.5)]
      expect(highest - lowest).toBeCloseTo(rise, 6)
      const others = top.segments.map(({ to }) => level(onObject(surface, to)))
      expect(Math.max(...others)).toBeLessThan(highest + 1e-6)
      expect(Math.min(...others)).toBeGreaterThan(lowest - 1e-6)
    }),
    { numRuns: 20 },
  )
})

test('an opening over a slanted lower edge stands that far up the side from it', () => {
  const panel = single({ ...pail, bottomDrop: 50, bottomLow: 200, points: [{ fromLeft: 300, fromBottom: 40 }] })
  const surface = surfaceOf(panel)
  const [own = expect.fail('no point')] = panel.points ?? []
  const { round, up } = onObject(surface, own)
  const bottom = pathOf(panel, 'bottom')
  // Straight down the side from the point to the edge.
  const foot = onPanel(surface, round, up - 40)
  const way = unit(subtract(own, foot))
  const [met = expect.fail('no edge below')] = crossings(bottom, foot, way).sort(
    (a, b) => Math.abs(a.reach) - Math.abs(b.reach),
  )
  expect(Math.abs(met.reach)).toBeLessThan(1e-6)
  // 300 mm from the left edge along the level line there.
  const left = pathOf(panel, 'left').start
  const onLeft = onObject(surface, left).round
  expect((round - onLeft) * (1 + surface.taper * up)).toBeCloseTo(300, 9)
})

test('a slant of nothing is the plain band, and slants that go round no cone are refused', () => {
  expect(develop({ ...pail, topRise: 0, bottomSlant: 0 })).toEqual(develop(pail))
  // A side that leans 45 degrees: a cut goes round it up to 45 degrees, less one.
  const lamp = { bottomGirth: 2 * Math.PI * 200, topGirth: 2 * Math.PI * 100, height: 100 }
  expect(problems({ ...lamp, bottomSlant: 43 * degree })).toEqual([])
  const steep = problems({ ...lamp, bottomSlant: 45 * degree })
  expect(steep).toMatchObject([{ code: 'too_steep', field: 'bottomSlant', value: '45.0 degrees' }])
  expect(steep[0]?.text).toMatch(/the side leans so much that a cut goes all the way round it up to 44\.0 degrees only/)
  // As flat as a disc there is no straight up.
  const disc = { bottomGirth: 100, topGirth: 100 + 2 * Math.PI * 60, slant: 60, topRise: 5 }
  expect(problems(disc)).toMatchObject([{ code: 'too_steep', field: 'topRise' }])
  const dips = problems({ ...pail, topRise: 260, topHigh: 0 })
  expect(dips).toMatchObject([{ code: 'rims_meet', field: 'topRise' }])
  expect(dips[0]?.text).toMatch(/the upper rim dips \d+\.\d mm below the lower one, 400\.0 mm round from the left edge/)
})

test('slanted cones become panels with their allowances, hinge ticks and slit', () => {
  fc.assert(
    fc.property(slantedTapered, ({ values, facts }) => {
      expect(taperedBand.check(values)).toEqual([])
      const panel = panelOf(taperedBand.develop(values, facts, say))
      expect(panel.ticks.filter((tick) => tick.role === 'hinge').map((tick) => tick.edge)).toEqual(['bottom', 'top'])
      expect(panel.slits).toHaveLength(1)
    }),
    { numRuns: 20 },
  )
})
