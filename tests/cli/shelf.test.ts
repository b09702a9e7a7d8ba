import { copyFile, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { saidTo } from './said.ts'

const samples = fileURLToPath(new URL('../../samples/', import.meta.url))
let folder = ''
let job = ''
let shelf = ''
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-shelf-'))
  for (const name of ['monthly-job.yaml', 'shelf.yaml']) await copyFile(join(samples, name), join(folder, name))
  job = join(folder, 'monthly-job.yaml')
  shelf = join(folder, 'shelf.yaml')
})
afterEach(() => rm(folder, { recursive: true, force: true }))

describe('shelf', () => {
  test('lists what there is, a line each', async () => {
    const { code, out } = await saidTo(['shelf', '--file', shelf])
    expect(code).toBe(0)
    expect(out.trim().split('\n')).toHaveLength(6)
  })

  test('leaves a shelf in another encoding as it is, whose letters would be lost', async () => {
    const before = Buffer.from(`${await readFile(shelf, 'utf8')}# T\u00fcren\n`, 'latin1')
    await writeFile(shelf, before)
    const { code, err } = await saidTo(['shelf', '--file', shelf, 'add', 'scrap', '--size', '300,200'])
    expect(code).toBe(1)
    expect(err).toContain('is not UTF-8 text')
    expect(Buffer.compare(await readFile(shelf), before)).toBe(0)
  })

  test('books a job once it is confirmed, and leaves the shelf as it is where it is not', async () => {
    const before = await readFile(shelf, 'utf8')
    const no = await saidTo(['shelf', 'take', job], false)
    expect(no.asked).toMatch(/Book this on shelf\.yaml\?/)
    expect(no.out).toMatch(/Nothing is booked/)
    expect((await saidTo(['shelf', 'take', job])).code).toBe(1)
    expect(await readFile(shelf, 'utf8')).toBe(before)
    const yes = await saidTo(['shelf', 'take', job], true)
    expect(yes.code).toBe(0)
    expect(yes.out).toMatch(/: taken\n/)
    expect(await readFile(shelf, 'utf8')).not.toBe(before)
    expect((await readdir(folder)).sort()).toEqual(['monthly-job.yaml', 'shelf.yaml'])
  })

  test('says what of it a job would be cut from', async () => {
    const { code, out } = await saidTo(['shelf', 'fit', job])
    expect(code).toBe(0)
    expect(out).toMatch(/^Machine: bench cutter, .*\nMaterial: matt grey film, /)
    expect(out).toMatch(/^grey roll: the whole job, [\d.]+ mm of it$/m)
  })

  test('takes an offcut by its corners, or refuses it and stays as it is', async () => {
    const add = ['shelf', '--file', shelf, 'add', 'bench corner', '--film', 'matt grey film']
    expect((await saidTo([...add, '--corners', '0,0 300,0 280,20cm 10,190'])).code).toBe(0)
    const after = await readFile(shelf, 'utf8')
    expect((await saidTo(['shelf', '--file', shelf])).out).toMatch(/^bench corner +offcut 300 mm x 200 mm over all/m)
    const twice = await saidTo([...add, '--size', '300,200'])
    expect(twice.code).toBe(1)
    expect(twice.err).toMatch(/stocks\[6\]\.name is "bench corner"; stocks\[5\]|stocks\[\d\]\.name is "bench corner"/)
    expect((await saidTo([...add, '--size', '300'])).code).toBe(2)
    expect((await saidTo(add)).code).toBe(2)
    expect(await readFile(shelf, 'utf8')).toBe(after)
  })

  test('edited into nonsense it is refused with its line, and stays as it is', async () => {
    const broken = (await readFile(shelf, 'utf8')).replace('kind: roll', 'kind: rol')
    await writeFile(shelf, broken)
    for (const argv of [
      ['shelf', '--file', shelf],
      ['shelf', '--file', shelf, 'add', 'a', '--size', '90,90'],
      ['shelf', 'take', job],
    ]) {
      const { code, err } = await saidTo(argv, true)
      expect(code).toBe(1)
      expect(err).toMatch(/line 6/)
    }
    expect(await readFile(shelf, 'utf8')).toBe(broken)
  })

  test('has a schema', async () => {
    const { out } = await saidTo(['shelf', 'schema'])
    expect(Object.keys(JSON.parse(out).properties)).toEqual(['version', 'unit', 'stocks'])
  })
})

describe('layout', () => {
  test('keeps what it found beside the job, which make then keeps to; the same seed and rounds find the same', async () => {
    const found = await saidTo(['layout', job, '--rounds', '2', '--lanes', '2', '--seed', '5'])
    expect(found.err).toBe('')
    expect(found.out).toMatch(/from seed [56] in \d+ rounds\./)
    const places = await readFile(join(folder, 'monthly-job.layout.yaml'), 'utf8')
    expect(await readFile(job, 'utf8')).toContain('places: "monthly-job.layout.yaml"')
    const made = await saidTo(['make', job, '--out', join(folder, 'out')])
    expect(made.err).toBe('')
    const material = (out: string) => /^Material.*$/m.exec(out)?.[0]
    expect(material(found.out)).toBeDefined()
    expect(material(made.out)).toBe(material(found.out))
    await rm(join(folder, 'monthly-job.layout.yaml'))
    const again = await saidTo(['layout', job, '--rounds', '2', '--lanes', '2', '--seed', '5'])
    expect(again.err).toContain('the pieces were laid anew')
    expect(await readFile(join(folder, 'monthly-job.layout.yaml'), 'utf8')).toBe(places)
  })

  test('leaves a better layout that was kept, byte for byte, and says so; one that is beaten is replaced', async () => {
    const shades = `version: 1\ntitle: Shades\nmachine: wide-roll\nlayout: { effort: 0 }\nstock: { width: 400, length: 9 m }\nobjects:\n  - { name: shade, shape: tapered-band, bottomGirth: 300, topGirth: 180, slant: 60, copies: 7, slit: none }\n`
    await writeFile(job, shades)
    const kept = join(folder, 'monthly-job.layout.yaml')
    const lay = (seed: string, rounds: string) =>
      saidTo(['layout', job, '--rounds', rounds, '--lanes', '1', '--seed', seed])
    await lay('3', '0')
    const bad = await readFile(kept, 'utf8')
    const better = await lay('2', '6')
    expect(better.out).toContain('Found from seed 2')
    const places = await readFile(kept, 'utf8')
    expect(places).not.toBe(bad)
    const worse = await lay('3', '0')
    expect(worse.code).toBe(0)
    const told =
      /The layout in monthly-job\.layout\.yaml takes (0\.\d+) m² of new film and 1 sheet\. Nothing better was found: (0\.\d+) m² .* from seed 3 in 0 rounds; it stays\./
    const [, has, found] = told.exec(worse.out) ?? []
    expect(Number(has)).toBeLessThan(Number(found))
    expect(worse.out).not.toContain('Places written')
    expect(await readFile(kept, 'utf8')).toBe(places)
    // what it prints is what stays
    const material = (out: string) => /^Material.*$/m.exec(out)?.[0]
    expect(material(worse.out)).toBe(material(better.out))
  })

  test('finds places anew where those that were kept cannot be read or are of other pieces, and says so', async () => {
    await writeFile(join(folder, 'monthly-job.layout.yaml'), 'version: 2\n')
    await writeFile(job, (await readFile(job, 'utf8')).replace('layout:', 'layout:\n  places: monthly-job.layout.yaml'))
    expect((await saidTo(['make', job, '--out', join(folder, 'out')])).code).toBe(1)
    const found = await saidTo(['layout', job, '--rounds', '0', '--lanes', '1'])
    expect(found).toMatchObject({ code: 0, out: expect.stringContaining('Places written') })
    await writeFile(job, (await readFile(job, 'utf8')).replace('width: 84', 'width: 82'))
    const anew = await saidTo(['layout', job, '--rounds', '0', '--lanes', '1'])
    expect(anew.err).toContain('the pieces are no longer the same')
    expect(anew.out).toContain('Places written')
  })

  test('keeps the layout that a job has where the search had no time to lay every piece, and says so', async () => {
    const { code, err, out } = await saidTo(['layout', job, '--seconds', '0.001', '--lanes', '1'])
    expect([code, err]).toEqual([0, ''])
    expect(out).toMatch(
      /The layout that the job has already takes .* The search ended before it had laid every piece; give it more seconds\./,
    )
    const made = await saidTo(['make', job, '--out', join(folder, 'out')])
    expect([made.code, made.err]).toEqual([0, ''])
  })

  test('refuses a job that cannot be laid, and writes nothing', async () => {
    await writeFile(job, (await readFile(job, 'utf8')).replace('width: 300', 'width: 3000'))
    const { code, err } = await saidTo(['layout', job, '--seconds', '1'])
    expect(code).toBe(1)
    expect(err).toMatch(/toolbox lid is 3004 mm x 164 mm.*too big by 2214.3 mm along/)
    expect(await readdir(folder)).not.toContain('monthly-job.layout.yaml')
  })
})
