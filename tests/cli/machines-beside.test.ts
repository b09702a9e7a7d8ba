import { mkdir, mkdtemp, readFile, realpath, rm, symlink, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { run } from '../../src/cli/run.ts'
import { serveApp } from '../../src/cli/serve.ts'
import { machineLookup, type OwnProfile } from '../../src/job/machine-lookup.ts'
import { makeFiles, previewJob } from '../../src/job/preview.ts'

let top = ''
const at = (...parts: string[]) => join(top, ...parts)
const cwd = process.cwd()
beforeEach(async () => {
  top = await realpath(await mkdtemp(join(tmpdir(), 'midtick-beside-')))
  for (const name of ['job/machines', 'here/machines', 'page', 'config/midtick/machines']) {
    await mkdir(at(name), { recursive: true })
  }
  await writeFile(at('page/index.html'), '<!doctype html>')
  await writeFile(job(), lid('plain-roll'))
  vi.stubEnv('XDG_CONFIG_HOME', at('config'))
  process.chdir(at('here'))
})
afterEach(async () => {
  process.chdir(cwd)
  vi.unstubAllEnvs()
  await rm(top, { recursive: true, force: true })
})

const job = () => at('job', 'lid.yaml')
const lid = (machine: string) =>
  `version: 1\ntitle: Lid\nmachine: ${machine}\nobjects: [{ name: lid, shape: flat-panel, width: 100, height: 50 }]\n`
/** A roll cutter, as it was found out to count. */
const counting = (unitsPerMm: number) =>
  `name: bench cutter\narea: { along: 700, across: 600 }\nunitsPerMm: ${unitsPerMm}\ntools: { kiss: 1 }\n`

async function said(...argv: string[]): Promise<{ code: number; out: string; err: string }> {
  const heard = { out: '', err: '' }
  const out = (text: string) => {
    heard.out += text
  }
  const err = (text: string) => {
    heard.err += text
  }
  const code = await run(argv, { out, err, colour: false, live: false })
  expect(heard.out + heard.err).not.toMatch(/undefined|\[object|\n {4}at /)
  return { code, ...heard }
}

/** What the page is given of the machines. */
async function givenToPage(): Promise<Response> {
  const served = { page: at('page'), job: job(), own: at('job', 'shapes'), port: () => 4321, token: 'token' }
  const headers = { Host: '127.0.0.1:4321', 'X-Midtick-Token': 'token' }
  return (await serveApp(served)).request('http://127.0.0.1:4321/api/machines', { headers })
}
const onPage = async () => ({ findMachine: machineLookup((await (await givenToPage()).json()) as OwnProfile[]) })

/** The widest place of the film side's cut, in units. */
async function farthest(): Promise<number> {
  const hpgl = await readFile(at('out', 'sheet-1.hpgl'), 'latin1')
  return Math.max(...[...hpgl.matchAll(/\d+(?=,)/g)].map(Number))
}

const inPlace = 'in place of the plain-roll that comes with midtick'

describe('a machine beside the job', () => {
  test('is cut on at its own units, by the command and by the page alike, and is named with its file', async () => {
    await writeFile(at('job/machines/plain-roll.yaml'), counting(20))
    const made = await said('make', job(), '--out', at('out'))
    const line = `Machine: bench cutter (plain-roll), whose profile is machines/plain-roll.yaml beside the job, ${inPlace}.`
    expect(made).toMatchObject({ code: 0 })
    expect(made.out).toContain(`${line}\n`)
    // 102 mm of lid and 10 mm of margin, at 20 units a mm
    expect(await farthest()).toBe(112 * 20)
    const report = JSON.parse(await readFile(at('out/report.json'), 'utf8'))
    expect(report.machineFrom).toEqual({
      name: 'plain-roll',
      where: 'beside',
      file: 'machines/plain-roll.yaml',
      inPlaceOf: { where: 'shipped' },
    })
    const given = await onPage()
    const page = await makeFiles(await readFile(job(), 'utf8'), given)
    expect(page.summary).toContain(line)
    expect(page.files.length).toBeGreaterThan(5)
    for (const { name, bytes } of page.files) {
      expect(Buffer.compare(bytes, await readFile(at('out', name))), name).toBe(0)
    }
    expect((await previewJob(await readFile(job(), 'utf8'), true, given)).material?.[0]).toBe(line)
  })

  test('is one that the page finds too, whatever its name', async () => {
    await writeFile(at('job/machines/bench.yml'), counting(40))
    const { problems, summary } = await makeFiles(lid('bench'), await onPage())
    expect(problems).toEqual([])
    expect(summary[0]).toBe('Machine: bench cutter (bench), whose profile is machines/bench.yml beside the job.')
    const [missing] = (await makeFiles(lid('other'), await onPage())).problems
    expect(missing?.text).toContain('bench, plain-roll')
  })

  test('is not what stands in the folder that the command is run from', async () => {
    await writeFile(at('here/machines/plain-roll.yaml'), counting(20))
    const { out } = await said('make', job(), '--out', at('out'))
    expect(out).toContain('Machine: plain roll cutter (plain-roll), whose profile comes with midtick.\n')
    expect(await farthest()).toBe(112 * 40)
    // a command that has no job looks there, and says so
    const file = at('out', 'sheet-1.hpgl')
    const checked = await said('check', file, '--machine', 'plain-roll')
    expect(checked.out).toContain(`whose profile is machines/plain-roll.yaml, ${inPlace}.`)
    const sent = await said('send', file, '--machine', 'plain-roll', '--to', `file:${at('sent')}`, '--yes')
    expect(sent.err).toContain('written for plain roll cutter')
    const own = await said('send', file, '--to', `file:${at('sent')}`, '--yes')
    expect(own.out).toContain('Machine: plain roll cutter, whose profile is in report.json beside the file.')
  })

  test('comes before one of the configuration folder, and that before the shipped one', async () => {
    await writeFile(at('config/midtick/machines/plain-roll.yaml'), counting(10))
    const file = 'midtick/machines/plain-roll.yaml in your configuration folder'
    expect((await said('make', job(), '--out', at('out'))).out).toContain(`whose profile is ${file}, ${inPlace}.`)
    expect((await makeFiles(lid('plain-roll'), await onPage())).summary[0]).toContain(`is ${file}, ${inPlace}.`)
    await writeFile(at('job/machines/plain-roll.yaml'), counting(20))
    const both = (await said('make', job(), '--out', at('out'))).out
    expect(both).toContain(`is machines/plain-roll.yaml beside the job, in place of the plain-roll that is ${file}.`)
    // the units of the first count
    expect(await farthest()).toBe(112 * 20)
  })

  test('that cannot be used or read is refused by both, never passed over for the shipped one', async () => {
    const refused = async () => {
      const command = await said('make', job(), '--out', at('out'))
      const page = await makeFiles(lid('plain-roll'), await onPage())
      expect(command.code).toBe(1)
      expect(page.files).toEqual([])
      return [command.err, page.problems[0]?.text ?? '']
    }
    await writeFile(at('job/machines/plain-roll.yaml'), counting(-20))
    for (const text of await refused()) {
      expect(text).toMatch(/-20.*midtick machines check machines\/plain-roll\.yaml in the job's folder/s)
    }
    await rm(at('job/machines/plain-roll.yaml'))
    await writeFile(at('secret.yaml'), counting(20))
    await symlink('../../secret.yaml', at('job/machines/plain-roll.yaml'))
    for (const text of await refused()) {
      expect(text).toContain('it is a link out of its folder')
      // the job is named as it was given, and no other path is
      expect(text.replace(at('job', 'lid.yaml'), '')).not.toContain(at('job'))
      expect(text).not.toContain('.. ')
    }
    await rm(at('job/machines'), { recursive: true })
    await writeFile(at('job/machines'), 'a file')
    expect((await said('make', job(), '--out', at('out'))).err).toContain('machines cannot be read: it is a file')
    const answer = await givenToPage()
    expect(answer.status).toBe(422)
    expect(((await answer.json()) as { error: string }).error).toContain('machines cannot be read: it is a file')
  })

  test('is not needed by a job that tells of its machine or names none, and that is said as well', async () => {
    await writeFile(job(), lid('{ like: plain-roll, name: my own }'))
    expect((await said('make', job(), '--out', at('out'))).out).toContain(
      'Machine: my own, whose profile is told by the job itself.\n',
    )
    await writeFile(job(), lid('plain-roll').replace('machine: plain-roll\n', ''))
    expect((await said('make', job(), '--out', at('out'))).out).toContain(
      'Machine: plain roll cutter (plain-roll), whose profile comes with midtick; none is named.\n',
    )
    await writeFile(at('mine.yaml'), counting(30))
    const named = await said('make', job(), '--machine', '../mine.yaml', '--out', at('out'))
    expect(named.out).toContain('Machine: bench cutter, whose profile is ../mine.yaml.\n')
    expect(await farthest()).toBe(112 * 30)
  })
})
