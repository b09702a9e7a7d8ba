import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { pathPart } from '../../src/geometry/length.ts'
import { loopOf } from '../../src/geometry/loop.ts'
import { circle, lineTo, openPath, type Path, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { mm } from '../templates/measures.ts'

const runOn = (path: Path, by: number): Path => ({
  ...path,
  closed: false,
  segments: [...path.segments, ...pathPart(path, 0, by).segments],
})

test('a closed line, or one that ends where it began, is its own loop', () => {
  const square = rectangle(point(0, 0), point(30, 20))
  expect(loopOf(square)).toBe(square)
  expect(signedArea(loopOf({ ...square, closed: false }) ?? expect.fail('no loop'))).toBeCloseTo(600, 9)
})

test('a cut that runs on past its start closes where it comes back', () => {
  fc.assert(
    fc.property(mm(20, 100), mm(20, 100), mm(0.05, 10), (width, height, by) => {
      const loop = loopOf(runOn(rectangle(point(0, 0), point(width, height)), by))
      expect(Math.abs(signedArea(loop ?? expect.fail('no loop')) - width * height)).toBeLessThan(
        0.05 * (width + height),
      )
    }),
    { numRuns: 60 },
  )
  const round = loopOf(runOn(circle(point(5, 5), 12), 0.5))
  expect(Math.abs(signedArea(round ?? expect.fail('no loop')) - Math.PI * 144)).toBeLessThan(1)
})

test('a letter that crosses its own start and goes elsewhere is no loop', () => {
  const stem = openPath(
    point(0, 0),
    lineTo(point(0, 10)),
    lineTo(point(6, 10)),
    lineTo(point(6, 0)),
    lineTo(point(-4, 0)),
  )
  expect(loopOf(stem)).toBeUndefined()
})

test('a cut is a loop although its tip is pushed to and fro where it starts', () => {
  const pushed = Array.from({ length: 12 }, (_, i) => lineTo(point(10 + (i % 2 === 0 ? 0.03 : 0), 0)))
  const round = [point(30, 0), point(30, 20), point(0, 20), point(0, 0), point(10.3, 0)].map(lineTo)
  const loop = loopOf(openPath(point(10, 0), ...pushed, ...round))
  expect(signedArea(loop ?? expect.fail('no loop'))).toBeCloseTo(600, 0)
})

test('a cut that leaves its line where it runs on past its start is no loop', () => {
  const past = (aside: number) => [point(10.3, aside), point(10.6, 0)].map(lineTo)
  const round = [point(30, 0), point(30, 20), point(0, 20), point(0, 0), point(10, 0)].map(lineTo)
  expect(loopOf(openPath(point(10, 0), ...round, ...past(0)))).toBeDefined()
  expect(loopOf(openPath(point(10, 0), ...round, ...past(0.6)))).toBeUndefined()
})

test('a cut that stops short of its start makes none', () => {
  const open = openPath(
    point(0, 0),
    lineTo(point(40, 0)),
    lineTo(point(40, 30)),
    lineTo(point(0, 30)),
    lineTo(point(0, 0.1)),
  )
  expect(loopOf(open)).toBeUndefined()
  expect(loopOf(openPath(point(0, 0), lineTo(point(5, 0))))).toBeUndefined()
})
