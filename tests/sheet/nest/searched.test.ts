import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Ring } from '../../../src/sheet/nest/problem.ts'
import { type Laid, shapeOf } from '../../../src/sheet/nest/shape.ts'

/** How far inside an outline a point lies, mm, negative outside. By winding angles and distances to all edges. */
function depthIn({ x, y, next }: Laid, px: number, py: number): number {
  let winding = 0
  let least = Infinity
  for (let i = 0; i < x.length; i++) {
    const k = next[i] ?? 0
    const [ax, ay] = [(x[i] ?? 0) - px, (y[i] ?? 0) - py]
    const [bx, by] = [(x[k] ?? 0) - px, (y[k] ?? 0) - py]
    winding += Math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    const length = Math.hypot(bx - ax, by - ay)
    const along = length > 0 ? -(ax * (bx - ax) + ay * (by - ay)) / length : 0
    const isBeside = along > 0 && along < length
    least = Math.min(
      least,
      isBeside ? Math.abs(ax * by - ay * bx) / length : Math.min(Math.hypot(ax, ay), Math.hypot(bx, by)),
    )
  }
  return Math.abs(winding) > Math.PI ? least : -least
}

/** How far the true outline sticks out of the one searched with, mm: a corner of the first outside, or of the second inside. */
function sticksOut(outer: Ring): number {
  const { exact, searched } = shapeOf({ outer, holes: [] }, [0])
  const depths = (of: Laid, within: Laid) => Array.from(of.x, (x, i) => depthIn(within, x, of.y[i] ?? 0))
  return Math.max(...depths(exact, searched).map((depth) => -depth), ...depths(searched, exact))
}

const star = (radii: readonly number[], radius: number): Ring =>
  radii.map((r, i) => {
    const angle = (2 * Math.PI * i) / radii.length
    return { x: radius * r * Math.cos(angle), y: radius * r * Math.sin(angle) }
  })

test('the outline searched with holds the true one', () => {
  const radius = fc.oneof(
    fc.double({ min: 0.2, max: 1, noNaN: true }),
    fc.double({ min: 0.98, max: 1, noNaN: true }),
    fc.constant(1),
  )
  fc.assert(
    fc.property(fc.array(radius, { minLength: 25, maxLength: 90 }), fc.constantFrom(1, 30, 400), (radii, size) => {
      const ring = star(radii, size)
      expect(sticksOut(ring)).toBeLessThan(1e-8)
      // and what just fits a bed still does
      const { searched } = shapeOf({ outer: ring, holes: [] }, [0])
      expect(Math.max(...searched.x)).toBeLessThan(Math.max(...ring.map(({ x }) => x)) + 1e-8)
      expect(Math.min(...searched.y)).toBeGreaterThan(Math.min(...ring.map(({ y }) => y)) - 1e-8)
    }),
    { numRuns: 120 },
  )
})

test('neither does a slot whose round end is filled a little', () => {
  // 40 by 40 with a slot 8 wide, its end a half circle of 30 edges
  const end = Array.from({ length: 31 }, (_, k) => {
    const angle = (Math.PI * k) / 30
    return { x: 20 + 4 * Math.cos(angle), y: 20 - 4 * Math.sin(angle) }
  })
  const outer = [
    { x: 0, y: 0 },
    { x: 40, y: 0 },
    { x: 40, y: 40 },
    { x: 24, y: 40 },
    ...end,
    { x: 16, y: 40 },
    { x: 0, y: 40 },
  ]
  const { exact, searched } = shapeOf({ outer, holes: [] }, [0])
  expect(searched.x.length).toBeLessThan(exact.x.length)
  expect(sticksOut(outer)).toBeLessThan(1e-8)
})
