import { execFile } from 'node:child_process'
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { promisify } from 'node:util'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { ownShapes } from '../../src/cli/own-shapes.ts'
import { run } from '../../src/cli/run.ts'
import { makePanel } from '../../src/panel/make-panel.ts'
import { plainOptions, say, thin } from '../templates/measures.ts'

const samples = resolve(import.meta.dirname, '../../samples')
let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-shapes-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

async function put(name: string, text: string): Promise<void> {
  await mkdir(join(folder, 'shapes', name), { recursive: true })
  await writeFile(join(folder, 'shapes', name, 'template.mjs'), text)
}

async function said(...argv: string[]) {
  const lines = { out: '', err: '' }
  const voice = {
    out: (text: string) => {
      lines.out += text
    },
    err: (text: string) => {
      lines.err += text
    },
    colour: false,
    live: false,
  }
  return { code: await run(argv, voice), ...lines }
}

const plain = (id: string) => `export default ({ defineTemplate }) => defineTemplate({
  id: '${id}', title: 'Plain', when: 'Never.', specs: {}, example: { measures: {}, shows: '' },
  check: () => [], develop: () => [], sketch: () => ({ title: '', width: 10, height: 10, items: [] }),
})
`

describe('the sample shape', () => {
  test('makes the panel of a seed box end as worked by hand', async () => {
    const { templates, refused } = await ownShapes(join(samples, 'shapes'))
    expect(refused).toEqual([])
    const [template = expect.fail('no shape')] = templates
    const values = { width: 240, front: 90, back: 130 }
    expect(template.check(values)).toEqual([])
    const [development = expect.fail('no panel')] = template.develop(values, thin, say)
    const made = makePanel(development, { ...plainOptions, allowances: { other: 0 } }, say)
    if (!('panel' in made)) return expect.fail(JSON.stringify(made.problems))
    expect(made.panel.outline.segments.map(({ to }) => [to.x, to.y])).toEqual([
      [120, 0],
      [120, 130],
      [-120, 90],
      [-120, 0],
    ])
    expect(made.panel.hinge).toEqual({ from: { x: 0, y: 0 }, to: { x: 0, y: 110 } })
  })

  test('is found beside its job with nothing registered', async () => {
    const done = await said('make', join(samples, 'own-shape.yaml'), '--out', join(folder, 'out'))
    expect(done).toMatchObject({ code: 0, err: '' })
    expect(done.out).toContain('seed box end')
    expect((await said('shapes', '--own', join(samples, 'shapes'))).out).toContain('sloped-end')
    expect((await said('shapes', 'sloped-end', '--own', join(samples, 'shapes'))).out).toContain('up the right edge')
  })
})

const broken = [
  ['slip-of-the-pen', 'export default (kit) => {\n  const = 3\n}\n', /template\.mjs, line 2: .*Unexpected token/],
  ['name-taken', plain('flat-panel'), /id: there is a shape flat-panel already/],
  ['no-when', plain('plain').replace("when: 'Never.', ", ''), /when: /],
  ['unknown-field', plain('plain').replace("title: 'Plain'", "title: 'Plain', price: 3"), /price/],
  ['no-such-kind', plain('plain').replace('specs: {}', "specs: { a: { kind: 'colour' } }"), /specs\.a: /],
  ['fails-to-load', 'export default () => {\n\n  return nothing.there\n}\n', /line 3: .*nothing is not defined/],
  ['no-default', 'export const shape = 1\n', /no default export/],
  ['no-drawing', plain('plain').replace('sketch: () =>', 'sketch: () => 3 ||'), /sketch: /],
] as const

describe('broken shapes', () => {
  // A process of its own, because the test runner reads modules in its own way and blames other lines.
  test('are refused by file, line and reason, and the others still work', { timeout: 60_000 }, async () => {
    for (const [name, text] of broken) await put(name, text)
    await put('zz-good', plain('good-shape'))
    const main = resolve(import.meta.dirname, '../../src/cli/main.ts')
    const shapes = join(folder, 'shapes')
    const { stdout, stderr } = await promisify(execFile)(process.execPath, [
      '--import',
      'tsx',
      main,
      'shapes',
      '--own',
      shapes,
    ])
    expect(stdout).toMatch(/^good-shape +Never\.$/m)
    expect(stdout).toMatch(/^flat-panel +/m)
    const lines = stderr.trim().split('\n')
    expect(lines).toHaveLength(broken.length)
    for (const [name, , reason] of broken) {
      const line =
        lines.find((l) => l.includes(join(shapes, name, 'template.mjs'))) ?? expect.fail(`nothing of ${name}`)
      expect(line).toMatch(/cannot be used: .*Other shapes still work\.$/)
      expect(line).toMatch(reason)
    }
  })

  test('does not stop a job that does not need it, and a job that does says what is known', async () => {
    await rm(join(folder, 'shapes'), { recursive: true, force: true })
    await put('bad', 'export default 3\n')
    const job = (shape: string) =>
      `version: 1\ntitle: Lid\nobjects:\n  - { name: lid, shape: ${shape}, width: 100, height: 50 }\n`
    await writeFile(join(folder, 'lid.yaml'), job('flat-panel'))
    const done = await said('make', join(folder, 'lid.yaml'), '--out', join(folder, 'lid'))
    expect(done.code).toBe(0)
    expect(done.err).toMatch(/Look again: .*bad.*cannot be used/)
    await writeFile(join(folder, 'other.yaml'), job('my-lid'))
    const refused = await said('make', join(folder, 'other.yaml'), '--out', join(folder, 'other'))
    expect(refused.code).toBe(1)
    expect(refused.err).toMatch(/the shapes are flat-panel, .*straight-band, /)
  })

  test('folder with nothing in it, or none at all, is no fault', async () => {
    expect(await ownShapes(join(folder, 'nowhere'))).toEqual({ templates: [], refused: [] })
    await mkdir(join(folder, 'empty', 'one'), { recursive: true })
    const { refused } = await ownShapes(join(folder, 'empty'))
    expect(refused).toEqual([expect.stringMatching(/empty.one.template\.mjs: .*there is no template\.mjs/)])
  })
})
