import { expect, test } from 'vitest'
import { pathLength } from '../../src/geometry/length.ts'
import { distance } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { panelOf, plainOptions, refusalsOf, say, thin } from './measures.ts'

const none = { girth: undefined, diameter: undefined, gap: undefined, span: undefined, overlap: undefined }
const tin = { ...none, height: 95 }
const bottomLength = (values: object, facts = thin) => {
  const { edges } = straightBand.develop({ ...tin, ...values }, facts, say)
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
    straightBand.develop({ ...tin, ...values }, { filmThickness: 0.1, tapeThickness: 0.3 }, say).marks
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
