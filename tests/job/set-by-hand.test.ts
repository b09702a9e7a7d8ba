import { expect, test } from 'vitest'
import { readPlot } from '../../src/file/hpgl/read.ts'
import { readCutSvg } from '../../src/file/svg/read.ts'
import type { Made } from '../../src/job/make-job.ts'
import { checkSend } from '../../src/job/send-check.ts'
import { readSendReport } from '../../src/job/send-report.ts'
import { jobOf, madeOf, textOf } from './jobs.ts'

const lid = 'name: paint tin lid, shape: flat-panel, width: 240, height: 120, radius: 10, ticks: auto'
const made = (tools: string, more = '') =>
  madeOf(
    jobOf(
      [lid],
      `machine: { name: one holder, area: { along: 800, across: 610 }, tools: ${tools}, end: "PG;"${more} }\n`,
    ),
  )

/** Operations in each HP-GL file for the film side, as the report names its lines, in the order of the files. */
const filmFiles = ({ checks }: Made) =>
  checks.flatMap(({ file, sent }) =>
    sent?.side === 'film' ? [`${file}: ${[...new Set(sent.lines.map(({ operation }) => operation))].join()}`] : [],
  )

const questionOf = (own: Made, file: string) => {
  const bytes = own.files.find(({ name }) => name === file)?.bytes
  const report = readSendReport(textOf(own.files, 'report.json'))
  return checkSend({ file, bytes: bytes ?? new Uint8Array(), machine: report?.machine, report }).question
}

test('kiss and through by one tool come as two files, with a stop between and what to set', async () => {
  const own = await made('{ pen: 2, kiss: 1, through: 1, slit: 1 }')
  expect(filmFiles(own)).toEqual(['sheet-1.hpgl: pen,kiss', 'sheet-1.through.hpgl: through'])
  expect(own.summary.join()).toContain(
    'Send sheet-1.hpgl with tool 1 holding the blade, set to cut the film alone; then, without moving the film, send sheet-1.through.hpgl with tool 1 holding the blade, set to cut film and liner.',
  )
  expect(questionOf(own, 'sheet-1.hpgl')).toBe(
    'Does the film lie film side up, with the tool at its start, and tool 1 holding the blade, set to cut the film alone?',
  )
  expect(questionOf(own, 'sheet-1.through.hpgl')).toBe(
    'Does the film still lie as sheet-1.hpgl has left it, with tool 1 holding the blade, set to cut film and liner?',
  )
  // The crosses alone are cut through: two lines each.
  const crosses = own.checks.find(({ file }) => file === 'sheet-1.through.hpgl')?.sent?.lines
  expect(crosses?.map(({ name, lines }) => `${name} ${lines}`)).toEqual(['lining-up cross 1 2', 'lining-up cross 2 2'])
})

test('only the last file of a sheet ends with commands that may move the film on', async () => {
  const own = await made('{ pen: 1, kiss: 1, through: 1, slit: 1 }')
  const ends = ['sheet-1.pen.hpgl', 'sheet-1.hpgl', 'sheet-1.through.hpgl'].map((file) =>
    /PG;\s*$/.test(textOf(own.files, file)),
  )
  expect(ends).toEqual([false, false, true])
})

test('a pen in the holder of the blade draws in a file of its own, so that no label is cut into the film', async () => {
  const own = await made('{ pen: 1, kiss: 1, through: 3, slit: 1 }')
  expect(filmFiles(own)).toEqual(['sheet-1.pen.hpgl: pen', 'sheet-1.hpgl: kiss,through'])
  expect(own.panels[0]?.ticks).toContain('pen lines')
  expect(questionOf(own, 'sheet-1.pen.hpgl')).toContain('tool 1 holding the pen?')
})

test('where the file tells the tools apart there is one file, and nothing to set', async () => {
  for (const tools of [
    '{ pen: 2, kiss: 1, through: 3, slit: 1 }',
    '{ pen: { number: 2, force: 10 }, kiss: { number: 1, force: 80 }, through: { number: 1, force: 150 }, slit: { number: 1, force: 20 } }',
    '{ pen: 2, kiss: 1, through: { number: 1, passes: 2 }, slit: 1 }',
  ]) {
    const own = await made(tools)
    expect(filmFiles(own)).toEqual(['sheet-1.hpgl: pen,kiss,through'])
    expect(own.summary.join()).not.toContain('no file can tell')
    expect(questionOf(own, 'sheet-1.hpgl')).toBe('Does the film lie film side up, with the tool at its start?')
  }
})

test('the files of a sheet together cut what one file would, each with its own lead-in', async () => {
  const blade = ', blade: { offset: 0.5, compensate: file }'
  const parted = await made('{ pen: 2, kiss: 1, through: 1, slit: 1 }', blade)
  const whole = await made('{ pen: 2, kiss: 1, through: 3, slit: 1 }', blade)
  const count = (own: Made, file: string) =>
    readPlot(new TextEncoder().encode(textOf(own.files, file)), { unitsPerMm: 40 }).strokes.length
  const [first, second] = ['sheet-1.hpgl', 'sheet-1.through.hpgl'].map((file) => count(parted, file))
  expect((first ?? 0) + (second ?? 0)).toBe(count(whole, 'sheet-1.hpgl'))
  for (const { sent, unturned } of parted.checks) {
    if (!sent) continue
    expect(unturned).toBeUndefined()
    expect(sent.lines.filter(({ name }) => name === 'lead-in on scrap')).toHaveLength(1)
  }
  const cut = (own: Made) =>
    own.files
      .filter(({ name }) => name.endsWith('.cut.svg') && !name.includes('liner-up'))
      .flatMap(({ name }) => readCutSvg(textOf(own.files, name)).strokes)
      .map(({ name, operation }) => `${operation} ${name}`)
      .sort()
  expect(cut(parted)).toEqual(cut(whole))
})
