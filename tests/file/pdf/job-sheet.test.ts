import { describe, expect, it } from 'vitest'
import { type JobSheetInput, writeJobSheet } from '../../../src/file/pdf/job-sheet.ts'
import { paperSizes } from '../../../src/file/pdf/paper.ts'
import { havePoppler, linesOf, pageSizes, textOf } from './poppler.ts'
import { curvedPanel, plainPicture } from './sample.ts'

const there = havePoppler()
const lines = ['Girth 450 mm.', 'Height 160 mm ± 0.5 mm.', 'Wipe the tin.']
const input: JobSheetInput = {
  title: 'Spring order',
  summary: ['One object, one panel.'],
  paper: paperSizes.A4,
  objects: [
    {
      name: 'Paint tin 1',
      pictures: [{ caption: 'The panel', picture: curvedPanel }],
      sections: [{ heading: 'Readings', lines }],
    },
  ],
  steps: [{ heading: 'Prepare', lines }],
}

/** `count` sections of `each` lines on one object. */
function longJob(count: number, each: number): JobSheetInput {
  const sections = Array.from({ length: count }, (_, i) => ({
    heading: `Section ${i + 1}`,
    lines: Array.from({ length: each }, (_, k) => `Line ${k + 1} of its section.`),
  }))
  return { ...input, objects: [{ name: 'Drum', pictures: [], sections }] }
}

const rowsOf = (text: string): string[] =>
  text
    .split('\n')
    .map((row) => row.trim())
    .filter((row) => row !== '' && row !== '\f')

describe('writeJobSheet', () => {
  it('gives the same bytes for the same input', async () => {
    expect(await writeJobSheet(input)).toEqual(await writeJobSheet(input))
  })
})

describe.runIf(there)('writeJobSheet, read by poppler', () => {
  it('holds title, summary, captions, numbered lines and steps, in that order', async () => {
    const text = textOf(await writeJobSheet(input), 1)
    const order = [
      'Spring order',
      'One object, one panel.',
      'Paint tin 1',
      'The panel',
      'Readings',
      'Prepare',
      '1 of 1',
    ]
    const places = order.map((words) => text.indexOf(words))
    expect(places.every((place, i) => place > (places[i - 1] ?? -1))).toBe(true)
    expect(text).toMatch(/2\. +Height 160 mm ± 0\.5 mm\./)
  })

  it('says each word once, halo or not', async () => {
    expect(textOf(await writeJobSheet(input), 1).match(/front/g)?.length).toBe(1)
  })

  it('numbers its pages n of N on the chosen paper', async () => {
    const bytes = await writeJobSheet({ ...longJob(12, 10), paper: paperSizes.Letter })
    const sizes = pageSizes(bytes)
    expect(sizes.length).toBeGreaterThan(2)
    for (const [i, [width, height]] of sizes.entries()) {
      expect(width).toBeCloseTo(215.9, 2)
      expect(height).toBeCloseTo(279.4, 2)
      expect(textOf(bytes, i + 1)).toContain(`${i + 1} of ${sizes.length}`)
    }
  })

  it('never leaves a heading as the last thing on a page', async () => {
    for (const each of [1, 2, 3, 4, 5, 7]) {
      const bytes = await writeJobSheet(longJob(30, each))
      for (const [i] of pageSizes(bytes).entries()) {
        const rows = rowsOf(textOf(bytes, i + 1))
        // the last row is the foot with the page number
        expect(rows.at(-2)).not.toMatch(/^Section|^Drum|^Prepare/)
      }
    }
  })

  it('sets every line of a text longer than a page', async () => {
    const words = Array.from({ length: 1500 }, (_, i) => `word${i}`)
    const job = { ...input, objects: [], steps: [{ heading: 'Apply', lines: [words.join(' ')] }] }
    const bytes = await writeJobSheet(job)
    const all = pageSizes(bytes)
      .map((_, i) => textOf(bytes, i + 1))
      .join(' ')
    expect(words.filter((word) => !all.includes(word))).toEqual([])
  })

  it('sets two narrow pictures side by side, at most 75 mm high and never over three times their size', async () => {
    const small = plainPicture(20, 20)
    const tall = plainPicture(30, 300)
    const pictures = [small, small, tall, tall].map((picture) => ({ caption: 'c', picture }))
    const bytes = await writeJobSheet({ ...input, objects: [{ name: 'Box', pictures, sections: [] }] })
    const drawn = linesOf(bytes, 1).filter((l) => Math.abs(l.width - 0.6) < 1e-6)
    const [a, b, c, d] = drawn
    expect((a?.x2 ?? 0) - (a?.x1 ?? 0)).toBeCloseTo(60, 2)
    expect(b?.y1).toBeCloseTo(a?.y1 ?? 0, 2)
    expect(b?.x1).toBeGreaterThan((a?.x2 ?? 0) + 5)
    expect((c?.y2 ?? 0) - (c?.y1 ?? 0)).toBeCloseTo(75, 2)
    expect(d?.y1).toBeCloseTo(c?.y1 ?? 0, 2)
  })

  it('fits a wide picture to the width between the edges', async () => {
    const pictures = [{ caption: 'c', picture: plainPicture(900, 100) }]
    const bytes = await writeJobSheet({ ...input, objects: [{ name: 'Box', pictures, sections: [] }] })
    const line = linesOf(bytes, 1).find((l) => Math.abs(l.width - 0.6) < 1e-6)
    expect(line?.x1).toBeCloseTo(18, 2)
    expect(line?.x2).toBeCloseTo(192, 2)
  })

  it('shows signs the fonts lack by a near form, and the rest as a question mark', async () => {
    const bytes = await writeJobSheet({ ...input, summary: ['⌀ 30 − 2 ≤ 28\tmm “so” 漢 😀.'] })
    expect(textOf(bytes, 1)).toContain('Ø 30 - 2 <= 28 mm “so” ? ?.')
  })
})
