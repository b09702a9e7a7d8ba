import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { polygonGirth, roundedPolygon } from '../../templates/rounded-polygon/template.ts'
import { any } from './any/rounded-polygon.ts'
import { expectClosed, faceOf } from './faces.ts'
import { mm, panelOf, plainOptions, say, thin, unopened } from './measures.ts'

const none = { side: undefined, acrossFlats: undefined, radius: 0, ...unopened }
const developed = (values: object) => faceOf(roundedPolygon.develop({ ...none, ...values }, thin, say))
const bare = { ...plainOptions, allowances: { other: 0 } }
const problems = (values: object) =>
  roundedPolygon.check({ ...none, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

test('a hexagon of 40 is 240 round, 236.774910 with corners of 5; an octagon of 30 with corners of 4 238.623073', () => {
  for (const [sides, side, radius, girth] of [
    [6, 40, 0, 240],
    [6, 40, 5, 236.77491],
    [8, 30, 4, 238.623073],
  ] as const) {
    expect(polygonGirth(sides, side, radius)).toBeCloseTo(girth, 6)
    const panel = panelOf([developed({ sides, side, radius })], bare)
    expect(pathLength(panel.outline)).toBeCloseTo(girth, 6)
  }
  expect(developed({ sides: 6, side: 40, radius: 5 }).notes[0]).toMatch(/measures 236\.7749\d* mm/)
})

test('a hexagon 40 root 3 across flats has sides of 40', () => {
  const [bottom] = developed({ sides: 6, acrossFlats: 40 * Math.sqrt(3) }).edges
  expect(bottom && pathLength(bottom.path)).toBeCloseTo(40, 12)
})

test('an allowance adds girth a + pi a^2 to rounded sides, and sides n a^2 tan(pi/n) in place of pi a^2 to sharp ones', () => {
  fc.assert(
    fc.property(any, mm(-6, 8), ({ template, values, facts }, a) => {
      expect(template.check(values)).toEqual([])
      const face = faceOf(template.develop(values, facts, say))
      expectClosed(face)
      const [n, r] = [Number(values.sides), Number(values.radius)]
      const t = Math.tan(Math.PI / n)
      const side = values.side === undefined ? Number(values.acrossFlats) * t : Number(values.side)
      const sharp = (n * side * side) / (4 * t)
      const cut = n * t - Math.PI
      const area = sharp - cut * r * r + (n * side - 2 * cut * r) * a + (r > 0 ? Math.PI : n * t) * a * a
      const panel = panelOf([face], { ...plainOptions, allowances: { other: a } })
      expect(signedArea(panel.outline) / area).toBeCloseTo(1, 9)
    }),
  )
})

test('the hinge runs from the middle of the bottom side to the opposite side, or to the middle of the opposite corner', () => {
  const hexagon = developed({ sides: 6, acrossFlats: 170, radius: 15 })
  expect(hexagon.edges.map(({ name }) => name)).toEqual(['bottom', 'side 2', 'side 3', 'top', 'side 5', 'side 6'])
  expect(panelOf([hexagon]).ticks.map(({ edge }) => edge)).toEqual(['bottom', 'top'])
  // A triangle of 150 stands 75 root 3 high; a corner of 15 takes off 15 (1 / cos 60 - 1) = 15.
  const { hinge } = developed({ sides: 3, side: 150, radius: 15 })
  expect(hinge.to.y - hinge.from.y).toBeCloseTo(75 * Math.sqrt(3) - 15, 9)
  const ticks = panelOf([developed({ sides: 3, side: 150, radius: 15 })]).ticks
  expect(ticks[0]?.edge).toBe('bottom')
  expect(['side 2', 'side 3']).toContain(ticks[1]?.edge)
})

test('size given in no way, in two ways, or across flats that there are not, is refused', () => {
  expect(problems({ sides: 6 })).toMatchObject([{ code: 'missing', field: 'side' }])
  const [both, ...others] = problems({ sides: 6, side: 40, acrossFlats: 75 })
  expect(others).toEqual([])
  expect(both).toMatchObject({ code: 'contradiction', field: 'side' })
  expect(both?.text).toMatch(/40 mm, which makes 69\.28 mm across flats; acrossFlats is 75 mm/)
  const [odd] = problems({ sides: 5, acrossFlats: 75 })
  expect(odd).toMatchObject({ code: 'no_opposite_side', field: 'acrossFlats' })
  expect(odd?.text).toMatch(/with 5 sides a corner stands opposite each side/)
})

test('a rounding that leaves less than 1 mm of a side straight is refused with the most there can be', () => {
  // 39 / (2 tan 30) = 33.775
  expect(problems({ sides: 6, side: 40, radius: 33.7 })).toEqual([])
  const [problem] = problems({ sides: 6, side: 40, radius: 34 })
  expect(problem).toMatchObject({ code: 'radii_too_big', field: 'radius', value: '34 mm' })
  expect(problem?.limit).toMatch(/at most 33\.77 mm/)
})
