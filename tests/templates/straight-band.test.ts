import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { crossings } from '../../src/geometry/intersect.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { closedPath, type Path } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { any as slantedStraight } from './any/slanted-straight-band.ts'
import { mm, panelOf, plainOptions, refusalsOf, say, thin, unopened } from './measures.ts'

const none = {
  girth: undefined,
  diameter: undefined,
  gap: undefined,
  span: undefined,
  overlap: undefined,
  ...unopened,
}
const tin = { ...none, height: 95 }
const bottomLength = (values: object, facts = thin) => {
  const [{ edges } = expect.fail('no panel')] = straightBand.develop({ ...tin, ...values }, facts, say)
  return pathLength(edges[0]?.path ?? expect.fail('no bottom edge'))
}
const problems = (values: object) =>
  straightBand.check({ ...tin, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

test('film is as long as its own middle, pi (d + t), and a thicker tape takes that off again', () => {
  // d = 80 and t = 0.08: pi 80.08 = 251.578740. Girth 251.9 with a 0.2 mm tape: 251.9 + pi (0.08 - 0.2) = 251.523009.
  const facts = { filmThickness: 0.08, tapeThickness: 0.2 }
  expect(bottomLength({ diameter: 80 }, facts)).toBeCloseTo(251.57874, 6)
  expect(bottomLength({ girth: 251.9 }, facts)).toBeCloseTo(251.523009, 6)
  // Three quarters of the way round d = 80, taped along its own middle: 0.75 pi 80.08.
  const span = 0.75 * Math.PI * 80.2
  expect(bottomLength({ diameter: 80, span }, facts)).toBeCloseTo(0.75 * 251.57874, 6)
})

test('a gap and the film beside it make up the girth', () => {
  expect(bottomLength({ girth: 300, gap: 30 })).toBeCloseTo(270, 9)
  expect(bottomLength({ girth: 300, span: 250 })).toBeCloseTo(250, 9)
  expect(bottomLength({ span: 215 })).toBe(215)
})

test('a full wrap laps by its overlap on the right only, and 6 mm when nothing is said', () => {
  for (const [given, wanted] of [
    [undefined, 6],
    [12, 12],
    [0, 0],
  ] as const) {
    const panel = panelOf(straightBand.develop({ ...tin, girth: 300, overlap: given }, thin, say))
    const [bottom] = panel.edges
    expect(bottom && pathLength(bottom.outline)).toBeCloseTo(300 + wanted, 9)
    expect(panel.outline.start.x).toBeCloseTo(-150, 9)
    expect(panel.ticks.filter((tick) => tick.role === 'seam')).toHaveLength(wanted > 0 ? 2 : 0)
    for (const tick of panel.ticks) expect(tick.at.x).toBeCloseTo(tick.role === 'seam' ? 150 : 0, 9)
  }
})

test('common practice, no source: 1 mm on every edge makes 95 mm of height 97 and a span of 215 mm 217', () => {
  const panel = panelOf(straightBand.develop({ ...tin, span: 215 }, thin, say))
  const [a, b, c, d] = panel.edges.map((edge) => edge.outline.start)
  if (!a || !b || !c || !d) return expect.fail('four corners')
  expect(distance(a, b)).toBeCloseTo(217, 9)
  expect(distance(c, d)).toBeCloseTo(217, 9)
  expect(distance(b, c)).toBeCloseTo(97, 9)
  expect(distance(d, a)).toBeCloseTo(97, 9)
  expect(distance(a, c)).toBeCloseTo(distance(b, d), 9)
})

test('the hinge marks stand half of the taped way round from an edge that a person can find', () => {
  const marks = (values: object) =>
    straightBand
      .develop({ ...tin, ...values }, { filmThickness: 0.1, tapeThickness: 0.3 }, say)
      .flatMap((panel) => panel.marks)
  expect(marks({ girth: 300, gap: 40 }).map(({ code }) => code)).toEqual(['hinge bottom', 'hinge top'])
  expect(marks({ girth: 300, gap: 40 })[0]?.text).toBe(
    'Mark the object 130 mm round from either edge of the gap, away from it, at the bottom edge.',
  )
  expect(marks({ girth: 300 }).map(({ code }) => code)).toEqual(['seam', 'hinge bottom', 'hinge top'])
  expect(marks({ girth: 300 })[1]?.text).toMatch(/ 150 mm .*seam line/)
})

test('nothing to go round by, and both girth and diameter, are refused', () => {
  expect(problems({})).toMatchObject([{ code: 'missing', field: 'girth' }])
  const both = problems({ girth: 300, diameter: 95 })
  expect(both).toMatchObject([{ code: 'contradiction', field: 'diameter' }])
  expect(both[0]?.text).toMatch(/95 mm beside a girth of 300 mm.*one of the two is enough/)
})

test('a gap wider than the girth is refused, up to the last 5 mm', () => {
  for (const gap of [295, 300, 310]) {
    const [problem, ...others] = problems({ girth: 300, gap })
    expect(others).toEqual([])
    expect(problem).toMatchObject({ code: 'gap_too_wide', field: 'gap', value: `${gap} mm` })
    expect(problem?.text).toMatch(/the girth is 300\.0 mm, and 5 mm of film must be left/)
  }
  expect(problems({ girth: 300, gap: 294 })).toEqual([])
})

test('gap and span must add up to the girth within 4 mm', () => {
  expect(problems({ girth: 300, gap: 40, span: 257 })).toEqual([])
  const [problem] = problems({ girth: 300, gap: 40, span: 250 })
  expect(problem).toMatchObject({ code: 'contradiction', field: 'span' })
  expect(problem?.text).toMatch(/with the gap 290\.0 mm.*300\.0 mm/)
  expect(problems({ girth: 300, span: 300 })).toMatchObject([{ code: 'contradiction', field: 'span' }])
})

test('an overlap on a part wrap is refused', () => {
  for (const values of [{ girth: 300, gap: 40 }, { span: 215 }]) {
    const [problem, ...others] = problems({ ...values, overlap: 6 })
    expect(others).toEqual([])
    expect(problem).toMatchObject({ code: 'overlap_on_part_wrap', field: 'overlap', value: '6 mm' })
    expect(problem?.text).toMatch(/nothing overlaps/)
  }
  expect(problems({ girth: 300, overlap: 6 })).toEqual([])
})

test('insets that swallow a band are refused', () => {
  const development = straightBand.develop({ ...tin, span: 215 }, thin, say)
  const allowances = { bottom: -50, right: 1, top: -45, left: 1 }
  expect(refusalsOf(development, { ...plainOptions, allowances })).toMatchObject([
    { code: 'allowance_swallows', field: 'tin.allowance' },
  ])
})

const degree = Math.PI / 180
/** Across 200 mm, so that lengths over 100 are those of a cylinder of radius 1. */
const developSlanted = (values: object, facts = thin) => {
  const [panel = expect.fail('no panel')] = straightBand.develop(
    { ...none, height: 60, diameter: 200, ...values },
    facts,
    say,
  )
  return panel
}
const pathOf = ({ edges }: Pick<Development, 'edges'>, name: string) =>
  edges.find((edge) => edge.name === name)?.path ?? expect.fail(`no ${name} edge`)
const areaOf = ({ edges: [first, ...others] }: Pick<Development, 'edges'>) =>
  signedArea(
    closedPath(
      first?.path.start ?? expect.fail('no edge'),
      [first, ...others].flatMap((edge) => edge?.path.segments ?? []),
    ),
  )
/** Height of a path at x, by the one place where an upright line meets it. */
const heightAt = (path: Path, x: number) => {
  const [met, ...others] = crossings(path, point(x, 0), point(0, 1))
  expect(others).toEqual([])
  return met?.reach ?? expect.fail(`nothing at ${x}`)
}

test.each([
  // The first: an ellipse of half axes 2 and 1, to 12 places (note on the HP-42S); the others by elliptic integral.
  [60, 9.68844822055],
  [45, 7.640396],
  [22.5, 6.544589],
  [15, 6.394489],
  [11.25, 6.344882],
])('a cylinder cut at %d degrees has the girth of an ellipse of half axes r and r / cos g', (slant, girth) => {
  const places = slant === 60 ? 9 : 6
  for (const edge of [{ topSlant: slant * degree }, { bottomSlant: slant * degree }]) {
    const name = 'topSlant' in edge ? 'top' : 'bottom'
    expect(pathLength(pathOf(developSlanted(edge), name)) / 100).toBeCloseTo(girth, places)
  }
})

test('a slanted rim is a sine curve, highest halfway round, and its film 2 pi r times its mean height', () => {
  const panel = developSlanted({ topSlant: 30 * degree })
  const [top, tan] = [pathOf(panel, 'top'), Math.tan(30 * degree)]
  const foot = pathOf(panel, 'bottom').start.y
  for (const turn of [-179, -90, -30, 0, 45, 120, 179]) {
    const height = 60 + 100 * tan + 100 * tan * Math.cos(turn * degree)
    expect(heightAt(top, 100 * turn * degree) - foot).toBeCloseTo(height, 6)
  }
  expect(areaOf(panel) / (200 * Math.PI * (60 + 100 * tan))).toBeCloseTo(1, 9)
  expect(distance(panel.hinge.from, panel.hinge.to)).toBeCloseTo(60 + 200 * tan, 9)
})

test('the rise of a rim and its slant say the same: rise over the diameter is the tangent', () => {
  const byAngle = developSlanted({ topSlant: 25 * degree, bottomSlant: 10 * degree, bottomLow: 100 })
  const byTape = developSlanted({
    topRise: 200 * Math.tan(25 * degree),
    bottomDrop: 200 * Math.tan(10 * degree),
    bottomLow: 100,
  })
  for (const name of ['bottom', 'right', 'top', 'left']) {
    expect(pathLength(pathOf(byTape, name))).toBeCloseTo(pathLength(pathOf(byAngle, name)), 6)
  }
})

test('a rim may be highest anywhere: at the left edge it falls and rises again, a quarter round it leans', () => {
  const rise = 200 * Math.tan(20 * degree)
  const atEdge = developSlanted({ topRise: rise, height: 200, topHigh: 0 })
  expect(distance(atEdge.hinge.from, atEdge.hinge.to)).toBeCloseTo(200 - rise, 9)
  const quarter = developSlanted({ topRise: rise, height: 200, topHigh: 50 * Math.PI })
  const [bottom, top] = [pathOf(quarter, 'bottom'), pathOf(quarter, 'top')]
  // The left edge stands midway between lowest and highest.
  expect(heightAt(top, -50 * Math.PI) - bottom.start.y).toBeCloseTo(200 + rise / 2, 6)
  expect(heightAt(top, 50 * Math.PI) - bottom.start.y).toBeCloseTo(200 - rise / 2, 6)
  expect(pathLength(pathOf(quarter, 'right'))).toBeCloseTo(200, 9)
})

test('part wraps with both rims slanting anyhow: area and edges agree with sums over the cylinder itself', () => {
  const steps = 4000
  const anySlant = fc.record({
    topSlant: mm(1, 40),
    bottomSlant: mm(1, 40),
    topHigh: mm(0, 600),
    bottomLow: mm(0, 600),
    gap: mm(5, 300),
  })
  fc.assert(
    fc.property(anySlant, (v) => {
      const [topSlant, bottomSlant] = [v.topSlant * degree, v.bottomSlant * degree]
      const panel = developSlanted({ ...v, topSlant, bottomSlant, height: 400 })
      // Angles from the left edge, heights of both planes over their own middle.
      const covered = (200 * Math.PI - v.gap) / 100
      const plane = (slant: number, high: number) => (turn: number) => 100 * Math.tan(slant) * Math.cos(turn - high)
      const [top, bottom] = [plane(topSlant, v.topHigh / 100), plane(bottomSlant, v.bottomLow / 100 + Math.PI)]
      // Simpson's rule, for the lengths of the two ellipses' parts and for the skin between the planes.
      const sum = (f: (turn: number) => number) =>
        Array.from({ length: steps + 1 }, (_, i) => {
          const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2
          return (weight * f((covered * i) / steps) * covered) / steps / 3
        }).reduce((a, b) => a + b)
      const ellipse = (slant: number, high: number) => (turn: number) =>
        100 * Math.hypot(1, Math.tan(slant) * Math.sin(turn - high))
      const skin = sum((turn) => 100 * (400 + top(turn) - top(0) - bottom(turn) + bottom(0)))
      expect(areaOf(panel) / skin).toBeCloseTo(1, 9)
      expect(pathLength(pathOf(panel, 'top'))).toBeCloseTo(sum(ellipse(topSlant, v.topHigh / 100)), 6)
      expect(pathLength(pathOf(panel, 'bottom'))).toBeCloseTo(sum(ellipse(bottomSlant, v.bottomLow / 100)), 6)
      const right = 400 + top(covered) - top(0) - bottom(covered) + bottom(0)
      expect(pathLength(pathOf(panel, 'right'))).toBeCloseTo(right, 9)
      expect(pathLength(pathOf(panel, 'left'))).toBeCloseTo(400, 9)
    }),
    { numRuns: 30 },
  )
})

test('film and tape thickness count for a slanted rim too: it is the cut of the cylinder in the middle of the film', () => {
  const panel = developSlanted({ topSlant: 60 * degree }, { filmThickness: 0.2, tapeThickness: 0.3 })
  expect(pathLength(pathOf(panel, 'top')) / 100.1).toBeCloseTo(9.68844822055, 8)
})

test('a slant of nothing is the plain band', () => {
  expect(developSlanted({ topSlant: 0, bottomDrop: 0 })).toEqual(developSlanted({}))
})

test('an opening is measured straight up from a slanted lower edge, below its middle', () => {
  const hole = { shape: 'round', diameter: 20, width: undefined, height: undefined, radius: 0 }
  const openings = [{ ...hole, fromLeft: 50 * Math.PI - 10, fromBottom: 30 }]
  const panel = developSlanted({ bottomDrop: 40, openings, points: [{ fromLeft: 100 * Math.PI, fromBottom: 12 }] })
  const bottom = pathOf(panel, 'bottom')
  const box = boundsOf([panel.holes[0]?.path ?? expect.fail('no hole')])
  expect((box.low.x + box.high.x) / 2).toBeCloseTo(-50 * Math.PI, 9)
  // A quarter round from the left edge the rim stands 20 mm lower.
  expect(box.low.y - bottom.start.y).toBeCloseTo(30 - 20, 9)
  expect((panel.points?.[0]?.y ?? 0) - heightAt(bottom, 0)).toBeCloseTo(12, 6)
})

test('the marks of a band that slants are made with a level tape, and its rims can be checked by tape', () => {
  const { marks, notes } = developSlanted({ diameter: undefined, girth: 300, topSlant: 30 * degree })
  expect(marks.map(({ text }) => text).slice(1)).toEqual([
    'Mark the object 150 mm round from the seam line, at the bottom edge.',
    'Mark the object 150 mm round from the seam line, tape level with the upper end of the left edge, and run a line ' +
      'straight up the side through it to the top edge.',
  ])
  expect(notes).toHaveLength(1)
  expect(notes[0]).toMatch(/^The top edge slants by 30\.0 degrees; along the rim it is 323\.\d+ mm long\.$/)
  // A tape reads that, however thick the film.
  const thick = developSlanted(
    { diameter: undefined, girth: 300, topSlant: 30 * degree },
    { filmThickness: 2, tapeThickness: 0 },
  )
  expect(thick.notes[0]?.slice(0, 70)).toBe(notes[0]?.slice(0, 70))
})

test('a rim that dips below the lower edge is refused with the place and how deep', () => {
  // 200 mm across: a rise of 80 mm falls from the highest place, at the left edge, to 20 mm below the lower edge.
  const dips = problems({ diameter: 200, height: 60, topRise: 80, topHigh: 0 })
  expect(dips).toMatchObject([{ code: 'rims_meet', field: 'topRise' }])
  expect(dips[0]?.text).toBe(
    'topRise is so much that the upper rim dips 20.0 mm below the lower one, 314.2 mm round from the left edge; ' +
      'the least height of film is 5 mm. Check the slant, its direction, and the height, which is measured up the ' +
      'left edge of the film.',
  )
  const near = problems({ diameter: 200, height: 60, bottomDrop: 56, bottomLow: 0 })
  expect(near).toMatchObject([{ code: 'rims_meet', field: 'bottomDrop' }])
  expect(near[0]?.text).toMatch(/come within 4\.0 mm of each other, 314\.2 mm round/)
  expect(problems({ diameter: 200, height: 60, topRise: 54, topHigh: 0 })).toEqual([])
})

test('a slant told twice, in part, too steep, past the girth or of an unknown girth is refused', () => {
  const round = { diameter: 200, height: 60 }
  const told = problems({ ...round, topSlant: 10 * degree, topRise: 30 })
  expect(told).toMatchObject([{ code: 'contradiction', field: 'topSlant', value: '10.0 degrees beside topRise 30 mm' }])
  expect(problems({ ...round, bottomLow: 30 })).toMatchObject([{ code: 'missing', field: 'bottomDrop' }])
  // atan 6 is 80.5 degrees.
  const steep = problems({ ...round, topRise: 1200 })
  expect(steep).toMatchObject([{ code: 'too_steep', field: 'topRise' }])
  expect(steep[0]?.text).toMatch(/1200 mm, a slant of 80\.5 degrees; the most is 80\.0 degrees/)
  expect(problems({ ...round, topRise: 30, topHigh: 629 })).toMatchObject([
    { code: 'past_the_girth', field: 'topHigh' },
  ])
  expect(problems({ span: 215, topRise: 30 })).toMatchObject([{ code: 'missing', field: 'girth' }])
})

test('labels of a band that slants stand half way between its rims', () => {
  const panel = developSlanted({ height: 20, topRise: 150, bottomDrop: 40, bottomLow: 200 })
  expect(panel.labelSpots).toHaveLength(4)
  for (const { at } of panel.labelSpots) {
    const half = (heightAt(pathOf(panel, 'bottom'), at.x) + heightAt(pathOf(panel, 'top'), at.x)) / 2
    // The baseline is a little lower than the middle.
    expect(half - at.y).toBeCloseTo(2, 6)
  }
})

test('slanted bands become panels with their allowances, hinge ticks and slit', () => {
  fc.assert(
    fc.property(slantedStraight, ({ values, facts }) => {
      expect(straightBand.check(values)).toEqual([])
      const panel = panelOf(straightBand.develop(values, facts, say))
      expect(panel.ticks.filter((tick) => tick.role === 'hinge').map((tick) => tick.edge)).toEqual(['bottom', 'top'])
      expect(panel.slits).toHaveLength(1)
    }),
    { numRuns: 20 },
  )
})
