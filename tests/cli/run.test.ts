import { copyFile, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { said } from './said.ts'

const sample = fileURLToPath(new URL('../../samples/tool-library.yaml', import.meta.url))

let folder = ''
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-run-'))
})
afterEach(() => rm(folder, { recursive: true, force: true }))

const small = 'version: 1\ntitle: Small\nobjects:\n  - { name: lid, shape: flat-panel, width: 100, height: 50 }\n'

async function jobFile(text = small, name = 'job.yaml'): Promise<string> {
  const file = join(folder, name)
  await writeFile(file, text)
  return file
}

/** mm that `check --against` found. */
const farOff = (out: string): number => Number(/at most ([\d.]+) mm from/.exec(out)?.[1])

describe('help', () => {
  test('lists the commands, the exit codes and a first job, and ends with 0', async () => {
    const { code, out, err } = await said('--help')
    expect(code).toBe(0)
    expect(err).toBe('')
    for (const word of ['make', 'check', 'shapes', 'schema', 'Exit codes: 0', 'shape: straight-band']) {
      expect(out).toContain(word)
    }
  })

  test('shows a first job that can be made as it stands', async () => {
    const { out } = await said('--help')
    const job = /^ {2}version: 1\n(?: {2}.*\n)+/m.exec(out)?.[0].replaceAll(/^ {2}/gm, '') ?? ''
    expect((await said('make', await jobFile(job), '--out', join(folder, 'out'))).code).toBe(0)
  })

  test.each([
    ['no such command', ['mak']],
    ['an unknown option', ['make', 'a.yaml', '--ouy', 'x']],
    ['no job', ['make']],
    ['units that are no number', ['check', 'a.hpgl', '--units', 'forty']],
    ['units without end', ['check', 'a.hpgl', '--units', '1e999']],
    ['an area of one length', ['check', 'a.hpgl', '--area', '800']],
  ])('is pointed to, with exit code 2, for %s', async (_, argv) => {
    const { code, out, err } = await said(...argv)
    expect(code).toBe(2)
    expect(out).toBe('')
    expect(err).toContain('midtick --help')
  })
})

describe('make', () => {
  test('writes the folder and says what is in it', async () => {
    const out = join(folder, 'deep', 'out')
    const done = await said('make', sample, '--out', out)
    expect(done).toMatchObject({ code: 0, err: '' })
    expect(done.out).toContain('Tool library, autumn store')
    expect(done.out).toContain(`Written to ${out}: 16 files`)
    const names = await readdir(out)
    expect(names).toHaveLength(16)
    expect(JSON.parse(await readFile(join(out, 'report.json'), 'utf8')).files.sort()).toEqual(names.sort())
    expect(await readdir(join(folder, 'deep'))).toEqual(['out'])
  })

  test('replaces an earlier result as a whole', async () => {
    const out = join(folder, 'out')
    await said('make', sample, '--out', out)
    expect((await said('make', await jobFile(), '--out', out)).code).toBe(0)
    const names = await readdir(out)
    expect(names).toContain('panel-lid.svg')
    expect(names).not.toContain('panel-paint-tin.svg')
    expect(names.sort()).toEqual(JSON.parse(await readFile(join(out, 'report.json'), 'utf8')).files.sort())
    expect((await readdir(folder)).sort()).toEqual(['job.yaml', 'out'])
  })

  test('takes an empty folder', async () => {
    await mkdir(join(folder, 'out'))
    expect((await said('make', await jobFile(), '--out', join(folder, 'out'))).code).toBe(0)
  })

  test.each([
    ['never held a result', false],
    ['holds an earlier result beside them', true],
  ])('refuses a folder of other files that %s, and leaves it as it was', async (_, before) => {
    const out = join(folder, 'out')
    if (before) await said('make', sample, '--out', out)
    else await mkdir(out)
    await writeFile(join(out, 'letter.txt'), 'mine')
    const names = await readdir(out)
    const { code, err } = await said('make', await jobFile(), '--out', out)
    expect(code).toBe(3)
    expect(err).toContain('letter.txt')
    expect(await readdir(out)).toEqual(names)
    expect(await readFile(join(out, 'letter.txt'), 'utf8')).toBe('mine')
    expect((await readdir(folder)).sort()).toEqual(['job.yaml', 'out'])
  })

  test('does not take a file for the folder', async () => {
    const job = await jobFile()
    expect((await said('make', job, '--out', job)).code).toBe(3)
    expect(await readFile(job, 'utf8')).toBe(small)
  })

  test('says in words why a folder cannot be written', async () => {
    const job = await jobFile()
    const done = await said('make', job, '--out', join(job, 'out'))
    expect(done.code).toBe(3)
    expect(done.err).toMatch(
      /out cannot be written: \S+job\.yaml is a file, not a folder\. What was there before is as it was/,
    )
  })

  test('of a job that is refused ends with 1, says every problem and leaves no folder', async () => {
    const job = await jobFile(small.replace('100', '-100').replace('height', 'heigth'))
    const { code, out, err } = await said('make', job, '--out', join(folder, 'out'))
    expect(code).toBe(1)
    expect(out).toBe('')
    expect(err).toContain('3 problems, nothing was written.')
    expect(err).toContain('line 4, column')
    expect(err).toContain('Did you mean height?')
    expect(await readdir(folder)).toEqual(['job.yaml'])
  })

  test('of a panel too big for the film ends with 1 and leaves an earlier result alone', async () => {
    const out = join(folder, 'out')
    await said('make', await jobFile(), '--out', out)
    const report = await readFile(join(out, 'report.json'))
    const big = await jobFile(small.replace('100', '3 m').replace('50', '2 m'), 'big.yaml')
    const { code, err } = await said('make', big, '--out', out)
    expect(code).toBe(1)
    expect(err).toContain('too big by')
    expect(await readFile(join(out, 'report.json'))).toEqual(report)
  })

  test.each(['nothing.yaml', '.'])('of %s ends with 3', async (name) => {
    const { code, err } = await said('make', join(folder, name), '--out', join(folder, 'out'))
    expect(code).toBe(3)
    expect(err).toMatch(/cannot be read: (there is no such file|it is a folder)\./)
    expect(await readdir(folder)).toEqual([])
  })

  test('with --json prints the report alone, or the problems', async () => {
    const out = join(folder, 'out')
    const done = await said('make', await jobFile(), '--out', out, '--json')
    expect(JSON.parse(done.out)).toEqual(JSON.parse(await readFile(join(out, 'report.json'), 'utf8')))
    const refused = await said('make', await jobFile('version: 1'), '--out', out, '--json')
    expect(refused.code).toBe(1)
    expect(JSON.parse(refused.out).problems.map((p: { field: string }) => p.field)).toEqual(['title', 'objects'])
    expect(JSON.parse(refused.out).warnings).toEqual([])
    // what a person shall look at again may be why it was refused
    const large =
      'version: 1\ntitle: x\nunit: cm\nobjects: [{ name: tin, shape: straight-band, girth: 534, height: 180 }]\n'
    const told = JSON.parse((await said('make', await jobFile(large), '--out', out, '--json')).out)
    expect(told.problems).toHaveLength(1)
    expect(told.warnings).toEqual([expect.stringMatching(/^tin: a panel 534\.63 cm long/)])
  })

  test('refuses a job in another encoding than UTF-8, with the line', async () => {
    const file = await jobFile('')
    await writeFile(file, small.replace(/^title: .*$/m, 'title: T\u00fcre'), 'latin1')
    const { code, err } = await said('make', file, '--out', join(folder, 'latin'))
    expect(code).toBe(1)
    expect(err).toMatch(/is not UTF-8 text \(line \d+ has a letter in another encoding\).* Save it as UTF-8/)
  })

  test('warns of readings that differ, and goes on', async () => {
    const { code, err } = await said(
      'make',
      await jobFile(small.replace('100', '[100, 103]')),
      '--out',
      join(folder, 'o'),
    )
    expect(code).toBe(0)
    expect(err).toContain('Look again: lid, width: readings 100, 103 differ by 3.0 mm')
  })
})

describe('check', () => {
  const made = async () => {
    const out = join(folder, 'out')
    // Without allowance a 100 x 50 mm panel takes as much film, and is pinned at 10, 10 mm.
    const plain = small.replace('width', 'allowance: 0, slit: none, ticks: pen, pinned: [{ x: 10, y: 10 }], width')
    await said('make', await jobFile(plain), '--out', out)
    return { hpgl: join(out, 'sheet-1.hpgl'), svg: join(out, 'sheet-1.cut.svg') }
  }

  test('says what a cut file holds and where it lies', async () => {
    const { hpgl, svg } = await made()
    const { code, out } = await said('check', hpgl, svg)
    expect(code).toBe(0)
    // no pen in the machine: the outline alone, from the margin of 10 mm to 110, 60 mm
    expect(out).toContain('sheet-1.hpgl: HP-GL\n  pen 1: 1 stroke, 1 closed\n  from 10.00, 10.00 to 110.00, 60.00 mm')
    expect(out).toContain('sheet-1.cut.svg: SVG\n  kiss: 1 stroke, 1 closed\n  from 10.00, 10.00 to 110.00, 60.00 mm')
  })

  test('with --against says how far two files are apart', async () => {
    const { hpgl, svg } = await made()
    expect((await said('check', hpgl, '--against', svg)).out).toContain('at most 0.000 mm from')
    const moved = join(folder, 'moved.hpgl')
    // one corner 40 units = 1 mm out
    await writeFile(moved, (await readFile(hpgl, 'utf8')).replace('4400,2400', '4440,2400'))
    expect((await said('check', moved, '--against', svg)).out).toMatch(
      /at most 1\.000 mm from .*, at x 111\.0, y 60\.0 mm/,
    )
  })

  test('counts strokes in words: 1 stroke, 2 strokes', async () => {
    const lines = await jobFile('IN;SP1;PU0,0;PD40,0;PU0,80;PD40,80;PU;SP2;PU0,40;PD40,40;PU;SP0;\n', 'two.hpgl')
    expect((await said('check', lines)).out).toContain('  pen 1: 2 strokes, 0 closed\n  pen 2: 1 stroke, 0 closed\n')
  })

  test('takes the drawing of a sheet, pen lines and all, and compares it where it stands', async () => {
    const out = join(folder, 'penned')
    const job = small.replace(
      'objects:',
      'machine: { like: plain-roll, tools: { pen: 2, kiss: 1, through: 3, slit: 1 } }\nobjects:',
    )
    await said('make', await jobFile(job), '--out', out)
    // Renamed, because the drawing itself says what it is.
    const drawing = join(folder, 'some.txt')
    await copyFile(join(out, 'sheet-1.svg'), drawing)
    const done = await said('check', join(out, 'sheet-1.hpgl'), '--against', drawing)
    expect(done).toMatchObject({ code: 0, err: '' })
    // curves of labels flattened to 0.02 mm, half a unit of 0.025 mm each way, the drawing's thousandths:
    // 0.02 + 0.0125 sqrt 2 + 0.0005 sqrt 2 = 0.038 mm
    expect(farOff(done.out)).toBeLessThan(0.039)
    // a line too many, along the film's edge, 10 mm from the panel
    const text = await readFile(join(out, 'sheet-1.hpgl'), 'utf8')
    const extra = await jobFile(text.replace('SP0;', 'SP1;PU0,0;PD100,0;PU;SP0;'), 'extra.hpgl')
    const more = await said('check', extra, '--against', drawing)
    expect(more.code).toBe(1)
    expect(more.err).toContain('line of 2.5 x 0.0 mm at x 0.0, y 0.0 mm was not asked for')
  })

  describe('against the drawing of a panel', () => {
    const lid = 'name: lid, shape: flat-panel, width: 100, height: 50, allowance: 0, slit: none, ticks: pen'
    const holes = 'openings: [{ shape: round, diameter: 20, fromLeft: 10, fromBottom: 5 }]'
    const lidJob = (more = '', head = '') => `version: 1\ntitle: Lids\n${head}objects:\n  - { ${lid}${more} }\n`
    /** What came out of a job, in a folder of that name. */
    const result = async (name: string, text: string) => {
      const out = join(folder, name)
      expect((await said('make', await jobFile(text, `${name}.yaml`), '--out', out)).code).toBe(0)
      return { hpgl: join(out, 'sheet-1.hpgl'), svg: join(out, 'sheet-1.cut.svg'), panel: join(out, 'panel-lid.svg') }
    }

    test('counts its copies, wherever they lie', async () => {
      const { hpgl, svg, panel } = await result('two', lidJob(', copies: 2'))
      for (const file of [hpgl, svg]) {
        const { code, out, err } = await said('check', file, '--against', panel)
        expect({ code, err }).toEqual({ code: 0, err: '' })
        expect(out).toContain('  panel-lid.svg: 2 copies found, 2 asked for on this sheet, at most 0.00')
      }
    })

    test('finds one laid a quarter turned, with its opening', async () => {
      // 100 mm do not go along a machine of 90 mm, 50 mm with 10 + 10 mm kept free do
      const { hpgl, panel } = await result(
        'turned',
        lidJob(`, ${holes}`, 'machine: { like: plain-roll, area: { along: 90 mm, across: 630 mm } }\n'),
      )
      const { code, out } = await said('check', hpgl, '--against', panel)
      expect(out).toMatch(/from 10\.00, 10\.00 to 60\.00, 110\.00 mm/)
      expect(code).toBe(0)
      expect(out).toContain('panel-lid.svg: 1 copy found, 1 asked for on this sheet, all 2 lines of it, at most 0.0')
    })

    test('ends with 1 and names the line that has no match', async () => {
      const { panel } = await result('holed', lidJob(`, ${holes}`))
      const { hpgl } = await result('plain', lidJob())
      const { code, out, err } = await said('check', hpgl, '--against', panel)
      expect(code).toBe(1)
      expect(out).toContain('panel-lid.svg: 1 of 2 lines found, at most 0.0')
      expect(err).toContain('opening 20.0 x 20.0 mm, 10.0 mm from the left and 5.0 mm from the bottom')
      const other = await result('other', lidJob().replace('100', '102'))
      const none = await said('check', other.hpgl, '--against', panel)
      expect(none.code).toBe(1)
      expect(none.out).toContain('panel-lid.svg: 0 of 2 lines found\n')
      expect(none.err).toContain('outline 100.0 x 50.0 mm')
    })

    test('says in JSON what was found', async () => {
      const { hpgl, panel } = await result('one', lidJob())
      const { files } = JSON.parse((await said('check', hpgl, '--against', panel, '--json')).out)
      expect(files[0].panel).toMatchObject({ copies: 1, mirrored: 0, lines: 1, found: 1, missing: [] })
    })

    test('refuses a drawing where a cut file is asked for, and one without a cut line', async () => {
      const { hpgl, panel } = await result('one', lidJob())
      const swapped = await said('check', panel, '--against', hpgl)
      expect(swapped.code).toBe(1)
      expect(swapped.err).toContain('Give the cut file, and the drawing after --against.')
      const diagram = await jobFile((await said('shapes', 'flat-panel', '--diagram')).out, 'diagram.svg')
      const without = await said('check', hpgl, '--against', diagram)
      expect(without.code).toBe(1)
      expect(without.err).toContain('diagram.svg is without a line')
    })
  })

  test('with --area ends with 1 where the file sticks out, and says by how much', async () => {
    const { hpgl } = await made()
    expect(await said('check', hpgl, '--area', '110,60')).toMatchObject({ code: 0 })
    const { code, out, err } = await said('check', hpgl, '--area', '107.5,300')
    expect(code).toBe(1)
    expect(out).toContain('outside the area by 2.50 mm')
    expect(err).toContain('does not fit the area')
  })

  test('with --units reads other plotter units', async () => {
    const { hpgl } = await made()
    expect((await said('check', hpgl, '--units', '80')).out).toContain('from 5.00, 5.00 to 55.00, 30.00 mm')
  })

  test('with --json prints what it found and what it refused', async () => {
    const { hpgl } = await made()
    const bad = join(folder, 'bad.hpgl')
    await writeFile(bad, 'IN;XX1,2;')
    const { code, out } = await said('check', hpgl, bad, '--json')
    expect(code).toBe(1)
    const { files, refused } = JSON.parse(out)
    expect(files).toMatchObject([{ kind: 'HP-GL', low: { x: 10, y: 10 }, high: { x: 110, y: 60 }, outside: 0 }])
    expect(refused).toHaveLength(1)
  })

  test.each([
    '',
    'IN;SP0;\n',
    '<svg',
    '<svg xmlns="http://www.w3.org/2000/svg" width="1mm" height="1mm" viewBox="0 0 1 1"/>',
    '\u0000\u0001',
  ])('of a file that holds %j does not fall over', async (text) => {
    const { code, out, err } = await said('check', await jobFile(text, 'odd'), '--json')
    expect([0, 1]).toContain(code)
    expect(out).not.toContain('null')
    if (code === 1) expect(err).toContain('odd')
  })

  test('of a file without a line, alone or against another, ends with 1', async () => {
    const { hpgl } = await made()
    const empty = await jobFile('IN;SP0;\n', 'empty.hpgl')
    for (const files of [[hpgl, '--against', empty], [empty, '--against', hpgl], [empty]]) {
      const { code, err } = await said('check', ...files)
      expect(code).toBe(1)
      expect(err).toContain('empty.hpgl is without a line')
    }
  })

  test('of a missing file ends with 3', async () => {
    expect((await said('check', join(folder, 'gone.hpgl'))).code).toBe(3)
    const { hpgl } = await made()
    expect((await said('check', hpgl, '--against', join(folder, 'gone.hpgl'))).code).toBe(3)
  })

  test('takes a copy of a cut file made elsewhere', async () => {
    const { hpgl } = await made()
    await copyFile(hpgl, join(folder, 'copy.plt'))
    expect((await said('check', join(folder, 'copy.plt'))).out).toContain('HP-GL')
  })
})

describe('shapes', () => {
  test('lists them all', async () => {
    const { code, out } = await said('shapes')
    expect(code).toBe(0)
    for (const id of ['flat-panel', 'straight-band', 'tapered-band']) expect(out).toMatch(new RegExp(`^${id} `, 'm'))
  })

  test.each(['flat-panel', 'straight-band', 'tapered-band'])(
    'teaches %s by an example that can be made',
    async (id) => {
      const { code, out } = await said('shapes', id)
      expect(code).toBe(0)
      const example = /^ {2}- name: .*\n {4}shape: .*\n(?: {4}.*\n)*/m.exec(out)?.[0] ?? ''
      const head = 'version: 1\ntitle: Example\n'
      const job = await jobFile(`${head}objects:\n${example}`)
      expect((await said('make', job, '--out', join(folder, 'out'))).code).toBe(0)
    },
  )

  test('suggests the nearest for one it does not know, and ends with 1', async () => {
    const { code, err } = await said('shapes', 'strait-band')
    expect(code).toBe(1)
    expect(err).toContain('Did you mean straight-band?')
    expect((await said('shapes', 'zzz')).err).toContain('midtick shapes lists them')
  })

  test('with --diagram prints the drawing as SVG', async () => {
    const { code, out } = await said('shapes', 'tapered-band', '--diagram')
    expect(code).toBe(0)
    expect(out).toMatch(/^(<\?xml[^>]*>\s*)?<svg [\s\S]*<\/svg>\s*$/)
  })
})

test('schema prints a JSON Schema that knows every shape', async () => {
  const { code, out } = await said('schema')
  expect(code).toBe(0)
  const schema = JSON.parse(out)
  expect(schema.$schema).toContain('json-schema.org')
  expect(schema.required).toEqual(expect.arrayContaining(['version', 'title', 'objects']))
  for (const id of ['flat-panel', 'straight-band', 'tapered-band']) expect(out).toContain(`"${id}"`)
})
