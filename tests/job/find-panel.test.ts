import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { circle, type Path, polyline, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { following, mirrorAcross, quarterTurn, transform, translation } from '../../src/geometry/transform.ts'
import { findPanel } from '../../src/job/find-panel.ts'
import { boxed } from '../../src/job/nearest-line.ts'

/** A plate of 100 x 60 mm with its lower right corner cut off, and a round opening of 10 mm at lower left. */
const outline = polyline([point(0, 0), point(80, 0), point(100, 20), point(100, 60), point(0, 60)], true)
const opening = circle(point(15, 12), 5)
const plate = [outline, opening]

const half = following(quarterTurn, quarterTurn)
const turns = [translation(0, 0), quarterTurn, half, following(half, quarterTurn)]
const found = (drawn: readonly Path[], cut: readonly Path[]) => findPanel(drawn.map(boxed), cut.map(boxed))
const laid = (paths: readonly Path[], turn = translation(0, 0), x = 300, y = 200) =>
  paths.map((path) => transform(path, following(turn, translation(x, y))))

describe('a panel', () => {
  test('is found wherever it lies, in any quarter turn, and on the film side never called mirrored', () => {
    const place = fc.double({ min: -900, max: 900, noNaN: true })
    fc.assert(
      fc.property(fc.constantFrom(...turns), place, place, (turn, x, y) => {
        const result = found(plate, laid(plate, turn, x, y))
        expect(result).toMatchObject({ copies: 1, mirrored: 0, incomplete: 0, lines: 2, found: 2, missing: [] })
        expect(result.worst?.distance).toBeLessThan(1e-6)
      }),
      { numRuns: 50 },
    )
  })

  test('turned over like a page is found and called mirrored', () => {
    for (const turn of turns) {
      const over = laid(plate, following(mirrorAcross(0), turn))
      expect(found(plate, over)).toMatchObject({ copies: 1, mirrored: 1, found: 2 })
    }
  })

  test('that looks alike mirrored is not called mirrored', () => {
    const plain = [rectangle(point(0, 0), point(90, 50))]
    expect(found(plain, laid(plain, mirrorAcross(0)))).toMatchObject({ copies: 1, mirrored: 0 })
    // one corner 0.05 mm in: the other way over is nearer, but by no more than cutting may cost
    const nearly = [polyline([point(0, 0), point(90, 0), point(90, 50), point(0.05, 50)], true)]
    expect(found(nearly, laid(nearly, mirrorAcross(0)))).toMatchObject({ copies: 1, mirrored: 0 })
  })

  test('is counted as often as it is cut, among other lines', () => {
    const other = rectangle(point(0, 0), point(50, 50))
    const cut = [...laid(plate), ...laid(plate, quarterTurn, 600, 0), other, ...laid(plate, half, 0, 900)]
    expect(found(plate, cut)).toMatchObject({ copies: 3, found: 2 })
  })

  test('one of whose corners is 0.6 mm out is as far off as half of that moves its middle leaves it', () => {
    // 0.6 mm longer to the right: centre on centre, both ends are 0.3 mm out
    const plain = rectangle(point(0, 0), point(100, 60))
    const longer = rectangle(point(0, 0), point(100.6, 60))
    expect(found([plain], laid([longer])).worst?.distance).toBeCloseTo(0.3, 6)
  })

  test('says where it is farthest from the drawing, on the sheet', () => {
    // the opening is 0.4 mm too far right: each of its points is at most 0.4 mm out
    const result = found(plate, [...laid([outline]), transform(opening, translation(300.4, 200))])
    expect(result).toMatchObject({ copies: 1, missing: [] })
    expect(result.worst?.distance).toBeCloseTo(0.4, 3)
    expect(result.worst?.at.y).toBeCloseTo(212, 1)
    expect(Math.abs((result.worst?.at.x ?? 0) - 315.2)).toBeLessThan(5.5)
  })
})

describe('a panel that is not there as drawn', () => {
  test('has an opening at the wrong place named by where the drawing has it', () => {
    const moved = transform(opening, translation(303, 200))
    const result = found(plate, [...laid([outline]), moved])
    expect(result).toMatchObject({ copies: 0, incomplete: 1, lines: 2, found: 1 })
    expect(result.missing).toEqual(['opening 10.0 x 10.0 mm, 10.0 mm from the left and 7.0 mm from the bottom'])
  })

  test('is told beside a whole copy, which counts', () => {
    expect(found(plate, [...laid(plate), ...laid([outline], quarterTurn, 900, 0)])).toMatchObject({
      copies: 1,
      incomplete: 1,
      missing: [],
    })
  })

  test('is not found by its size alone', () => {
    // a corner of 20 x 20 mm cut off lies 20 / sqrt 2 = 14.142 mm from a corner that is not
    const result = found([outline], [rectangle(point(0, 0), point(100, 60))])
    expect(result).toMatchObject({ copies: 0, found: 0 })
    expect(result.missing).toEqual(['outline 100.0 x 60.0 mm (the nearest of that size is 14.142 mm off)'])
    expect(result.worst).toBeUndefined()
  })

  test('is not looked for among lines more than 1 mm longer or shorter, nor where there is none', () => {
    const plain = rectangle(point(0, 0), point(100, 60))
    const size = (width: number) => found([plain], [rectangle(point(0, 0), point(width, 60))]).copies
    expect([98.9, 99.1, 100.9, 101.1].map(size)).toEqual([0, 1, 1, 0])
    expect(found([plain], []).missing).toEqual(['outline 100.0 x 60.0 mm'])
  })
})
