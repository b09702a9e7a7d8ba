import { describe, expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { previewObject } from '../../src/job/preview.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()

/** The warnings of a job of these objects; they are told whether it can be laid out or not. */
const warned = async (objects: readonly string[], head = '') =>
  (await planJob(jobOf(objects, head), templates)).warnings
const band = (measures: string) => [`name: tin, shape: straight-band, ${measures}`]

describe('bare numbers of an absurdly large panel are doubted', () => {
  // 534 mm by 180 mm is a paint tin; 534 in are 13.6 m
  test.each([
    ['in', 'girth: 534, height: 180', 'mm'],
    ['cm', 'girth: [534, 534.05], height: 18', 'mm'],
    ['m', 'girth: 20, height: 0.9', 'cm'],
  ])('in %s: %s, which may be meant in %s', async (unit, measures, readAs) => {
    const [warning, ...more] = await warned(band(measures), `unit: ${unit}\n`)
    expect(warning).toMatchObject({ field: 'unit', readAs })
    expect(warning?.text).toMatch(
      new RegExp(`^tin: a panel .* long\\. Bare numbers are read as ${unit}\\. Write unit: ${readAs} `),
    )
    expect(more).toEqual([])
  })

  test('on the page too, for the object at hand', async () => {
    const objects = [{ name: 'tin', shape: 'straight-band', girth: 534, height: 180 }]
    const { warnings } = await previewObject({ version: 1, title: 'Tins', unit: 'in', objects }, 3, {
      room: { width: 100, height: 70 },
      lists: false,
    })
    expect(warnings).toMatchObject([{ path: ['unit'], readAs: 'mm' }])
  })

  test('but not of a usual size, nor where measures carry their unit, nor where no smaller unit is meant', async () => {
    expect(await warned(band('girth: 534, height: 180'), 'unit: mm\n')).toEqual([])
    expect(await warned(band('girth: 21 1/32, height: 7 3/32'), 'unit: in\n')).toEqual([])
    expect(await warned(band('girth: 12 m, height: 50 cm'), 'unit: in\n')).toEqual([])
    expect(await warned(band('girth: 12000, height: 500'))).toEqual([])
  })
})

describe('bare numbers without a unit are doubted where every panel is as small as a label', () => {
  // 53.4 cm by 18 cm, typed as on the tape
  test('and told as what they are read', async () => {
    const [warning] = await warned(band('girth: 53.4, height: 18'))
    expect(warning).toMatchObject({ field: 'unit', readAs: 'cm' })
    expect(warning?.text).toMatch(/^tin: a panel no more than 59\.7 mm long\. The job names no unit/)
  })

  test('but not beside a larger panel, nor where the job or a measure says its unit', async () => {
    const lid = 'name: lid, shape: flat-panel, width: 300, height: 200'
    expect(await warned([...band('girth: 53.4, height: 18'), lid])).toEqual([])
    expect(await warned(band('girth: 53.4, height: 18'), 'unit: mm\n')).toEqual([])
    expect(await warned(band('girth: 53.4 mm, height: 18 mm'))).toEqual([])
  })
})

describe('what is thought of in mm is doubted as a bare number in another unit', () => {
  const lid = (more = '') => [`name: lid, shape: flat-panel, width: 30, height: 20${more}`]

  test('an inset of 1, with what it is in mm', async () => {
    expect(await warned(lid(', allowance: -1'), 'unit: cm\n')).toEqual([
      {
        field: 'objects[0].allowance',
        text: 'lid, allowance: -1 is read as -1 cm, which is -10 mm. Write -1 mm if that is meant, else -1 cm.',
      },
    ])
  })

  test('of one edge, of all objects, and of film, tape and blade', async () => {
    const head = [
      'unit: cm',
      'defaults: { allowance: 2 }',
      'film: { thickness: 0.08 }',
      'tape: { thickness: 0.2 }',
      'machine: { like: plain-roll, blade: { offset: 0.25 } }',
    ]
    const found = await warned(lid(', allowance: { top: 1, bottom: 1 mm }'), `${head.join('\n')}\n`)
    expect(found.map(({ field }) => field)).toEqual([
      'tape.thickness',
      'film.thickness',
      'machine.blade.offset',
      'defaults.allowance',
      'objects[0].allowance.top',
    ])
  })

  test('but not what is small, what carries its unit, and nothing in mm', async () => {
    expect(await warned(lid(', allowance: 0.1'), 'unit: cm\n')).toEqual([])
    expect(await warned(lid(', allowance: -1 cm'), 'unit: cm\n')).toEqual([])
    // half an inch and three thousandths of one are usual
    expect(await warned(lid(', allowance: 0.5'), 'unit: in\nfilm: { thickness: 0.003 }\n')).toEqual([])
    expect(await warned([`${lid()[0]}0, allowance: -15`], 'unit: mm\n')).toEqual([])
  })
})
