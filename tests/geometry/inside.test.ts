import fc from 'fast-check'
import { expect, test } from 'vitest'
import { pointInside } from '../../src/geometry/inside.ts'
import { arcTo, closedPath, cubicTo, lineTo } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'

const anywhere = fc.double({ min: -1000, max: 1000, noNaN: true })

test('pointInside is false beside a path at the very height of one of its ends, whatever its pieces', () => {
  const piece = fc.constantFrom('line', 'arc', 'cubic')
  const sides = fc.tuple(piece, piece, piece, piece)
  fc.assert(
    fc.property(anywhere, anywhere, fc.double({ min: 1, max: 200, noNaN: true }), sides, (x, y, size, kinds) => {
      const corners = [point(x, y), point(x + size, y), point(x + size, y + size), point(x, y + size)]
      const segments = kinds.map((kind, i) => {
        const [from, to] = [corners[i] ?? point(x, y), corners[(i + 1) % 4] ?? point(x, y)]
        if (kind === 'line') return lineTo(to)
        return kind === 'arc' ? arcTo(to, 0.3) : cubicTo(from, to, to)
      })
      const path = closedPath(corners[0] ?? point(x, y), segments)
      for (const { y: level } of corners) {
        expect(pointInside(path, point(x - 2 * size, level))).toBe(false)
        expect(pointInside(path, point(x + 3 * size, level))).toBe(false)
      }
      expect(pointInside(path, point(x + size / 2, y + size / 2))).toBe(true)
    }),
    { numRuns: 2000 },
  )
})
