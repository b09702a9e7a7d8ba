import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { ellipseGirth, lowerHalfEllipse } from '../../templates/ellipse.ts'
import { outlineOf } from '../../templates/flat-face.ts'
import { oval } from '../../templates/oval/template.ts'
import { any } from './any/oval.ts'
import { expectClosed, faceOf, pointsRound, roundLength } from './faces.ts'
import { mm, panelOf, plainOptions, say, thin, unopened } from './measures.ts'

const developed = (width: number, height: number) => faceOf(oval.develop({ width, height, ...unopened }, thin, say))

// "Perimeter of an Ellipse (HP-42S)"; 10,5 and 10,1 recomputed with another program.
const published = [
  [2, 1, 9.68844822055],
  [3, 2, 15.8654395893],
  [4, 3, 22.1034921607],
  [5, 4, 28.361667889],
  [10, 5, 48.4422411],
  [10, 1, 40.6397418],
] as const

test('girths of ellipses are the published ones, of the integral and of the outline', () => {
  for (const [a, b, girth] of published) {
    const places = girth > 40 ? 7 : 9
    expect(ellipseGirth(a, b)).toBeCloseTo(girth, places)
    expect(ellipseGirth(b, a)).toBe(ellipseGirth(a, b))
    expect(roundLength(developed(2 * a, 2 * b)) / girth).toBeCloseTo(1, 8)
  }
  expect(ellipseGirth(7, 7)).toBeCloseTo(14 * Math.PI, 12)
  expect(ellipseGirth(1, 0)).toBe(4)
})

test('the girth of any ellipse is the sum of its speed over equal steps, which closes in fast on a closed curve', () => {
  fc.assert(
    fc.property(mm(1, 500), mm(1, 10), (b, ratio) => {
      const a = b * ratio
      const count = 2000
      let sum = 0
      for (let i = 0; i < count; i++) {
        const t = (2 * Math.PI * i) / count
        sum += (Math.hypot(a * Math.sin(t), b * Math.cos(t)) * 2 * Math.PI) / count
      }
      expect(ellipseGirth(a, b) / sum).toBeCloseTo(1, 12)
    }),
  )
})

test('the outline stands on the ellipse within 4e-11 of its longer axis, and holds pi a b to 1e-9', () => {
  fc.assert(
    fc.property(any, ({ values, facts }) => {
      const face = faceOf(oval.develop(values, facts, say))
      expectClosed(face)
      const [a, b] = [Number(values.width) / 2, Number(values.height) / 2]
      for (const { x, y } of pointsRound(face, 7)) expect(Math.abs(Math.hypot(x / a, y / b) - 1)).toBeLessThan(4e-11)
      expect(Math.abs(signedArea(outlineOf(face.edges)) / (Math.PI * a * b) - 1)).toBeLessThan(1e-9)
    }),
  )
})

test('the two halves meet in the vertices of the ellipse, to the last bit', () => {
  const lower = lowerHalfEllipse(100, 60)
  expect(lower.start).toEqual({ x: -100, y: 0 })
  expect(lower.segments.at(-1)?.to).toEqual({ x: 100, y: 0 })
  expect(lower.segments[lower.segments.length / 2 - 1]?.to).toEqual({ x: 0, y: -60 })
})

test('an allowance a all round adds girth a + pi a^2 (parallel curves of convex ones, Steiner)', () => {
  fc.assert(
    fc.property(any, mm(-6, 8), ({ values, facts }, a) => {
      const face = faceOf(oval.develop(values, facts, say))
      const panel = panelOf([face], { ...plainOptions, allowances: { other: a } })
      const [w, h] = [Number(values.width), Number(values.height)]
      const wanted = (Math.PI * w * h) / 4 + ellipseGirth(w / 2, h / 2) * a + Math.PI * a * a
      // Parallels of cubics are laid within 1e-4 mm.
      expect(Math.abs(signedArea(panel.outline) - wanted)).toBeLessThan(1e-4 * ellipseGirth(w / 2, h / 2))
    }),
    { numRuns: 40 },
  )
})

test('an oval more slender than 20 to 1 is refused by its short axis', () => {
  const check = (width: number, height: number) => oval.check({ width, height, ...unopened })
  expect(check(2000, 100)).toEqual([])
  const [problem, ...others] = check(2001, 100)
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'too_slender', field: 'height', value: '100 mm' })
  expect(problem && formatProblem(problem)).toMatch(/the width is 2001 mm, and an oval is at most 20 times/)
  expect(check(100, 2001)).toMatchObject([{ code: 'too_slender', field: 'width' }])
})
