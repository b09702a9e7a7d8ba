import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { paperSizes, tilePlan } from '../../../src/file/pdf/paper.ts'
import { joiningCrosses } from '../../../src/file/pdf/tiles.ts'

const anyPaper = fc.constantFrom(...Object.values(paperSizes))
const anyLength = fc.double({ min: 1, max: 3000, noNaN: true })

describe('tilePlan', () => {
  it('works out by hand for 450 x 160 mm on A4: two lying pages, 277 x 176 mm each, 10 mm shared', () => {
    const plan = tilePlan(450, 160, paperSizes.A4)
    // windows 297 - 20 by 210 - 20 - 14; both together 277 + 267 = 544 mm, so 47 mm free on either side and 8 mm above and below
    expect(plan).toMatchObject({ landscape: true, columns: 2, rows: 1 })
    expect(plan.tiles).toEqual([
      { column: 1, row: 1, low: { x: -47, y: -8 }, high: { x: 230, y: 168 } },
      { column: 2, row: 1, low: { x: 220, y: -8 }, high: { x: 497, y: 168 } },
    ])
  })

  it('covers the picture and no page is missing from the grid', () => {
    fc.assert(
      fc.property(anyLength, anyLength, anyPaper, (width, height, paper) => {
        const { tiles, columns, rows } = tilePlan(width, height, paper)
        expect(tiles.length).toBe(columns * rows)
        expect(Math.min(...tiles.map((t) => t.low.x))).toBeLessThanOrEqual(1e-9)
        expect(Math.min(...tiles.map((t) => t.low.y))).toBeLessThanOrEqual(1e-9)
        expect(Math.max(...tiles.map((t) => t.high.x))).toBeGreaterThanOrEqual(width - 1e-9)
        expect(Math.max(...tiles.map((t) => t.high.y))).toBeGreaterThanOrEqual(height - 1e-9)
        expect(new Set(tiles.map((t) => `${t.row} ${t.column}`)).size).toBe(tiles.length)
      }),
    )
  })

  it('lets neighbours share 10 mm or more, row 1 on top', () => {
    fc.assert(
      fc.property(anyLength, anyLength, anyPaper, (width, height, paper) => {
        const { tiles } = tilePlan(width, height, paper)
        for (const a of tiles) {
          const right = tiles.find((b) => b.row === a.row && b.column === a.column + 1)
          const below = tiles.find((b) => b.row === a.row + 1 && b.column === a.column)
          if (right) expect(a.high.x - right.low.x).toBeGreaterThanOrEqual(10 - 1e-9)
          if (below) expect(below.high.y - a.low.y).toBeGreaterThanOrEqual(10 - 1e-9)
        }
      }),
    )
  })

  it('takes one page when the picture fits one, upright or lying', () => {
    expect(tilePlan(190, 263, paperSizes.A4)).toMatchObject({ columns: 1, rows: 1, landscape: false })
    expect(tilePlan(277, 176, paperSizes.A4)).toMatchObject({ columns: 1, rows: 1, landscape: true })
    expect(tilePlan(190.01, 263, paperSizes.A4).tiles.length).toBe(2)
  })

  it('never takes more sheets than the other way round would', () => {
    fc.assert(
      fc.property(anyLength, anyLength, anyPaper, (width, height, paper) => {
        const window = (w: number, h: number) => {
          const count = (length: number, room: number) => (length <= room ? 1 : Math.ceil((length - 10) / (room - 10)))
          return count(width, w - 20) * count(height, h - 34)
        }
        const sheets = tilePlan(width, height, paper).tiles.length
        const upright = window(paper.width, paper.height)
        const lying = window(paper.height, paper.width)
        expect(sheets).toBeLessThanOrEqual(Math.min(upright, lying))
      }),
    )
  })

  it('refuses a paper too small to print on, with the least', () => {
    expect(() => tilePlan(100, 100, { name: 'A6', width: 105, height: 148 })).toThrow(
      /105 x 148 mm; the least is 200 x 270/,
    )
  })
})

describe('joiningCrosses', () => {
  it('puts two crosses of 6 mm on each seam, whole on both neighbours', () => {
    fc.assert(
      fc.property(anyLength, anyLength, anyPaper, (width, height, paper) => {
        const plan = tilePlan(width, height, paper)
        const crosses = joiningCrosses(plan)
        const whole = (t: (typeof plan.tiles)[number]) =>
          crosses.filter((c) => c.x - 3 > t.low.x && c.x + 3 < t.high.x && c.y - 3 > t.low.y && c.y + 3 < t.high.y)
        for (const a of plan.tiles) {
          for (const b of plan.tiles) {
            const apart = Math.abs(a.row - b.row) + Math.abs(a.column - b.column)
            if (apart !== 1) continue
            const shared = whole(a).filter((c) => whole(b).includes(c))
            expect(shared.length).toBeGreaterThanOrEqual(2)
          }
        }
      }),
      { numRuns: 40 },
    )
  })
})

describe('paperSizes', () => {
  it('are exact: ISO 216 in mm, ANSI/ASME Y14.1 from inches', () => {
    expect(paperSizes.A4).toMatchObject({ width: 210, height: 297 })
    expect(paperSizes.A3).toMatchObject({ width: 297, height: 420 })
    expect(paperSizes.Letter.width).toBeCloseTo(8.5 * 25.4, 9)
    expect(paperSizes.Letter.height).toBeCloseTo(11 * 25.4, 9)
    expect(paperSizes.Legal.height).toBeCloseTo(14 * 25.4, 9)
    expect(paperSizes.Tabloid.width).toBeCloseTo(11 * 25.4, 9)
    expect(paperSizes.Tabloid.height).toBeCloseTo(17 * 25.4, 9)
  })
})
