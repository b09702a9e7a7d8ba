import { expect, test } from 'vitest'
import { pathLength } from '../../src/geometry/length.ts'
import { distance } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { panelOf, plainOptions, refusalsOf, say, thin } from './measures.ts'

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
}
const pail = { bottomGirth: 700, topGirth: 800, slant: 200 }
const develop = (values: object, facts = thin) => taperedBand.develop({ ...none, ...values }, facts, say)
const problems = (values: object) =>
  taperedBand.check({ ...none, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

test('girths and slant, diameters and height give one and the same pail', () => {
  const byTape = develop(pail)
  const byCaliper = develop({
    bottomDiameter: 700 / Math.PI,
    topDiameter: 800 / Math.PI,
    height: 199.365737,
  })
  byTape.edges.forEach((edge, i) => {
    const other = byCaliper.edges[i]?.path ?? expect.fail('an edge is missing')
    expect(pathLength(other)).toBeCloseTo(pathLength(edge.path), 5)
  })
})

test('film and tape thickness count at both edges alike', () => {
  const [bottom, , top] = develop(pail, { filmThickness: 0.08, tapeThickness: 0.2 }).edges
  expect(bottom && pathLength(bottom.path)).toBeCloseTo(700 - 0.12 * Math.PI, 9)
  expect(top && pathLength(top.path)).toBeCloseTo(800 - 0.12 * Math.PI, 9)
})

test('gaps measured at both edges are left bare at both edges', () => {
  const [bottom, , top] = develop({ ...pail, bottomGap: 30, topGap: 60 }).edges
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
