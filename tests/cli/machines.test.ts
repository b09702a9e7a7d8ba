import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { homedir, tmpdir } from 'node:os'
import { join } from 'node:path'
import { Command, CommanderError } from 'commander'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { besideJob, inFolder, type ProfileFolder, profilesIn } from '../../src/cli/machine-profiles.ts'
import { addMachines, findMachine } from '../../src/cli/machines.ts'
import { Stop } from '../../src/cli/stop.ts'
import { machineLookup } from '../../src/job/machine-lookup.ts'

let folder = ''
let own = ''
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-machines-'))
  own = join(folder, 'machines')
  await mkdir(own)
  vi.stubEnv('XDG_CONFIG_HOME', join(folder, 'config'))
})
afterEach(async () => {
  vi.unstubAllEnvs()
  await rm(folder, { recursive: true, force: true })
})

/** `machines` with these arguments, with what it said. */
async function said(...argv: string[]): Promise<{ code: number; out: string; err: string }> {
  const heard = { out: '', err: '' }
  const program = new Command('midtick').exitOverride().configureOutput({
    writeOut: (text) => {
      heard.out += text
    },
    writeErr: (text) => {
      heard.err += text
    },
  })
  addMachines(program, {
    out: (text) => {
      heard.out += text
    },
    err: (text) => {
      heard.err += text
    },
    colour: false,
    live: false,
  })
  let code = 0
  try {
    await program.parseAsync(['machines', ...argv, '--own', own], { from: 'user' })
  } catch (error) {
    if (error instanceof CommanderError) code = error.exitCode === 0 ? 0 : 2
    else if (error instanceof Stop) code = error.code
    else throw error
    heard.err += (error as Error).message
  }
  expect(heard.out + heard.err).not.toMatch(/undefined|\[object|\n {4}at /)
  return { code, ...heard }
}

const bench = `# by the window
name: bench cutter
area: { along: 600, across: 300 }
unitsPerMm: 40 # by its manual
tools: { kiss: 1 }
`
const ownFile = async (name: string, text = bench) => {
  await writeFile(join(own, name), text)
  return join(own, name)
}

describe('machines', () => {
  test('lists those that come along', async () => {
    const { code, out, err } = await said()
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toContain('plain-roll   roll, 800 x 630 mm; comes with midtick\n')
    expect(out).toContain('plain-sheet  sheet, 420 x 297 mm; comes with midtick\n')
    expect(out).toContain('wide-roll    roll, 10000 x 1300 mm; comes with midtick\n')
    expect(out).toContain('by-hand      no cutter: paper alone is written; comes with midtick\n')
  })

  test('lists own ones and those of the configuration before them, broken and hidden ones marked', async () => {
    await ownFile('bench.yaml')
    await ownFile('plain-roll.yml', bench)
    await ownFile('broken.yaml', 'name: x\n')
    await ownFile('notes.txt', 'no profile')
    const configured = join(folder, 'config', 'midtick', 'machines')
    await mkdir(configured, { recursive: true })
    await writeFile(join(configured, 'bench.yaml'), bench.replace('600', '500'))
    await writeFile(join(configured, 'back.yaml'), bench)
    const lines = (await said()).out.split('\n')
    expect(lines.map((line) => line.split(/ {2,}/)[0]).slice(0, 10)).toEqual([
      'bench',
      'broken',
      'plain-roll',
      'back',
      'bench',
      'plain-roll',
      'plain-sheet',
      'wide-roll',
      'by-hand',
      '',
    ])
    expect(lines[0]).toContain(`roll, 600 x 300 mm; ${join(own, 'bench.yaml')}`)
    expect(lines[1]).toContain('cannot be used: 2 problems')
    expect(lines[4]).toContain('not used: that name stands above')
    expect(lines[5]).toContain('comes with midtick, not used')
    expect((await findMachine('bench', inFolder(own))).machine.area.x).toBe(600)
    expect((await findMachine('plain-roll', inFolder(own))).machine.name).toBe('bench cutter')
  })

  test('looks into the configuration folder of the user, named or usual', () => {
    const folders = (found: readonly ProfileFolder[]) => found.map(({ top, inside }) => join(top, inside))
    const configured = join(folder, 'config', 'midtick', 'machines')
    expect(folders(inFolder('machines'))).toEqual(['machines', configured])
    expect(folders(besideJob(join(folder, 'tin.yaml')))).toEqual([own, configured])
    vi.stubEnv('XDG_CONFIG_HOME', '')
    expect(folders(inFolder(own))[1]).toBe(join(homedir(), '.config', 'midtick', 'machines'))
  })

  test('show prints a profile as it is written', async () => {
    await ownFile('bench.yaml')
    expect(await said('show', 'bench')).toEqual({ code: 0, out: bench, err: '' })
  })

  test('of an unknown name says what was most likely meant, or what there is', async () => {
    expect(await said('show', 'plain-rol')).toMatchObject({
      code: 1,
      err: 'There is no machine plain-rol. Did you mean plain-roll?',
    })
    expect((await said('show', 'x')).err).toContain('There are plain-roll, plain-sheet, wide-roll, by-hand.')
  })

  test('check says what the machine is, or every problem with its line', async () => {
    const good = await said('check', await ownFile('bench.yaml'))
    expect(good.code).toBe(0)
    expect(good.out).toContain('bench cutter: roll, 600 x 300 mm\n')
    expect(good.out).toContain('40 and 40 units in a mm along X and Y, skew 0 deg')
    const bad = await ownFile('bad.yaml', bench.replace('600', '-600').replace('kiss: 1', 'kiss: 0'))
    const { code, out, err } = await said('check', bad)
    expect({ code, out }).toEqual({ code: 1, out: '' })
    expect(err).toContain('bad.yaml: 2 problems.')
    expect(err).toMatch(/line 3, column \d+: area\.along is -600 mm/)
    expect(err).toMatch(/line 5, column \d+: tools\.kiss is 0/)
    expect((await said('check', join(own, 'none.yaml'))).code).toBe(3)
    expect((await said('check', own)).err).toContain('it is a folder')
  })

  test('copy begins a profile and never writes over one', async () => {
    const file = join(folder, 'new', 'mine.yaml')
    expect((await said('copy', 'plain-sheet', file)).code).toBe(0)
    const text = await readFile(file, 'utf8')
    expect(text).toContain('name: plain sheet cutter')
    expect((await said('check', file)).code).toBe(0)
    const again = await said('copy', 'plain-roll', file)
    expect(again).toMatchObject({ code: 3 })
    expect(again.err).toContain('is there already')
    expect(await readFile(file, 'utf8')).toBe(text)
  })

  test('schema is JSON and names the fields', async () => {
    const { out } = await said('schema')
    expect(JSON.parse(out).required).toEqual(['name', 'area', 'tools'])
  })
})

describe('a machine for a job', () => {
  test('is found by its name, or is a problem with a cure', async () => {
    await ownFile('bench.yaml')
    const broken = await ownFile('broken.yaml', bench.replace('600', '-600'))
    const find = machineLookup(await profilesIn(inFolder(own)))
    expect(find('bench')).toMatchObject({ machine: { name: 'bench cutter', area: { x: 600, y: 300 } } })
    expect(find('wide-roll')).toMatchObject({ machine: { name: 'wide roll cutter' } })
    expect(find('wide-rol')).toMatchObject({ code: 'unknown_machine', cure: 'Did you mean wide-roll?' })
    expect(find('broken')).toMatchObject({
      code: 'too_small',
      field: 'machine broken: area.along',
      cure: `Enter 20 mm or more. midtick machines check ${broken} shows everything.`,
    })
  })

  test('may be named by its file', async () => {
    const file = await ownFile('bench.yaml')
    expect((await findMachine(file, [])).machine.name).toBe('bench cutter')
    await expect(findMachine(join(own, 'none.yaml'), [])).rejects.toThrow('there is no such file')
  })
})

describe('the truth about a machine', () => {
  test('test writes a folder, and replaces only what it wrote itself', async () => {
    const out = join(folder, 'test')
    const done = await said('test', 'plain-sheet', '--out', out)
    expect(done.code).toBe(0)
    const names = (await readdir(out)).sort()
    expect(names).toEqual(['1-test-piece.hpgl', 'read-me.txt', 'readings.yaml', 'report.json', 'test-piece.svg'])
    expect(JSON.parse(await readFile(join(out, 'report.json'), 'utf8')).files.sort()).toEqual(names)
    const hpgl = await readFile(join(out, '1-test-piece.hpgl'), 'latin1')
    // The lower left cross: margins of 15 and 10 mm, room of 2 mm, arms of 8 mm, by pen 1: from 17, 20 to 33, 20 mm.
    expect(hpgl).toContain('PU680,800;PD1320,800;')
    expect((await said('test', 'plain-sheet', '--out', out)).code).toBe(0)
    expect((await said('test', 'plain-sheet')).code).toBe(2)
  })

  test('test of a machine that is too small says how much it takes', async () => {
    await ownFile('tiny.yaml', bench.replace('600', '90'))
    const { code, err } = await said('test', 'tiny', '--out', join(folder, 'test'))
    expect(code).toBe(1)
    expect(err).toContain('a test piece needs 120 mm both ways')
    expect(await readdir(folder)).toEqual(['machines'])
  })

  const readings =
    'side: 200\nbottom: 199.04\nright: 199.04\ntop: 199.04\nleft: 199.04\ndiagonalAC: 281.485\ndiagonalBD: 281.485\n'

  test('measure says what changes and writes it as a new profile', async () => {
    await ownFile('bench.yaml')
    const file = join(folder, 'readings.yaml')
    await writeFile(file, readings)
    const dry = await said('measure', 'bench', file)
    // 8000 units of 0.02488 mm: 1 / 0.02488 = 40.1929 units in a mm (hpgl.md 2.1)
    expect(dry.out).toContain('Change units in a mm, X: 40.1929 +-')
    expect(dry.out).toMatch(/Keep {3}skew: -?0\.000 /)
    expect(dry.out).toContain('--out FILE')
    const out = join(own, 'bench-2.yaml')
    expect((await said('measure', 'bench', file, '--out', out)).code).toBe(0)
    expect(await readFile(out, 'utf8')).toBe(bench.replace('40 #', '{ x: 40.1929, y: 40.1929 } #'))
    expect((await said('measure', 'bench', file, '--out', out)).code).toBe(3)
    expect((await findMachine('bench-2', inFolder(own))).machine.unitsPerMm).toEqual({ x: 40.1929, y: 40.1929 })
  })

  test('measure warns of a length that does not fit the others', async () => {
    await ownFile('bench.yaml')
    const file = join(folder, 'readings.yaml')
    await writeFile(file, readings.replace('top: 199.04', 'top: 203'))
    expect((await said('measure', 'bench', file)).err).toContain('Look again: The lengths do not belong to one figure')
  })

  test('measure refuses readings that are none, and results that no machine can have', async () => {
    await ownFile('bench.yaml')
    const file = join(folder, 'readings.yaml')
    await writeFile(file, readings.replace('199.04', 'long'))
    const refused = await said('measure', 'bench', file)
    expect(refused.code).toBe(1)
    expect(refused.err).toMatch(/line 2, column \d+: bottom/)
    await writeFile(file, readings.replace('AC: 281.485', 'AC: 292').replace('BD: 281.485', 'BD: 270'))
    const leaning = await said('measure', 'bench', file)
    expect(leaning.code).toBe(1)
    expect(leaning.err).toContain('skew would be')
  })
})
