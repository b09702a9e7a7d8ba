import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { deviation } from '../../src/geometry/deviation.ts'
import { rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { panelOf, plainOptions, refusalsOf, say, square, thin } from './measures.ts'

const opening = {
  shape: 'rectangular' as const,
  diameter: undefined as number | undefined,
  width: 40 as number | undefined,
  height: 30 as number | undefined,
  radius: 0,
  fromLeft: 20,
  fromBottom: 20,
}
const round = { ...opening, shape: 'round' as const, diameter: 30, width: undefined, height: undefined }
const lid = (openings: readonly object[] = [], radius = square) =>
  ({ width: 320, height: 180, radius, openings, points: [] }) as Parameters<typeof flatPanel.develop>[0]
const developed = (...openings: readonly object[]) => flatPanel.develop(lid(openings), thin, say)

const all = (r: number) => ({ bottomLeft: r, bottomRight: r, topRight: r, topLeft: r })

test('a lid of 320 x 180 mm with 12 mm corners and 1 mm all round is 322 x 182 mm with 13 mm corners', () => {
  const panel = panelOf(flatPanel.develop(lid([], all(12)), thin, say))
  const wanted = rectangle(point(-161, -91), point(161, 91), [13, 13, 13, 13])
  expect(deviation(panel.outline, wanted).distance).toBeLessThan(2e-3)
})

test('openings stay as they were measured, whatever the allowance', () => {
  const panel = panelOf(developed(opening, { ...round, fromLeft: 150 }), {
    ...plainOptions,
    allowances: { bottom: 5, right: 4, top: 3, left: 2 },
  })
  const [first, second] = panel.holes.map((hole) => boundsOf([hole]))
  expect(first).toEqual({ low: { x: -140, y: -70 }, high: { x: -100, y: -40 } })
  expect(second?.low.x).toBeCloseTo(-10, 9)
  expect(second?.high.x).toBeCloseTo(20, 9)
  expect(second?.low.y).toBeCloseTo(-70, 9)
  expect(second?.high.y).toBeCloseTo(-40, 9)
})

test('an opening across the cut edge is bitten out of the outline, one beside the panel is refused', () => {
  // 322 x 182 mm; the opening of 40 x 30 mm begins at x = 140 and leaves 21 mm of itself on the film.
  const panel = panelOf(developed({ ...opening, fromLeft: 300 }))
  expect(panel.holes).toEqual([])
  expect(signedArea(panel.outline)).toBeCloseTo(322 * 182 - 21 * 30, 6)
  const [problem, ...others] = refusalsOf(developed({ ...opening, fromLeft: 330 }))
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'opening_outside', field: 'tin.openings[0]' })
  expect(problem && formatProblem(problem)).toMatch(/must meet the film.*Check its distances/)
})

test('an opening that cuts the panel in two, or leaves nothing of it, is refused', () => {
  const over = (values: object) => refusalsOf(developed({ ...opening, fromLeft: 100, fromBottom: -50, ...values }))
  expect(over({ height: 400 })).toMatchObject([{ code: 'opening_splits' }])
  expect(over({ fromLeft: -100, width: 1000, height: 400 })).toMatchObject([{ code: 'opening_swallows' }])
  expect(over({ height: 100 })).toEqual([])
})

test('an opening that leaves less than 2 mm beside the cut edge is refused, and one that leaves 2 mm is not', () => {
  // 1 mm of allowance counts: 0.9 mm inside the measured edge leaves 1.9 mm.
  const [problem] = refusalsOf(developed({ ...opening, fromLeft: 0.9 }))
  expect(problem?.code).toBe('opening_near_edge')
  expect(problem?.limit).toBe('the least film beside an opening is 2 mm')
  expect(refusalsOf(developed({ ...opening, fromLeft: 1 }))).toEqual([])
})

test('two openings with a bridge of less than 2 mm between them are refused by both their names', () => {
  const beside = (fromLeft: number) => refusalsOf(developed(opening, { ...opening, fromLeft }))
  const [problem, ...others] = beside(61.9)
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'openings_too_near', field: 'tin.openings[0]' })
  expect(problem?.value).toBe('less than 2 mm from openings[1]')
  expect(beside(60)).toEqual([])
  expect(beside(62.01)).toEqual([])
})

test('openings that overlap, or lie against each other, are cut as one', () => {
  const areas = (fromLeft: number) =>
    panelOf(developed(opening, { ...opening, fromLeft })).holes.map((hole) => signedArea(hole))
  expect(areas(40)).toEqual([expect.closeTo(60 * 30, 9)])
  expect(areas(60)).toEqual([expect.closeTo(80 * 30, 9)])
})

test('insets that leave nothing are refused with the size of the bare panel', () => {
  const inset = (left: number, right: number) =>
    refusalsOf(developed(), { ...plainOptions, allowances: { bottom: 1, right, top: 1, left } })
  for (const [left, right] of [
    [-160, -160],
    [-322, 1],
    [-5, -400],
    [-200, -200],
  ] as const) {
    const [problem] = inset(left, right)
    expect(problem).toMatchObject({ code: 'allowance_swallows', field: 'tin.allowance' })
    expect(problem?.limit).toMatch(/320\.0 x 180\.0 mm/)
  }
  expect(inset(-100, -100)).toEqual([])
})

test('insets that leave a panel beside its hinge are refused', () => {
  const allowances = { bottom: 1, right: 1, top: 1, left: -200 }
  const problems = refusalsOf(developed(), { ...plainOptions, allowances })
  expect(problems.map(({ code, field }) => [code, field])).toEqual([['hinge_off_panel', 'tin.allowance']])
})

test('a strip wider than the panel is refused', () => {
  const slit = (strip: number) => refusalsOf(developed(), { ...plainOptions, slit: { lines: 'strip', strip } })
  expect(slit(330)).toMatchObject([{ code: 'strip_too_wide', field: 'tin.strip', value: '330 mm' }])
  expect(slit(300)).toEqual([])
})

test('corners that do not fit beside each other are refused by edge', () => {
  expect(flatPanel.check(lid([], all(90)))).toEqual([])
  const problems = flatPanel.check(lid([], { ...square, bottomLeft: 100, topLeft: 81 }))
  expect(problems).toMatchObject([{ code: 'radii_too_big', field: 'radius' }])
  expect(problems[0] && formatProblem(problems[0])).toMatch(/181 mm for the two corners of the left edge.*180 mm/)
  expect(flatPanel.check(lid([{ ...opening, radius: 16 }]))).toMatchObject([
    { code: 'radii_too_big', field: 'openings[0].radius' },
  ])
})

test('an opening says what it still needs', () => {
  const problems = flatPanel.check(
    lid([
      { ...opening, width: undefined },
      { ...round, diameter: undefined },
    ]),
  )
  expect(problems.map(({ code, field }) => [code, field])).toEqual([
    ['missing', 'openings[0].width'],
    ['missing', 'openings[1].diameter'],
  ])
})
