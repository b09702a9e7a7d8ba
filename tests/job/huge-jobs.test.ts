import { expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { makeJob } from '../../src/job/make-job.ts'
import { jobOf, madeOf, textOf } from './jobs.ts'

const templates = await loadShapes()
const wide =
  'machine: { like: wide-roll, area: { along: 25 m, across: 5 m } }\nstock: { width: 5000, length: 50 m, margin: 0 }\n'
const door = 'name: door, shape: flat-panel, width: 11900, height: 2400'
const wordsOf = (warnings: readonly { readonly text: string }[]) => warnings.map(({ text }) => text).join('\n')
const names = (files: readonly { readonly name: string }[]) => files.map(({ name }) => name)

test('a panel as big as there may be is cut, and its paper template of thousands of pages is left out and told of', async () => {
  const before = process.memoryUsage().rss
  const { files, warnings } = await madeOf(jobOf(['name: wall, shape: flat-panel, width: 19900, height: 4900'], wide))
  expect(names(files)).toContain('sheet-1.hpgl')
  expect(names(files)).not.toContain('paper.pdf')
  expect(wordsOf(warnings)).toMatch(/paper\.pdf is left out: the paper template takes 2220 pages of A4, .* is 300\./)
  expect(wordsOf(warnings)).toContain('No more than 1000 are written whatever the job says')
  // 4.3 GB before it was bounded
  expect(process.memoryUsage().rss - before).toBeLessThan(500e6)
})

test('a paper template that is wanted is written up to as many pages as the job says, and none where that is 0', async () => {
  const paper = 'paper: A3\n'
  const left = await madeOf(jobOf([door], `${wide}${paper}`))
  const [told = ''] = left.warnings.flatMap(({ text }) => (text.startsWith('paper.pdf') ? [text] : []))
  const pages = Number(/takes (\d+) pages of A3/.exec(told)?.[1])
  expect(pages).toBeGreaterThan(300)
  expect(told).toContain(`set paperPages to ${pages}`)
  const wanted = await madeOf(jobOf([door], `${wide}${paper}paperPages: ${pages}\n`))
  expect(names(wanted.files)).toContain('paper.pdf')
  expect(wanted.warnings).toEqual([])
  expect(names((await madeOf(jobOf(['name: a, shape: flat-panel, width: 50, height: 50']))).files)).toContain(
    'paper.pdf',
  )
  const hand = await madeOf(jobOf([door], 'machine: by-hand\npaperPages: 0\n'))
  expect(names(hand.files)).not.toContain('paper.pdf')
  expect(hand.summary.join('\n')).not.toContain('paper.pdf')
}, 120_000)

test('a sheet of hundreds of pieces does not make a book of its job sheet: their places are in the report', async () => {
  const tags = (copies: number) => jobOf([`name: tag, shape: flat-panel, width: 40, height: 20, copies: ${copies}`])
  const sheetOf = ({ files }: Awaited<ReturnType<typeof madeOf>>) =>
    files.find(({ name }) => name === 'job-sheet.pdf')?.bytes ?? expect.fail('no job sheet')
  const pagesOf = (bytes: Uint8Array) => new TextDecoder('latin1').decode(bytes).match(/\/Type \/Page\b/g)?.length
  const many = await madeOf(tags(301))
  expect(pagesOf(sheetOf(many))).toBeLessThan(8)
  expect(pagesOf(sheetOf(await madeOf(tags(300))))).toBeGreaterThan(15)
  const { sheets } = JSON.parse(textOf(many.files, 'report.json')).material
  expect(sheets.flatMap(({ pieces }: { pieces: unknown[] }) => pieces)).toHaveLength(301)
}, 120_000)

test('more pieces than can be laid out are refused before any is laid', async () => {
  const many = Array.from({ length: 6 }, (_, i) => `name: lid ${i}, shape: disc, diameter: 30, copies: ${2000 - i}`)
  const start = performance.now()
  const { made, problems } = await makeJob(jobOf(many), templates)
  expect(made).toBeUndefined()
  expect(problems).toMatchObject([
    {
      code: 'too_many_pieces',
      field: 'lid 0',
      value: '2000 of 11985 pieces in all',
      cure: expect.stringMatching(/split/),
    },
  ])
  expect(performance.now() - start).toBeLessThan(20_000)
})
