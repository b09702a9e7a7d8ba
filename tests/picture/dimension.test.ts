import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { endOf } from '../../src/geometry/path.ts'
import { cross, direction, distance, dot, leftOf, point, subtract, unit } from '../../src/geometry/point.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Words } from '../../src/picture/picture.ts'
import { textWidth } from '../../src/picture/text-width.ts'

const drawnOf = (items: readonly (Drawn | Words)[]) => items.filter((item) => item.kind === 'drawn')
const wordsOf = (items: readonly (Drawn | Words)[]) => items.filter((item) => item.kind === 'words')

const anyPoint = fc.record({
  x: fc.double({ min: -500, max: 500, noNaN: true }),
  y: fc.double({ min: -500, max: 500, noNaN: true }),
})

describe('dimension', () => {
  it('works out by hand for 100 mm along x, 10 mm to the left, words of 4 mm', () => {
    const items = dimension(point(0, 0), point(100, 0), 10, '100.0', 4)
    const [first, second, line, ...heads] = drawnOf(items)
    expect([first?.path.start, first && endOf(first.path)]).toEqual([point(0, 1.4), point(0, 11.6)])
    expect([second?.path.start, second && endOf(second.path)]).toEqual([point(100, 1.4), point(100, 11.6)])
    expect([line?.path.start, line && endOf(line.path)]).toEqual([point(0, 10), point(100, 10)])
    expect(heads.map((h) => h.path.segments[0]?.to)).toEqual([point(0, 10), point(100, 10)])
    expect(wordsOf(items)).toEqual([
      { kind: 'words', at: point(50, 11.6), text: '100.0', size: 4, anchor: 'middle', turn: 0 },
    ])
  })

  it('goes to the right with a negative offset, words still above the line', () => {
    const [words] = wordsOf(dimension(point(0, 0), point(100, 0), -10, '100.0', 4))
    expect(words?.at.y).toBeCloseTo(-8.4, 9)
  })

  it('turns words on upright lines to be read from the right, whichever way the line runs', () => {
    for (const [a, b] of [
      [point(0, 0), point(0, 80)],
      [point(0, 80), point(0, 0)],
    ] as const) {
      const [words] = wordsOf(dimension(a, b, 5, '80.0', 4))
      expect(words?.turn).toBeCloseTo(Math.PI / 2, 12)
    }
  })

  it('keeps words upright or turned left, parallel to the line and clear above it, in any direction', () => {
    fc.assert(
      fc.property(anyPoint, anyPoint, fc.double({ min: -50, max: 50, noNaN: true }), (a, b, offset) => {
        fc.pre(distance(a, b) > 1)
        const size = 4
        const items = dimension(a, b, offset, '123.4', size)
        const way = unit(subtract(b, a))
        for (const words of wordsOf(items)) {
          expect(words.turn).toBeGreaterThan(-Math.PI / 2)
          expect(words.turn).toBeLessThanOrEqual(Math.PI / 2 + 1e-8)
          const reading = direction(words.turn)
          expect(Math.abs(cross(reading, way))).toBeLessThan(1e-6)
          const onLine = point(a.x - way.y * offset, a.y + way.x * offset)
          // Helvetica's deepest letters reach 0.22 of the size below the baseline
          expect(dot(subtract(words.at, onLine), leftOf(reading))).toBeGreaterThan(0.3 * size)
        }
      }),
    )
  })

  it('puts words that do not fit between the extension lines beyond them', () => {
    const [words] = wordsOf(dimension(point(0, 0), point(8, 0), -10, 'about 8.0 mm', 4))
    expect(words?.anchor).toBe('start')
    expect(words?.at.x).toBeGreaterThan(8 + 2)
    const back = wordsOf(dimension(point(8, 0), point(0, 0), 10, 'about 8.0 mm', 4))[0]
    expect(back?.at.x).toBeGreaterThan(8 + 2)
  })

  it('runs the line on under words that stand beyond it', () => {
    const text = 'about 8.0 mm'
    const items = dimension(point(0, 0), point(8, 0), -10, text, 4)
    const { high } = boundsOf(drawnOf(items).map((item) => item.path))
    expect(high.x).toBeGreaterThanOrEqual((wordsOf(items)[0]?.at.x ?? 0) + textWidth(text, 4) - 1e-9)
  })

  it('draws no extension lines without an offset, and stays finite for two points in one place', () => {
    expect(drawnOf(dimension(point(0, 0), point(100, 0), 0, '100', 4)).length).toBe(3)
    const { low, high } = boundsOf(drawnOf(dimension(point(5, 5), point(5, 5), 8, '0.0', 4)).map((item) => item.path))
    expect([low.x, low.y, high.x, high.y].every(Number.isFinite)).toBe(true)
  })
})

describe('textWidth', () => {
  it("is never less than Helvetica's own (Adobe Core 14 AFM: digits 556, full stop 278, M 833, space 278)", () => {
    expect(textWidth('450.0 M', 10)).toBeGreaterThanOrEqual((4 * 556 + 2 * 278 + 833) / 100)
    expect(textWidth('450.0 M', 10)).toBeLessThan(1.2 * ((4 * 556 + 2 * 278 + 833) / 100))
  })
})
