import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { ring } from '../../templates/ring/template.ts'
import { any } from './any/ring.ts'
import { faceOf } from './faces.ts'
import { mm, panelOf, plainOptions, say, unopened } from './measures.ts'

const problems = (values: object) =>
  ring.check({ outer: 168, inner: 74, ...unopened, ...values }).map((problem) => ({
    ...problem,
    text: formatProblem(problem),
  }))

test('the film of a ring is the outer disc with its allowance, less the inner disc as it was measured', () => {
  fc.assert(
    fc.property(any, mm(-6, 8), ({ template, values, facts }, allowance) => {
      expect(template.check(values)).toEqual([])
      const face = faceOf(template.develop(values, facts, say))
      const panel = panelOf([face], { ...plainOptions, allowances: { other: allowance } })
      const [outer, inner] = [Number(values.outer) / 2 + allowance, Number(values.inner) / 2]
      expect(panel.holes).toHaveLength(1)
      const film = panel.holes.reduce((sum, hole) => sum - Math.abs(signedArea(hole)), signedArea(panel.outline))
      expect(film / (Math.PI * (outer * outer - inner * inner))).toBeCloseTo(1, 9)
    }),
  )
})

test('a ring with no film left in it is refused, and diameters changed over are named', () => {
  expect(problems({})).toEqual([])
  expect(problems({ inner: 164 })).toEqual([])
  const [narrow, ...others] = problems({ inner: 166 })
  expect(others).toEqual([])
  expect(narrow).toMatchObject({ code: 'ring_too_narrow', field: 'inner', value: '166 mm' })
  expect(narrow?.text).toMatch(/outer diameter is 168 mm, and 2 mm of film .* 164 mm at the most/)
  expect(problems({ inner: 200 })).toMatchObject([
    { code: 'changed_over', cure: 'Check whether outer and inner were changed over.' },
  ])
})

test('the sheet says that the inner edge takes no allowance', () => {
  const face = faceOf(ring.develop({ outer: 168, inner: 74, ...unopened }, { filmThickness: 0, tapeThickness: 0 }, say))
  expect(face.notes.at(-1)).toMatch(/cut at 74 mm as measured, without an allowance/)
})
