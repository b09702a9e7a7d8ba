import { execFileSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import { type JobSheetInput, writeJobSheet } from '../../../src/file/pdf/job-sheet.ts'
import { paperSizes } from '../../../src/file/pdf/paper.ts'
import { havePoppler, linesOf, pageSizes, textOf } from './poppler.ts'
import { curvedPanel, plainPicture } from './sample.ts'

const there = havePoppler()
const lines = ['Girth 450 mm.', 'Height 160 mm ± 0.5 mm.', 'Wipe the tin.']
const input: JobSheetInput = {
  title: 'Spring order',
  warnings: [],
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

/** What pdftotext prints about a file; the tool's name is an argument, as in `poppler.ts`. */
const printed = (bytes: Uint8Array, args: readonly string[], tool = 'pdftotext'): string =>
  execFileSync(tool, [...args, '-', '-'], { input: bytes, encoding: 'utf8' })

interface Word {
  readonly text: string
  /** mm from the left edge, and from the upper edge */
  readonly left: number
  readonly right: number
  readonly top: number
}

/** Words of a page where they stand. */
function wordsOf(bytes: Uint8Array, page: number): Word[] {
  const html = printed(bytes, ['-f', `${page}`, '-l', `${page}`, '-bbox'])
  const form = /<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)"[^>]*>([^<]*)</g
  return [...html.matchAll(form)].map(([, left, top, right, text = '']) => {
    const [a = 0, b = 0, c = 0] = [left, top, right].map((points) => (Number(points) * 25.4) / 72)
    return { text, left: a, top: b, right: c }
  })
}

/** The text of every page; poppler ends each with a form feed. */
const pagesOf = (bytes: Uint8Array): string[] => printed(bytes, ['-layout']).split('\f').slice(0, -1)

/** `count` short lines that fill the upper part of a page. */
const filled = (count: number): string[] => Array.from({ length: count }, (_, i) => `Summary line ${i + 1}.`)

describe('writeJobSheet', () => {
  it('refuses a table whose row has a cell too few, by number', () => {
    const rows = [['0', '12.5'], ['10']]
    const section = { heading: 'Ordinates', lines: [], table: { columns: ['x', 'y'], rows } }
    expect(() => writeJobSheet({ ...input, steps: [section] })).toThrow('row 2 has 1 cells for 2 columns')
  })

  it('gives the same bytes for the same input', async () => {
    expect(await writeJobSheet(input)).toEqual(await writeJobSheet(input))
  })
})

describe.runIf(there)('writeJobSheet, read by poppler', () => {
  it('holds what to look at again under the title, before everything else, and nothing of it where there is none', async () => {
    const warnings = ['girth: readings 534, 538 differ by 4.0 mm.', 'One place is smaller than the blade.']
    const rows = rowsOf(textOf(await writeJobSheet({ ...input, warnings }), 1)).slice(0, 5)
    expect(rows.map((row) => row.replace(/\s+/g, ' '))).toEqual([
      'Spring order',
      'Look again before you cut film',
      `1. ${warnings[0]}`,
      `2. ${warnings[1]}`,
      'One object, one panel.',
    ])
    expect(textOf(await writeJobSheet(input), 1)).not.toContain('Look again')
  })

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

  it('keeps the name and both pictures of an object on one page, wherever on the page they begin', async () => {
    const wide = { caption: 'The object', picture: plainPicture(900, 300) }
    const tall = { caption: 'The panel', picture: plainPicture(400, 200) }
    const narrow = { caption: 'The panel', picture: plainPicture(30, 300) }
    const turned = new Set<number>()
    for (const paper of [paperSizes.A4, paperSizes.Letter]) {
      for (const second of [tall, narrow]) {
        for (let count = 1; count <= 46; count += 5) {
          const objects = [{ name: 'Drum shell', pictures: [wide, second], sections: [{ heading: 'Ticks', lines }] }]
          const pages = pagesOf(await writeJobSheet({ ...input, paper, summary: filled(count), objects }))
          const pageWith = (words: string) => pages.findIndex((page) => page.includes(words))
          expect(pageWith('The object')).toBeGreaterThanOrEqual(0)
          expect(pageWith('The panel')).toBe(pageWith('The object'))
          expect(pageWith('Drum shell')).toBe(pageWith('The object'))
          turned.add(pageWith('The object'))
        }
      }
    }
    // some stand on the first page, others did not fit there
    expect([...turned].sort()).toEqual([0, 1])
  })

  it('keeps pictures by twos where one object has more than a page takes', async () => {
    const pictures = [1, 2, 3, 4, 5].map((n) => ({ caption: `View ${n}.`, picture: plainPicture(900, 400) }))
    for (const count of [0, 8, 16, 24, 32, 40]) {
      const objects = [{ name: 'Drum shell', pictures, sections: [] }]
      const pages = pagesOf(await writeJobSheet({ ...input, summary: filled(count), objects }))
      const at = [1, 2, 3, 4, 5].map((n) => pages.findIndex((page) => page.includes(`View ${n}.`)))
      expect(at.every((page) => page >= 0)).toBe(true)
      expect(at[1]).toBe(at[0])
      expect(at[3]).toBe(at[2])
      expect(pages.findIndex((page) => page.includes('Drum shell'))).toBe(at[0])
    }
  })

  it('sets a table below the lines, in columns of one width, its head in bold', async () => {
    const columns = ['station', 'lower', 'upper']
    const rows = [
      ['0', '11.25', '161.50'],
      ['50', '9.75', '160.25'],
    ]
    const job = { ...input, objects: [], steps: [{ heading: 'Ordinates', lines, table: { columns, rows } }] }
    const bytes = await writeJobSheet(job)
    const words = wordsOf(bytes, 1)
    const find = (text: string) => words.find((word) => word.text === text) ?? expect.fail(`no ${text}`)
    // 18 mm of edge and a third of 174 mm: columns at 18, 76 and 134 mm.
    const places = [18, 76, 134]
    for (const row of [columns, ...rows]) {
      row.forEach((cell, i) => {
        expect(find(cell).left).toBeCloseTo(places[i] ?? 0, 1)
        expect(find(cell).top).toBeCloseTo(find(row[0] ?? '').top, 1)
      })
    }
    const tops = ['Ordinates', 'tin.', 'station', '0', '50'].map((text) => find(text).top)
    expect(tops.every((top, i) => i === 0 || top > (tops[i - 1] ?? 0) + 2)).toBe(true)
    // Advance widths of `station` in thousandths, from the Adobe metrics: s t a t i o n in Helvetica-Bold
    // 556 333 556 333 278 611 611 = 3278, in Helvetica 500 278 556 278 222 556 556 = 2946. Size 9.5 pt.
    const width = (thousandths: number) => (thousandths / 1000) * 9.5 * (25.4 / 72)
    expect(find('station').right - find('station').left).toBeCloseTo(width(3278), 1)
  })

  it('sets the head of a table again on every page, once, and every row in order', async () => {
    for (const count of [0, 7, 14, 21, 28, 35]) {
      const rows = Array.from({ length: 130 }, (_, i) => [`r${i}`, `a${i}`, `b${i}`])
      const table = { columns: ['Station', 'Lower', 'Upper'], rows }
      const job = { ...input, objects: [], summary: filled(count), steps: [{ heading: 'Ordinates', lines: [], table }] }
      const pages = pagesOf(await writeJobSheet(job))
      expect(pages.length).toBeGreaterThan(2)
      for (const page of pages) {
        const own = rowsOf(page)
        const head = own.findIndex((row) => /^Station +Lower +Upper$/.test(row))
        const first = own.findIndex((row) => /^r\d+ /.test(row))
        if (first < 0) {
          expect(head).toBe(-1)
          continue
        }
        expect(head).toBe(first - 1)
        expect(own.filter((row) => row.startsWith('Station'))).toHaveLength(1)
        expect(own.filter((row) => /^r\d+ /.test(row)).length).toBeGreaterThan(1)
      }
      const found = pages.flatMap(rowsOf).filter((row) => /^r\d+ /.test(row))
      expect(found.map((row) => row.split(/ +/))).toEqual(rows)
    }
  })

  it('never tears a row of several lines, nor a table from its heading', async () => {
    const cell = (i: number) => `first${i} ${Array.from({ length: 30 }, () => 'ordinate').join(' ')} last${i}`
    for (const count of [0, 5, 10, 15, 20, 25, 30, 35, 40, 45]) {
      const rows = Array.from({ length: 16 }, (_, i) => [`${i}`, cell(i)])
      const table = { columns: ['Station', 'Words'], rows }
      const job = { ...input, objects: [], summary: filled(count), steps: [{ heading: 'Ordinates', lines: [], table }] }
      const pages = pagesOf(await writeJobSheet(job))
      const pageWith = (words: RegExp) => pages.findIndex((page) => words.test(page))
      rows.forEach((_, i) => {
        expect(pageWith(new RegExp(`first${i}\\b`))).toBeGreaterThanOrEqual(0)
        expect(pageWith(new RegExp(`last${i}\\b`))).toBe(pageWith(new RegExp(`first${i}\\b`)))
      })
      expect(pageWith(/Ordinates/)).toBe(pageWith(/first0\b/))
    }
  })

  it('sets every word of a cell longer than a page, under the head', async () => {
    const words = Array.from({ length: 700 }, (_, i) => `word${i}`)
    const table = { columns: ['Station', 'Words'], rows: [['0', words.join(' ')]] }
    const job = { ...input, objects: [], steps: [{ heading: 'Ordinates', lines: [], table }] }
    const pages = pagesOf(await writeJobSheet(job))
    expect(pages.length).toBeGreaterThan(1)
    expect(pages.every((page) => page.match(/Station/g)?.length === 1)).toBe(true)
    const all = pages.join(' ').split(/\s+/)
    expect(words.filter((word) => !all.includes(word))).toEqual([])
  })
})
