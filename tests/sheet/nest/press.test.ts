import { areaD, FillRule, intersectD, type PathD } from 'clipper2-ts'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { lossOf, put } from '../../../src/sheet/nest/field.ts'
import { leastLast } from '../../../src/sheet/nest/least-linear.ts'
import { press } from '../../../src/sheet/nest/press.ts'
import type { NestPiece, Ring } from '../../../src/sheet/nest/problem.ts'
import { roomBeside } from '../../../src/sheet/nest/room.ts'
import { searchOf } from '../../../src/sheet/nest/search.ts'
import type { Laid } from '../../../src/sheet/nest/shape.ts'
import { shapeOf } from '../../../src/sheet/nest/shape.ts'
import { bed, box } from './problems.ts'

function lastOf<Result>(steps: Generator<unknown, Result>): Result {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

/** Where pieces on a strip of 200 come to lie, pressed once: their places, how far they reach, and whether any overlap. */
function pressedFrom(width: number, pieces: readonly (readonly [Ring, number, number])[]) {
  const laid = pieces.map(([outer]): NestPiece => ({ region: { outer, holes: [] }, turns: [0] }))
  const { field } = lastOf(searchOf({ pieces: laid, beds: [bed(200, width, 'length')] }, 1))
  for (const [i, [, x, y]] of pieces.entries()) put(field, i, field.at[i] as Laid, x, y, 0)
  const isDone = lastOf(press(field, 0))
  const losses = pieces.flatMap((_, i) =>
    pieces.flatMap((_, j) =>
      i === j ? [] : [lossOf(field, i, field.at[i] as Laid, field.x[i] ?? 0, field.y[i] ?? 0, j)],
    ),
  )
  return { isDone, reach: Math.max(...field.highX), x: [...field.x], isApart: losses.every((loss) => loss === 0) }
}

test('leastLast finds the lower of two slopes that meet, and says where rows cannot be kept to', () => {
  const problem = (least: number[]) => ({
    count: 2,
    at: Int32Array.from([0, 1, 0, 0, 0, 1, 0, 0]),
    // z1 >= 3 - z0 and z1 >= 1 + z0 meet at z0 = 1, z1 = 2
    by: Float64Array.from([1, 1, 0, 0, -1, 1, 0, 0]),
    least: Float64Array.from(least),
    low: Float64Array.from([-10, -10]),
    high: Float64Array.from([10, 10]),
  })
  const z = lastOf(leastLast(problem([3, 1]), 1e-6)) ?? []
  expect(z[0]).toBeCloseTo(1, 4)
  expect(z[1]).toBeCloseTo(2, 4)
  // no two of at most 10 add up to 30
  expect(lastOf(leastLast(problem([30, 1]), 1e-6))).toBeUndefined()
})

test('two squares side by side are pressed together', () => {
  const { isDone, reach, x } = pressedFrom(12, [
    [box(10, 10), 0.5, 1],
    [box(10, 10), 11.5, 1],
  ])
  expect(isDone).toBe(true)
  expect(reach).toBeCloseTo(20, 2)
  expect(x[0]).toBeCloseTo(0, 2)
})

test('two squares that overlap by 1 are pressed apart', () => {
  const { isDone, reach, isApart } = pressedFrom(12, [
    [box(10, 10), 0, 1],
    [box(10, 10), 9, 1],
  ])
  expect([isDone, isApart]).toEqual([true, true])
  expect(reach).toBeCloseTo(20, 2)
})

test('a diamond is pressed between two squares that make way for it', () => {
  const diamond = [
    { x: 0, y: 0 },
    { x: 5, y: -5 },
    { x: 10, y: 0 },
    { x: 5, y: 5 },
  ]
  // the squares may each go 1 up or down, to 4 from one another: the tip then reaches 2 in between them, to 8
  const { reach, isApart } = pressedFrom(24, [
    [box(10, 10), 0, 1],
    [box(10, 10), 0, 13],
    [diamond, 9.1, 12],
  ])
  expect(isApart).toBe(true)
  expect(reach).toBeCloseTo(18, 2)
})

test('every move within the room beside an outline leaves the two apart', () => {
  const radius = fc.integer({ min: 20, max: 200 }).map((n) => n / 10)
  const star = fc
    .tuple(fc.array(radius, { minLength: 3, maxLength: 12 }), fc.double({ min: 0, max: 6, noNaN: true }))
    .map(
      ([radii, start]): Ring =>
        radii.map((r, i) => {
          const angle = start + (2 * Math.PI * i) / radii.length
          return { x: r * Math.cos(angle), y: r * Math.sin(angle) }
        }),
    )
  const share = fc.double({ min: -1, max: 1, noNaN: true })
  const far = 6
  const seen = { rooms: 0, overlapping: 0, moves: 0 }
  const common = (a: Ring, dx: number, dy: number, b: Ring) => {
    const moved: PathD = a.map((p) => ({ x: p.x + dx, y: p.y + dy }))
    return intersectD([moved], [[...b]], FillRule.NonZero, 6).reduce((sum, path) => sum + areaD(path), 0)
  }
  fc.assert(
    fc.property(
      star,
      star,
      fc.tuple(share, share),
      fc.array(fc.tuple(share, share), { minLength: 30, maxLength: 30 }),
      (a, b, [sx, sy], moves) => {
        const [one, two] = [a, b].map((outer) => shapeOf({ outer, holes: [] }, [0]).laid[0] as Laid) as [Laid, Laid]
        const [dx, dy] = [45 * sx, 45 * sy]
        const planes = roomBeside(one, dx, dy, two, far)
        if (!planes) return
        seen.rooms++
        if (common(a, dx, dy, b) > 0) seen.overlapping++
        for (const [mx, my] of moves) {
          const [x, y] = [far * mx, far * my]
          if (planes.some(({ normalX, normalY, least }) => normalX * x + normalY * y < least)) continue
          seen.moves++
          // outlines are drawn in by 0.0004 mm, along at most twice 200 mm
          expect(common(a, dx + x, dy + y, b)).toBeLessThan(0.0008 * 400)
        }
      },
    ),
    { numRuns: 800 },
  )
  expect(seen.rooms).toBeGreaterThan(200)
  expect(seen.overlapping).toBeGreaterThan(20)
  expect(seen.moves).toBeGreaterThan(1000)
})
