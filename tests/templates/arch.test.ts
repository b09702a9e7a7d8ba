import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { endOf } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { arch, bowOver } from '../../templates/arch/template.ts'
import { outlineOf } from '../../templates/flat-face.ts'
import { any } from './any/arch.ts'
import { edgeOf, expectClosed, faceOf, pointsRound } from './faces.ts'
import { panelOf, plainOptions, refusalsOf, say, thin, unopened } from './measures.ts'

const none = { measured: 'inner', chord: undefined, rise: undefined, radius: undefined, angle: undefined, ...unopened }
const developed = (values: object) => faceOf(arch.develop({ ...none, width: 70, ...values }, thin, say))
const problems = (values: object) =>
  arch.check({ ...none, width: 70, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

test('chord 21 and sagitta 6 make radius 12.1875, angle 118.97953 and arc 25.308373 (matheass.eu, Circular Sections)', () => {
  const { radius, angle } = bowOver(21, 6)
  expect(radius).toBe(12.1875)
  expect((angle * 180) / Math.PI).toBeCloseTo(118.97953, 5)
  expect(radius * angle).toBeCloseTo(25.308373, 6)
  const inner = edgeOf(developed({ chord: 21, rise: 6 }), 'bottom')
  expect(pathLength(inner)).toBeCloseTo(25.308373, 6)
  expect(distance(inner.start, endOf(inner))).toBeCloseTo(21, 9)
  const outer = edgeOf(developed({ chord: 210, rise: 60, measured: 'outer' }), 'top')
  expect(pathLength(outer)).toBeCloseTo(253.08373, 5)
})

test('a rise of more than half the chord is more than half a turn', () => {
  // Three quarters of a circle of 100: chord 100 root 2, rise 100 + 50 root 2.
  const { radius, angle } = bowOver(100 * Math.SQRT2, 100 + 50 * Math.SQRT2)
  expect(radius).toBeCloseTo(100, 9)
  expect(angle).toBeCloseTo(1.5 * Math.PI, 12)
})

test('chord and rise and radius and angle are the same arch', () => {
  const byChord = developed({ chord: 200, rise: 100, openings: [], points: [{ fromLeft: 30, fromBottom: 20 }] })
  const byRadius = developed({ radius: 100, angle: Math.PI, points: [{ fromLeft: 30, fromBottom: 20 }] })
  byChord.edges.forEach(({ path }, i) => {
    const other = byRadius.edges[i]?.path ?? expect.fail('an edge is missing')
    expect(distance(path.start, other.start)).toBeLessThan(1e-9)
    expect(Math.abs(pathLength(path) - pathLength(other))).toBeLessThan(1e-9)
  })
})

test('any arch is a piece of a ring: its edges lie on two circles about one centre, and its area is theirs', () => {
  fc.assert(
    fc.property(any, ({ template, values, facts }) => {
      expect(template.check(values)).toEqual([])
      const face = faceOf(template.develop(values, facts, say))
      expectClosed(face)
      panelOf([face])
      const given = values as unknown as { chord?: number; rise?: number; radius?: number; angle?: number }
      const width = Number(values.width)
      const bow =
        given.radius === undefined
          ? bowOver(given.chord ?? 0, given.rise ?? 0)
          : { radius: given.radius, angle: given.angle ?? 0 }
      const inner = values.measured === 'inner' ? bow.radius : bow.radius - width
      const centre = point(0, -width / 2 - inner)
      const size = inner + width
      for (const p of pointsRound({ ...face, edges: face.edges.filter(({ name }) => name === 'bottom') }, 9)) {
        expect(Math.abs(distance(p, centre) - inner) / size).toBeLessThan(1e-12)
      }
      for (const p of pointsRound({ ...face, edges: face.edges.filter(({ name }) => name === 'top') }, 9)) {
        expect(Math.abs(distance(p, centre) - size) / size).toBeLessThan(1e-12)
      }
      expect(pathLength(edgeOf(face, 'left'))).toBeCloseTo(width, 8)
      expect(pathLength(edgeOf(face, 'right'))).toBeCloseTo(width, 8)
      const area = (bow.angle / 2) * (size * size - inner * inner)
      expect(Math.abs(signedArea(outlineOf(face.edges)) / area - 1)).toBeLessThan(1e-9)
    }),
  )
})

test('places are told along the inner edge and outward from it', () => {
  // A quarter turn of radius 100: a third of the inner edge on is at 15 degrees left of upright.
  const third = (100 * Math.PI) / 2 / 3
  const openings = [
    {
      shape: 'round',
      diameter: 20,
      width: undefined,
      height: undefined,
      radius: 0,
      fromLeft: third - 10,
      fromBottom: 25,
    },
  ]
  const face = developed({ radius: 100, angle: Math.PI / 2, openings, points: [{ fromLeft: third, fromBottom: 35 }] })
  const centre = point(0, -35 - 100)
  const turn = Math.PI / 12
  const wanted = { x: centre.x - 135 * Math.sin(turn), y: centre.y + 135 * Math.cos(turn) }
  expect(face.points).toEqual([{ x: expect.closeTo(wanted.x, 9), y: expect.closeTo(wanted.y, 9) }])
  // The tape lies 10 mm short of a third, where the line from the centre to the middle of its left side comes down.
  const ray = Math.PI / 4 - (third - 10) / 100 - Math.atan(10 / 135)
  const { low, high } = boundsOf(face.holes.map((hole) => hole.path))
  expect((low.x + high.x) / 2).toBeCloseTo(-135 * Math.sin(ray), 9)
  expect((low.y + high.y) / 2).toBeCloseTo(centre.y + 135 * Math.cos(ray), 9)
})

test('the hinge marks stand half of each curved edge from its ends', () => {
  const { marks } = developed({ radius: 100, angle: 2 })
  const told = marks.map(({ text }) => Number(/object ([\d.]+) mm/.exec(text)?.[1]))
  expect(told).toEqual([expect.closeTo(100, 9), expect.closeTo(170, 9)])
})

test('measures that are missing, or given in two ways, are refused', () => {
  expect(problems({})).toMatchObject([{ code: 'missing', field: 'chord' }])
  expect(problems({ chord: 210 })).toMatchObject([{ code: 'missing', field: 'rise' }])
  expect(problems({ radius: 100 })).toMatchObject([{ code: 'missing', field: 'angle' }])
  const [both, ...others] = problems({ chord: 21, rise: 6, radius: 13 })
  expect(others).toEqual([])
  expect(both).toMatchObject({ code: 'contradiction', field: 'radius', value: '13 mm' })
  expect(both?.text).toMatch(/chord and rise make a radius of 12\.19 mm and 119 degrees/)
})

test('a width that swallows the inner edge, and an arc of nearly a whole turn, are refused', () => {
  const [wide] = problems({ measured: 'outer', radius: 60, angle: 1 })
  expect(wide).toMatchObject({ code: 'too_wide', field: 'width', value: '70 mm' })
  expect(wide?.text).toMatch(/radius of the outer edge is 60 mm/)
  expect(problems({ measured: 'outer', radius: 71, angle: 1 })).toEqual([])
  const [round] = problems({ chord: 10, rise: 200 })
  expect(round).toMatchObject({ code: 'angle_too_wide', field: 'rise' })
  expect(round?.text).toMatch(/200 mm, which makes 354\.3 degrees; an arch takes up at most 345 degrees/)
})

test('an allowance wider than the inner radius is said to make the edges run into each other, not to leave nothing', () => {
  const tight = [developed({ radius: 6, angle: Math.PI / 2 })]
  const withAllowance = (other: number) => refusalsOf(tight, { ...plainOptions, allowances: { other } })
  expect(withAllowance(5)).toEqual([])
  const [problem] = withAllowance(10)
  expect(problem).toMatchObject({
    code: 'allowance_collides',
    value: 'bottom 10 mm, right 10 mm, top 10 mm, left 10 mm',
  })
})
