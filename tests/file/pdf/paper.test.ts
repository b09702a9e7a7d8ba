import { describe, expect, it } from 'vitest'
import { paperSizes, tilePlan, writePaper } from '../../../src/file/pdf/paper.ts'
import { joiningCrosses } from '../../../src/file/pdf/tiles.ts'
import { boxesOf, havePoppler, linesOf, pageSizes, textOf } from './poppler.ts'
import { curvedPanel, plainPicture } from './sample.ts'

const there = havePoppler()
const input = { title: 'Tool library', paper: paperSizes.A4, panels: [{ name: 'Paint tin 1', picture: curvedPanel }] }

describe('writePaper', () => {
  it('gives the same bytes for the same input', async () => {
    expect(await writePaper(input)).toEqual(await writePaper(input))
  })

  it('starts as a PDF and carries no date of today', async () => {
    const text = Buffer.from(await writePaper(input)).toString('latin1')
    expect(text.startsWith('%PDF-1.')).toBe(true)
    expect(text).toContain('(D:19700101000000Z)')
  })
})

describe.runIf(there)('writePaper, read by poppler', () => {
  it.each(Object.values(paperSizes))('measures both bars as 100.00 mm on $name', async (paper) => {
    const lines = linesOf(await writePaper({ ...input, paper }), 1)
    const long = lines.map((l) => [Math.abs(l.x2 - l.x1), Math.abs(l.y2 - l.y1)] as const)
    const level = long.filter(([x, y]) => Math.abs(x - 100) < 0.01 && y < 0.001)
    const upright = long.filter(([x, y]) => Math.abs(y - 100) < 0.01 && x < 0.001)
    expect([level.length, upright.length]).toEqual([1, 1])
  })

  it('sets end marks exactly at the ends of the level bar', async () => {
    const lines = linesOf(await writePaper(input), 1)
    const bar = lines.find((l) => Math.abs(Math.abs(l.x2 - l.x1) - 100) < 0.01)
    const marks = lines.filter((l) => Math.abs(l.x1 - l.x2) < 0.001 && Math.abs(Math.abs(l.y2 - l.y1) - 6) < 0.01)
    const at = marks.map((l) => l.x1).sort((a, b) => a - b)
    expect(at.length).toBe(2)
    expect(at[0]).toBeCloseTo(Math.min(bar?.x1 ?? 0, bar?.x2 ?? 0), 2)
    expect(at[1]).toBeCloseTo(Math.max(bar?.x1 ?? 0, bar?.x2 ?? 0), 2)
  })

  it('draws the ID-1 card 85.60 x 53.98 mm (ISO/IEC 7810)', async () => {
    const boxes = boxesOf(await writePaper(input), 1)
    const cards = boxes.filter(([width, height]) => Math.abs(width - 85.6) < 0.01 && Math.abs(height - 53.98) < 0.01)
    expect(cards.length).toBe(1)
  })

  it('says how to print and what a wrong reading means', async () => {
    const text = textOf(await writePaper(input), 1)
    expect(text).toContain('85.60 x 53.98 mm')
    expect(text).toContain('95.97 mm')
    expect(text).toContain('94.07 mm')
    expect(text).toContain('Actual size')
  })

  it('makes pages of the exact paper, turned for panels that need fewer sheets lying', async () => {
    const sizes = pageSizes(await writePaper(input))
    expect(sizes.length).toBe(3)
    expect(sizes[0]?.[0]).toBeCloseTo(210, 2)
    expect(sizes[0]?.[1]).toBeCloseTo(297, 2)
    expect(sizes[1]?.[0]).toBeCloseTo(297, 2)
    expect(sizes[2]?.[1]).toBeCloseTo(210, 2)
    const letter = pageSizes(await writePaper({ ...input, paper: paperSizes.Letter }))
    expect(letter[0]?.[0]).toBeCloseTo(215.9, 2)
    expect(letter[0]?.[1]).toBeCloseTo(279.4, 2)
  })

  it('draws the panel at true size, at the place its tile says', async () => {
    // by hand: tile 1 starts at (-47, -8) and its window at (10, 24) on the page, so the line stands at (77, 152)
    const line = linesOf(await writePaper(input), 2).find((l) => Math.abs(l.width - 0.3) < 1e-6)
    expect(line?.x1).toBeCloseTo(77, 2)
    expect(line?.y1).toBeCloseTo(152, 2)
    expect(line?.x2).toBeCloseTo(277, 2)
    expect(line?.y2).toBeCloseTo(152, 2)
  })

  it('draws each joining cross on both pages, where the picture has it', async () => {
    const bytes = await writePaper(input)
    const plan = tilePlan(450, 160, paperSizes.A4)
    const crosses = joiningCrosses(plan)
    expect(crosses.length).toBe(2)
    for (const [i, tile] of plan.tiles.entries()) {
      const lines = linesOf(bytes, 2 + i).filter((l) => Math.hypot(l.x2 - l.x1, l.y2 - l.y1) < 6.01)
      for (const cross of crosses) {
        const at = { x: cross.x - tile.low.x + 10, y: cross.y - tile.low.y + 24 }
        const through = lines.filter((l) => Math.hypot((l.x1 + l.x2) / 2 - at.x, (l.y1 + l.y2) / 2 - at.y) < 0.01)
        expect(through.length).toBe(2)
      }
    }
  })

  it('labels each page with name, row and column', async () => {
    const bytes = await writePaper({ ...input, panels: [{ name: 'Drum', picture: plainPicture(300, 400) }] })
    const labels = [2, 3, 4, 5].map((page) => textOf(bytes, page))
    expect(labels[0]).toContain('Drum · row 1 of 2, column 1 of 2')
    expect(labels[1]).toContain('Drum · row 1 of 2, column 2 of 2')
    expect(labels[3]).toContain('Drum · row 2 of 2, column 2 of 2')
  })

  it('keeps row and column readable behind a name of any length', async () => {
    const name = 'a very long name '.repeat(20)
    const bytes = await writePaper({ ...input, panels: [{ name, picture: plainPicture(1500, 1500) }] })
    expect(textOf(bytes, 2)).toMatch(/… · row 1 of \d+, column 1 of \d+/)
  })

  it('gives a page to check the printer by even without panels', async () => {
    expect(pageSizes(await writePaper({ ...input, panels: [] })).length).toBe(1)
  })
})
