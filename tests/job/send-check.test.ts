import { describe, expect, test } from 'vitest'
import { crc32 } from '../../src/file/crc32.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { beginningLines, checkSend, type SendAsked } from '../../src/job/send-check.ts'
import { readSendReport } from '../../src/job/send-report.ts'
import type { Machine } from '../../src/machine/profile.ts'
import { readProfile } from '../../src/machine/read-profile.ts'
import { partWords, pieceNames } from '../../src/machine/send/parts.ts'
import { courseFrom, wholeFile } from '../../src/machine/send/resume.ts'
import { formatProblem, Refusal } from '../../src/measure/problem.ts'
import { lidBytes, lids } from '../machine/send/jobs.ts'
import { jobOf, madeOf, textOf } from './jobs.ts'

function machineOf(more = ''): Machine {
  const { machine } = readProfile(
    `name: bench\narea: { along: 600, across: 300 }\ntools: { pen: 2, kiss: 1, slit: 3 }\n${more}`,
  )
  if (!machine) throw new Error('a profile that is none')
  return machine
}

const bench = machineOf()
const bytes = lidBytes('strict')
/** As a run writes it beside the cut file. */
const reportOf = (side: 'film' | 'liner', machine: Machine = bench, file = 'lids.hpgl', length = bytes.length) => {
  const lines = lids.map(({ name, piece, operation }) => ({ name, piece, operation, lines: 1 }))
  const checks = [{ file, worst: 0.0123, sent: { side, bytes: length, lines } }]
  return readSendReport(JSON.stringify({ midtick: 1, machine, checks }))
}

const check = (more: Partial<SendAsked> = {}) => checkSend({ file: 'out/lids.hpgl', bytes, ...more })

function refused(more: Partial<SendAsked>): string[] {
  try {
    check(more)
  } catch (error) {
    if (error instanceof Refusal) return error.problems.map(formatProblem)
  }
  throw new Error('it is not refused')
}

describe('the check before a job is sent', () => {
  test('says what is cut by what, how far it reaches, and what the report knows', () => {
    const { lines, question, side, plan } = check({ machine: bench, report: reportOf('film') })
    expect(side).toBe('film')
    // Three pen lines and four squares; the job as drawn takes up x from 10 to 120, y from 10 to 50.
    expect(lines).toContain('film side up')
    expect(lines).toContain('pen by pen 2: 3 lines, kiss by pen 1: 4 lines')
    expect(lines).toContain('2 pieces, 4 of 7 lines closed')
    expect(lines).toContain('from 10.0, 10.0 to 120.0, 50.0 mm, inside what bench reaches')
    expect(lines).toContain('the tip strays at most 0.012 mm from the line asked for')
    expect(plan.parts.map(partWords)).toEqual([
      'lid, copy 1 of 2 (pen)',
      'lid, copy 2 of 2 (pen)',
      'lid, copy 1 of 2 (kiss)',
      'lid, copy 2 of 2 (kiss)',
    ])
    expect(question).toBe('Does the film lie film side up, with the tool at its start?')
  })

  test('says so where nothing tells', () => {
    const { lines, side } = check()
    expect(side).toBeUndefined()
    expect(lines[0]).toBe('which side is up is not told')
    expect(lines.join()).toContain('no machine is named, so nothing tells if it fits')
  })

  test('takes the report of another file for none, and refuses a file that was changed since its report', () => {
    expect(check({ report: reportOf('liner', bench, 'others.hpgl') }).side).toBeUndefined()
    const sentence =
      'out/lids.hpgl is not what its run wrote; its length or CRC-32 is another than in the report beside it. Make the job anew. If you changed it yourself, put it into a folder of its own, without the report.'
    expect(refused({ report: reportOf('film', bench, 'lids.hpgl', bytes.length - 1) })).toEqual([sentence])
    const report = reportOf('film') ?? expect.fail('no report')
    const summed = (sum: string) => ({ ...report, checks: report.checks.map((each) => ({ ...each, crc32: sum })) })
    expect(check({ report: summed(crc32(bytes)) }).side).toBe('film')
    expect(refused({ report: summed(crc32(bytes.toReversed())) })).toEqual([sentence])
  })

  test('refuses a job for the other side, by its report or its name', () => {
    const sentence =
      'out/lids.hpgl is a job for the sheet liner up, turned over like a page; the sheet is said to lie film side up. Lay it liner up, turned over like a page and say --side liner, or send the file for the other side.'
    expect(refused({ report: reportOf('liner') })).toEqual([sentence])
    expect(refused({ file: 'lids.liner-up.hpgl' })).toEqual([sentence.replace('out/lids', 'lids.liner-up')])
    expect(refused({ side: 'liner', report: reportOf('film') })[0]).toContain('a job for the sheet film side up')
    expect(check({ side: 'liner', report: reportOf('liner') }).question).toContain('liner up')
  })

  test.each([
    ['axes: { origin: middle }', 'another origin'],
    ['unitsPerMm: 40.1', 'another units in a mm'],
    ['blade: { offset: 0.4, compensate: file }', 'another blade'],
  ])('refuses a job that was written for another machine than one with %s', (more, what) => {
    const other = machineOf(`${more}\n`)
    const [first] = refused({ machine: other, report: reportOf('film') })
    expect(first).toContain(`out/lids.hpgl is written for bench; bench has ${what}`)
    expect(first).toContain('Make the job anew with --machine')
  })

  test('refuses what lies beyond the reach, and a tool that is not there, together', () => {
    // 120 mm along where 100 are reached; kiss cuts with pen 1 where there is only pen 2.
    const { machine } = readProfile('name: little\narea: { along: 100, across: 60 }\ntools: { kiss: 2 }\n')
    expect(refused({ machine })).toEqual([
      'out/lids.hpgl is from 10.0, 10.0 to 120.0, 50.0 mm; little reaches from 0.0, 0.0 to 100.0, 60.0 mm. Send it to a bigger machine, or make the job anew with --machine for this one.',
      'out/lids.hpgl is done in part by pen 1; little has pen 2 for this side. Correct tools in its profile, or make the job anew with --machine.',
    ])
  })

  test('refuses what is no cut file', () => {
    expect(refused({ bytes: new TextEncoder().encode('IN;') })[0]).toContain('a file without a line')
    expect(refused({ bytes: bytes.subarray(0, bytes.length - 1).slice(0, 60) }).length).toBeGreaterThan(0)
  })
})

describe('a run that does not begin at the start', () => {
  const trailing = machineOf('blade: { offset: 0.25, compensate: file }\n')
  /** From a line of the file on, counted from 0: what is drawn on both lids is 0 to 2, what is cut 3 to 6. */
  const from = (machine: Machine | undefined, line: number) => {
    const { plan } = check({ machine })
    return beginningLines(plan, courseFrom(plan, { line, point: 1 }))
  }

  test('warns where a trailing blade was to be turned by a cut before', () => {
    expect(from(trailing, 5)).toEqual([
      'The blade may stand askew for the first millimetre: no cut has turned it yet. Look at the line there.',
    ])
    expect(from(trailing, 4)).toHaveLength(1)
  })

  test('does not where nothing was cut before, or the machine turns its blade itself', () => {
    expect(from(trailing, 3)).toEqual([])
    expect(from(trailing, 1)).toEqual([])
    expect(beginningLines(check({ machine: trailing }).plan, wholeFile)).toEqual([])
    expect(from(bench, 5)).toEqual([])
    expect(from(undefined, 5)).toEqual([])
  })
})

describe('the report beside a cut file', () => {
  test('is read as it is written', () => {
    const report = reportOf('film') ?? expect.fail('no report')
    expect(report?.machine.name).toBe('bench')
    expect(report?.checks[0]?.sent?.lines).toHaveLength(7)
  })

  test.each([
    ['empty', ''],
    ['no JSON', '{'],
    ['another thing', '[]'],
    ['a later one', JSON.stringify({ midtick: 2, machine: bench, checks: [] })],
    ['no machine', JSON.stringify({ midtick: 1, machine: { ...bench, axes: 'low left' }, checks: [] })],
    ['no figures', JSON.stringify({ midtick: 1, machine: bench, checks: [{ file: 'lids.hpgl' }] })],
  ])('is none where it is %s', (_, text) => {
    expect(readSendReport(text)).toBeUndefined()
  })
})

test('a piece is called by one name on the drawing, in the report and when it is sent, and by no number beside its copy', async () => {
  const { files } = await madeOf(
    jobOf([
      'name: tag, shape: flat-panel, width: 84, height: 40, copies: 3',
      'name: lid, shape: disc, diameter: 60, copies: 2',
    ]),
  )
  const written = (name: string) => files.find((file) => file.name === name)?.bytes ?? new Uint8Array()
  const report = readSendReport(textOf(files, 'report.json'))
  let looked = 0
  for (const [file, side] of [
    ['sheet-1.hpgl', 'film'],
    ['sheet-1.liner-up.hpgl', 'liner'],
  ] as const) {
    const { plan, tips, lines } = checkSend({ file, bytes: written(file), side, machine: report?.machine, report })
    expect(lines.join()).toContain('5 pieces')
    const names = pieceNames(plan.parts)
    expect([...names].sort()).toEqual([
      'lid, copy 1 of 2',
      'lid, copy 2 of 2',
      'tag, copy 1 of 3',
      'tag, copy 2 of 3',
      'tag, copy 3 of 3',
    ])
    const beside = plan.parts.filter(({ isPiece }) => !isPiece).map(({ name }) => name)
    expect(beside.every((name) => /^(lead-in|lining-up cross)/.test(name))).toBe(true)
    // on the drawing each of them stands with the same copy
    const drawing = textOf(files, 'sheet-1.svg')
    for (const name of names) expect(drawing).toContain(`>${name.replace(', copy', '')}<`)
    if (side === 'liner') continue
    // and where its outline is in the file, the sheet has it
    const { sheets } = JSON.parse(textOf(files, 'report.json')).material
    for (const { panel, copy, from } of sheets[0].pieces) {
      const own = plan.parts.find(({ name, closed }) => name.startsWith(`${panel}, copy ${copy} `) && closed > 0)
      const outline = own?.lines.flatMap((i) => (plan.lines[i]?.closed ? (tips[i] ?? []) : [])) ?? []
      const { low } = boundsOf(outline)
      expect(Math.hypot(low.x - from[0], low.y - from[1])).toBeLessThan(0.1)
      looked++
    }
  }
  expect(looked).toBe(5)
})
