import { describe, expect, test } from 'vitest'
import { readPathData, writePathData } from '../../../src/file/svg/pathdata.ts'
import { arcPoint } from '../../../src/geometry/arc.ts'
import { arcTo, circle, closedPath, cubicTo, lineTo, openPath, pieces, polyline } from '../../../src/geometry/path.ts'
import { distance, point } from '../../../src/geometry/point.ts'

describe('writing path data', () => {
  test('a closed path ends in Z without its start, y down from the height', () => {
    expect(writePathData(polyline([point(1, 2), point(4, 2), point(4, 6)], true), 10, 4)).toBe('M 1 8 L 4 8 L 4 4 Z')
  })

  test('a closing arc keeps its end, because Z would be straight', () => {
    const quarter = closedPath(point(0, 0), [lineTo(point(5, 0)), lineTo(point(0, 5)), arcTo(point(0, 0), 1)])
    expect(writePathData(quarter, 5, 2)).toBe('M 0 5 L 5 5 L 0 0 A 5.21 5.21 0 0 0 0 5 Z')
  })

  test('a turn to the left has sweep flag 0, one to the right 1', () => {
    const wave = openPath(point(0, 0), arcTo(point(1, 1), Math.PI / 2), arcTo(point(2, 2), -Math.PI / 2))
    expect(writePathData(wave, 2, 4)).toBe('M 0 2 A 1 1 0 0 0 1 1 A 1 1 0 0 1 2 0')
  })

  test('a half turn is two quarter turns, since a rounded radius leaves its centre open', () => {
    expect(writePathData(circle(point(5, 5), 3), 10, 4)).toBe(
      'M 8 5 A 3 3 0 0 0 5 2 A 3 3 0 0 0 2 5 A 3 3 0 0 0 5 8 A 3 3 0 0 0 8 5 Z',
    )
  })

  test('an arc that leaves its chord by less than 0.0005 mm is a line', () => {
    // sagitta = chord / 2 * tan(sweep / 4): 50 x 0.0000095 = 0.000475 and 50 x 0.0000105 = 0.000525
    expect(writePathData(openPath(point(0, 0), arcTo(point(100, 0), 0.000038)), 1, 4)).toBe('M 0 1 L 100 1')
    expect(writePathData(openPath(point(0, 0), arcTo(point(100, 0), 0.000042)), 1, 4)).toMatch(/^M 0 1 A 238095\d/)
    expect(writePathData(openPath(point(0, 0), arcTo(point(100, 0), 0)), 1, 4)).toBe('M 0 1 L 100 1')
  })

  test('a curve keeps its handles and a segment without length is left out', () => {
    const path = openPath(point(0, 0), lineTo(point(0, 0.00001)), cubicTo(point(1, 0), point(2, 1), point(2, 2)))
    expect(writePathData(path, 2, 4)).toBe('M 0 2 C 1 2 2 1 2 0')
  })

  test('a place that is no number is refused', () => {
    expect(() => writePathData(openPath(point(Number.NaN, 0)), 1, 4)).toThrow(RangeError)
  })
})

describe('reading path data', () => {
  test('all absolute commands, repeats and tight numbers', () => {
    expect(readPathData('M1,2 3-4H5V.5L6 7 8 9C1 2 3 4 5 6Z', 10)).toEqual(
      closedPath(point(1, 8), [
        lineTo(point(3, 14)),
        lineTo(point(5, 14)),
        lineTo(point(5, 9.5)),
        lineTo(point(6, 3)),
        lineTo(point(8, 1)),
        cubicTo(point(1, 8), point(3, 6), point(5, 4)),
      ]),
    )
  })

  test('a large arc comes back as two on the same circle', () => {
    // centre (0, 0), radius 5, from (5, 0) the long way round to (3, 4)
    const path = readPathData('M 5 0 A 5 5 0 1 1 3 -4', 0)
    const arcs = [...pieces(path)]
    expect(arcs.length).toBe(2)
    for (const { from, segment } of arcs) {
      if (segment.kind !== 'arc') throw new Error('not an arc')
      expect(segment.sweep).toBeLessThan(0)
      for (const t of [0, 0.3, 0.7, 1]) expect(distance(arcPoint(from, segment, t), point(0, 0))).toBeCloseTo(5, 9)
    }
    const turn = arcs.reduce((sum, { segment }) => sum + (segment.kind === 'arc' ? segment.sweep : 0), 0)
    expect(turn).toBeCloseTo(-(2 * Math.PI - Math.atan2(4, 3)), 9)
  })

  test('a radius too small for its chord is enlarged to a half turn (SVG 1.1, F.6.6)', () => {
    expect(readPathData('M 0 0 A 1 1 0 0 0 4 0', 0).segments).toEqual([arcTo(point(4, 0), Math.PI)])
  })

  test.each([
    ['M 0 0 l 1 1', 'path data at character 7 is "l 1 1"; this reader knows M, L, H, V, C, A and Z'],
    ['M 0 0 Q 1 1 2 2', 'path data at character 7 is "Q 1 1 2 2"; this reader knows'],
    ['L 0 0', 'path data at character 1 is "L 0 0"; a path starts with M'],
    ['', 'path data at character 1 is at its end; a path starts with M'],
    ['M 0 0 L 1', 'path data at character 10 is at its end; L takes 2 numbers'],
    ['M 0 0 L 1 1 M 2 2', 'path data at character 13 is "M 2 2"; a path is one run'],
    ['M 0 0 L 1 1 Z L 2 2', 'path data at character 15 is "L 2 2"; a path is one run'],
    ['M 0 0 A 1 2 0 0 0 1 1', 'both radii must be the same'],
    ['M 0 0 A 1 1 30 0 0 1 1', 'the rotation 0'],
    ['M 0 0 A 0 0 0 0 0 1 1', 'above 0'],
    ['M 0 0 A 1 1 0 2 0 1 1', 'path data at character 15 is "2 0 1 1"; a flag is 0 or 1'],
    ['M 0 0 L 1 1 %', 'path data at character 13 is "%"; only commands and numbers may stand there'],
    ['M 0 0 L 1e999 1', 'numbers must be finite'],
  ])('%j is refused by character', (text, words) => {
    expect(() => readPathData(text, 0)).toThrow(words)
  })
})
