import { expect } from 'vitest'
import { cross, distance, type Point, subtract } from '../../src/geometry/point.ts'
import type { Panel } from '../../src/panel/panel.ts'
import type { Surface } from '../../src/panel/surface.ts'

/** The surface map of a panel that must have one. */
export const surfaceOf = ({ surface }: Pick<Panel, 'surface'>): Surface => surface ?? expect.fail('no surface map')

/** Fails where two chords of a ring that are not neighbours meet: every pair is looked at, no index. */
export function expectSimple(points: readonly Point[]): void {
  const ring = points.filter((p, i) => distance(p, points[(i + 1) % points.length] ?? p) > 1e-9)
  const chords = ring.map((p, i) => [p, ring[(i + 1) % ring.length] ?? p] as const)
  const side = (a: Point, b: Point, p: Point) => Math.sign(cross(subtract(b, a), subtract(p, a)))
  const parted = (a: number, b: number, c: number, d: number) =>
    Math.max(a, b) < Math.min(c, d) || Math.max(c, d) < Math.min(a, b)
  chords.forEach(([a, b], i) => {
    chords.forEach(([c, d], j) => {
      if (j < i + 2 || (i === 0 && j === chords.length - 1)) return
      if (parted(a.x, b.x, c.x, d.x) || parted(a.y, b.y, c.y, d.y)) return
      const meet = side(a, b, c) * side(a, b, d) <= 0 && side(c, d, a) * side(c, d, b) <= 0
      if (meet) expect.fail(`the outline meets itself near ${a.x}, ${a.y} and ${c.x}, ${c.y}`)
    })
  })
  expect(ring.length).toBeGreaterThan(2)
}
