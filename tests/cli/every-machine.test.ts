import { mkdtemp, readdir, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { sendable } from '../../src/cli/sendable.ts'
import { shipped } from '../../src/machine/shipped.ts'
import { said } from './said.ts'

const samplesFolder = fileURLToPath(new URL('../../samples/', import.meta.url))
const samples = (await readdir(samplesFolder))
  .filter((name) => name.endsWith('.yaml') && name !== 'shelf.yaml')
  .map((name) => name.replace('.yaml', ''))

let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-machines-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

/** Samples that a machine is too small for, with what is said of them. */
const tooBig: Readonly<Record<string, RegExp>> = {
  'lamp-and-flask-inches on plain-sheet': /lamp shade is .* too big by/,
  'monthly-job on plain-sheet': /lamp shade is .* too big by/,
  'odd-shapes on plain-roll': /toolbox is .* too big by/,
  'odd-shapes on plain-sheet': /toolbox is .* too big by/,
  'tool-library on plain-sheet': /too big by/,
}

/** Samples whose own machine slits no liner. */
const slitsNone = ['monthly-job on its own']

const machines = [...shipped.map(({ name }) => name), 'its own']
const all = samples.flatMap((sample) => machines.map((machine) => ({ sample, machine })))
const cut = all.filter(({ machine }) => machine !== 'by-hand')

test('there is more than one sample and machine to look at', () => {
  expect(samples.length).toBeGreaterThan(4)
  expect(shipped.length).toBeGreaterThan(3)
})

describe.each(cut)('$sample on $machine', ({ sample, machine }) => {
  const why = tooBig[`${sample} on ${machine}`]
  const out = () => join(folder, `${sample}-${machine}`)
  const make = () =>
    said(
      'make',
      join(samplesFolder, `${sample}.yaml`),
      '--out',
      out(),
      ...(machine === 'its own' ? [] : ['--machine', machine]),
    )

  test(why
    ? 'is refused, as it is too big'
    : 'is made, and nothing of it is refused on the way to the machine', async () => {
    const { code, err } = await make()
    if (why) {
      expect(code).toBe(1)
      expect(err).toMatch(why)
      return
    }
    expect({ code, err: code === 0 ? '' : err }).toEqual({ code: 0, err: '' })
    const files = (await readdir(out())).filter((name) => name.endsWith('.hpgl'))
    expect(files.some((name) => name.includes('.liner-up.'))).toBe(!slitsNone.includes(`${sample} on ${machine}`))
    for (const name of files) {
      const side = name.includes('.liner-up.') ? 'liner' : 'film'
      const { check } = await sendable(join(out(), name), { side })
      expect(check.side, name).toBe(side)
      expect(check.plan.lines.length, name).toBeGreaterThan(0)
      expect(check.lines.join('\n'), name).toMatch(/^film: /m)
      // The same by the other rules: against the cut SVG of the same side, and against the drawing of its sheet.
      for (const other of [name.replace('.hpgl', '.cut.svg'), name.replace(/\..*/, '.svg')]) {
        const checked = await said('check', join(out(), name), '--against', join(out(), other))
        expect({ code: checked.code, err: checked.err }, `${name} ${other}`).toEqual({ code: 0, err: '' })
      }
    }
  }, 180_000)
})

test.each(samples)('%s by hand writes no cut file', async (sample) => {
  const out = join(folder, `${sample}-by-hand`)
  expect((await said('make', join(samplesFolder, `${sample}.yaml`), '--out', out, '--machine', 'by-hand')).code).toBe(0)
  const files = await readdir(out)
  expect(files).toContain('report.json')
  expect(files.filter((name) => /\.hpgl$|\.cut\.svg$/.test(name))).toEqual([])
})
