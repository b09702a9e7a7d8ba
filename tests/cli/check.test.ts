import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { said } from './said.ts'

let folder = ''
const at = (...names: string[]) => join(folder, ...names)
/** The first job of the help, on the machine that is taken where none is named. */
const tin = `version: 1
title: Paint tin
objects:
  - name: paint tin
    shape: straight-band
    girth: 53.4 cm
    height: 18 cm
`
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-check-'))
  await writeFile(at('my-tin.yaml'), tin)
  const sample = fileURLToPath(new URL('../../samples/tool-library.yaml', import.meta.url))
  expect((await said('make', at('my-tin.yaml'), '--out', at('my-tin'))).code).toBe(0)
  expect((await said('make', sample, '--out', at('tools'))).code).toBe(0)
  await mkdir(at('alone'))
}, 180_000)
afterAll(() => rm(folder, { recursive: true, force: true }))

describe('check, by the report that lies beside the file', () => {
  test('finds the panel of a first job, and says for which machine and film', async () => {
    const { code, out, err } = await said(
      'check',
      at('my-tin/sheet-1.hpgl'),
      '--against',
      at('my-tin/panel-paint-tin.svg'),
    )
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toContain(
      'Machine: plain roll cutter, whose profile is in report.json beside the file.\n  film side up; film: self-adhesive film',
    )
    expect(out).toContain('panel-paint-tin.svg: 1 copy found, 1 asked for on this sheet, at most 0.0')
    expect(out).toMatch(/compared: outline, openings, mirrored or not, copies; not compared: .*kiss or through/)
  })

  test.each([
    'panel-paint-tin.svg',
    'panel-lidded-pail.svg',
    'panel-toolbox-lid.svg',
    'sheet-1.cut.svg',
    'sheet-1.svg',
  ])('finds all of %s in a file that makes up for a trailing blade', async (other) => {
    const { code, out, err } = await said('check', at('tools/sheet-1.hpgl'), '--against', at('tools', other))
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toContain('Machine: bench cutter, whose profile is in report.json beside the file.')
    expect(out).toMatch(/at most 0\.0\d\d mm from/)
  })

  test('takes a file that the report does not name for a strange one', async () => {
    await cp(at('tools/sheet-1.hpgl'), at('tools/mine.hpgl'))
    const { out } = await said('check', at('tools/mine.hpgl'))
    expect(out).not.toContain('report.json')
  })

  test('takes the machine that is named before the one that the report has, and says its limits', async () => {
    const { code, err } = await said('check', at('tools/sheet-1.hpgl'), '--machine', 'plain-sheet')
    expect(code).toBe(1)
    expect(err).toMatch(/plain sheet cutter reaches from 15\.0, 10\.0 to 405\.0, 287\.0 mm/)
    expect(err).toContain('done in part by pen 3; plain sheet cutter has pen 1 and 2 for this side')
  })

  test('finds what lies beyond the machine: 922 mm along where 800 are reached', async () => {
    await writeFile(at('alone/far.hpgl'), 'IN;SP1;PU0,0;PD36880,0;PD36880,400;PU;SP0;\n')
    const { code, err } = await said('check', at('alone/far.hpgl'), '--machine', 'plain-roll')
    expect(code).toBe(1)
    expect(err).toContain(
      'it is from 0.0, 0.0 to 922.0, 10.0 mm; plain roll cutter reaches from 0.0, 0.0 to 800.0, 630.0 mm.',
    )
  })

  test('ends with 1 where a line was changed, with each kind of file to hold it against, and says it in JSON too', async () => {
    await cp(at('tools'), at('changed'), { recursive: true })
    const file = at('changed/sheet-1.hpgl')
    const text = await readFile(file, 'utf8')
    // the first pen line goes on to the next without a lift
    await writeFile(file, text.replace(/PU;\s*PU(\d+,\d+);PD/, 'PD$1;PD'))
    for (const more of [[], ['--against', at('tools/sheet-1.cut.svg')], ['--against', at('tools/sheet-1.svg')]]) {
      const { code, err } = await said('check', file, ...more)
      expect(code).toBe(1)
      expect(err).toMatch(/it holds \d+ strokes; the report beside it tells of \d+\./)
    }
    const json = await said('check', file, '--against', at('tools/sheet-1.cut.svg'), '--json')
    expect(json.code).toBe(1)
    expect(JSON.parse(json.out).files[0].wrong.length).toBeGreaterThan(1)
  })
})

describe('the tolerance of check', () => {
  const shifted = async () => {
    const text = await readFile(at('my-tin/sheet-1.cut.svg'), 'utf8')
    await cp(at('my-tin'), at('shifted'), { recursive: true })
    // the page and all on it 1 mm higher is no change of the lines; the first line alone is moved by 0.3 mm
    const file = at('shifted/sheet-1.cut.svg')
    await writeFile(
      file,
      text.replace(/ d="M ([\d.]+) /, (_, x: string) => ` d="M ${Number(x) + 0.3} `),
    )
    return file
  }

  test('is 0.1 mm unless said, and decides how check ends', async () => {
    const file = await shifted()
    const of = (...more: string[]) => said('check', file, '--against', at('my-tin/sheet-1.cut.svg'), ...more)
    const usual = await of()
    expect(usual.code).toBe(1)
    expect(usual.err).toMatch(/is more than 0\.1 mm off/)
    expect((await of('--tolerance', '0.4 mm')).code).toBe(0)
    expect((await of('--tolerance', '0.02 in')).code).toBe(0)
    expect((await of('--tolerance', '0.2 mm')).code).toBe(1)
  })

  test.each([
    ['0.1', 'Write 0.1 mm if that is meant.'],
    ['0 mm', 'such as 0.1 mm'],
    ['-1 mm', 'such as 0.1 mm'],
    ['far', 'such as 0.1 mm'],
  ])('%s is no tolerance', async (tolerance, told) => {
    const { code, err } = await said('check', at('my-tin/sheet-1.hpgl'), `--tolerance=${tolerance}`)
    expect(code).toBe(2)
    expect(err).toContain(told)
  })
})
