import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { outlineOf } from '../../templates/flat-face.ts'
import { stadium } from '../../templates/stadium/template.ts'
import { any } from './any/stadium.ts'
import { expectClosed, faceOf, roundLength } from './faces.ts'
import { mm, panelOf, plainOptions, say, thin, unopened } from './measures.ts'

const developed = (length: number, width: number) => faceOf(stadium.develop({ length, width, ...unopened }, thin, say))

test('a stadium of 100 x 60 over all is 268.495559 round: two straights of 40 and a circle of 60', () => {
  const face = developed(100, 60)
  expect(roundLength(face)).toBeCloseTo(268.495559, 6)
  const { low, high } = boundsOf([outlineOf(face.edges)])
  for (const [found, wanted] of [
    [low.x, -50],
    [low.y, -30],
    [high.x, 50],
    [high.y, 30],
  ] as const) {
    expect(found).toBeCloseTo(wanted, 12)
  }
})

test('any stadium with an allowance a is the stadium 2 a longer and wider', () => {
  fc.assert(
    fc.property(any, mm(-6, 8), ({ template, values, facts }, a) => {
      expect(template.check(values)).toEqual([])
      const face = faceOf(template.develop(values, facts, say))
      expectClosed(face)
      const panel = panelOf([face], { ...plainOptions, allowances: { other: a } })
      const [length, width] = [Number(values.length), Number(values.width)]
      const area = (more: number) => {
        const across = width + 2 * more
        return (length - width) * across + (Math.PI * across * across) / 4
      }
      expect(signedArea(outlineOf(face.edges)) / area(0)).toBeCloseTo(1, 12)
      expect(signedArea(panel.outline) / area(a)).toBeCloseTo(1, 9)
    }),
  )
})

test('a stadium wider than long is refused', () => {
  const check = (length: number, width: number) => stadium.check({ length, width, ...unopened })
  expect(check(110, 110)).toEqual([])
  const [problem, ...others] = check(100, 110)
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'changed_over', field: 'length', value: '100 mm' })
  expect(problem && formatProblem(problem)).toMatch(/the width is 110 mm.*changed over/)
})
