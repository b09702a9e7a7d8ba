import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { readJob } from '../../src/job/read-job.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()

/** The warnings of a job that is not refused. */
function warningsOf(text: string): readonly string[] {
  const { job, warnings, problems } = readJob(text, templates)
  expect(problems).toEqual([])
  expect(job).toBeDefined()
  return warnings.map(({ text }) => text)
}

const tin = (girth: string, name = 'paint tin') =>
  jobOf([`name: ${name}, shape: straight-band, girth: ${girth}, height: 95`])

describe('readings that differ more than the tape explains', () => {
  // Directive 2014/32/EU Annex X: class II under 1 m 0.3 + 0.2 = 0.5 mm either way, so 1.0 mm between two readings
  test('name the object, the field, and the reading farthest from the others', () => {
    expect(warningsOf(tin('[534, 538, 534]'))).toEqual([
      'paint tin, girth: readings 534, 538, 534 differ by 4.0 mm; a class II tape explains 1.0 mm. Measure once more, and look first at 538.',
    ])
  })

  test.each([
    // two alone: neither is the odd one
    ['[534, 538]', 'Measure once more.'],
    // others of 530: 534, 534.2, 534.4, median 534.2, 4.2 mm off; of 534.4 the median is 534, 0.4 mm off
    ['[534, 534.2, 530, 534.4]', 'look first at 530.'],
    // others of 534 and of 538: median of 536 and the other end, 537 and 535: both are 3 mm off, 536 is none off
    ['[534, 536, 538]', 'look first at 534 and 538.'],
    // two and two: each is 4 mm from the median of the others
    ['[534, 534, 538, 538]', 'Measure once more.'],
    // the same odd reading twice: median of the others 534 for each
    ['[530, 534, 534, 534, 530]', 'look first at 530.'],
    // units of their own; 53.8 cm = 538 mm
    ['[534 mm, 53.8 cm, 53.4 cm]', 'look first at 53.8 cm.'],
  ])('%s: %s', (girth, end) => {
    const [warning] = warningsOf(tin(girth))
    expect(warning?.endsWith(end)).toBe(true)
  })

  test('are told in inches where the job is in inches, and in mm in cm', () => {
    const told = (unit: string, girth: string) =>
      warningsOf(jobOf([`name: tin, shape: straight-band, girth: ${girth}, height: 80 mm`], `unit: ${unit}\n`))[0]
    // 1/10 in is 2.54 mm; a class II tape explains 1 mm, 0.039 in
    expect(told('in', '[21, 21.1]')).toContain('differ by 0.10 in; a class II tape explains 0.04 in.')
    expect(told('in', '[21, 21 3/64]')).toContain('differ by 0.05 in; a class II tape explains 0.04 in.')
    expect(told('cm', '[53.4, 53.6]')).toContain('differ by 2.0 mm; a class II tape explains 1.0 mm.')
  })

  test('are told apart from the tape by as many decimals as that takes', () => {
    expect(warningsOf(tin('[534, 535.04]'))[0]).toContain('differ by 1.04 mm; a class II tape explains 1.00 mm')
  })

  test('are found in every film of a list, in the layout and where a piece is pinned', () => {
    const films = [
      '{ name: roll, kind: roll, width: 630, length: 9 m }',
      '{ name: scrap, kind: offcut, corners: [[0, 0], [400, 0], [400, 300], [0, 300]] }',
      '{ name: sheet, kind: sheet, width: [300, 303], length: 420, badSpots: [{ x: [10, 13], y: 10, radius: 5 }] }',
    ]
    const object = 'name: lid, shape: flat-panel, width: 90, height: 60, pinned: [{ x: [10, 13], y: 10 }]'
    const head = `stock: [${films.join(', ')}]\nlayout: { gap: [12, 14] }\n`
    const found = warningsOf(jobOf([object], head))
    expect(found.map((text) => text.split(':')[0]).sort()).toEqual(
      ['layout.gap', 'lid, pinned[0].x', 'stock[2].badSpots[0].x', 'stock[2].width'].sort(),
    )
  })

  test('are found in every length of an object, and named by where they stand', () => {
    const lid = [
      'name: lid, shape: flat-panel, width: [400, 403], height: 300, strip: [30, 33], allowance: { top: [3, 5] }',
      'radius: { topLeft: [20, 23] }',
      'openings: [{ shape: round, diameter: 20, fromLeft: 50, fromBottom: 50 }, { shape: round, diameter: 20, fromLeft: [100, 103], fromBottom: 50 }]',
    ]
    const found = warningsOf(jobOf([lid.join(', ')], 'stock: { width: [630, 636] }\n'))
    expect(found.map((text) => text.split(':')[0]).sort()).toEqual(
      [
        'stock.width',
        'lid, allowance.top',
        'lid, strip',
        'lid, width',
        'lid, radius.topLeft',
        'lid, openings[1].fromLeft',
      ].sort(),
    )
  })

  test('are found in an offcut measured by its sides, and in what a calliper takes', () => {
    const stock =
      'stock: { kind: offcut, sides: { bottom: [586, 588], right: 214, top: 561, left: 232, bottomLeftToTopRight: 615 } }\n'
    const head = `${stock}film: { thickness: [0.08, 0.14] }\ntape: { thickness: [0.2, 0.22] }\n`
    expect(warningsOf(jobOf(['name: lid, shape: flat-panel, width: 90, height: 60'], head))).toEqual([
      'stock.sides.bottom: readings 586, 588 differ by 2.0 mm; a class II tape explains 1.0 mm. Measure once more.',
      'film.thickness: readings 0.08, 0.14 differ by 0.06 mm; a calliper explains 0.04 mm. Measure once more.',
    ])
  })

  test('carry the field that they are about', () => {
    const lid =
      'name: lid, shape: flat-panel, width: 90, height: 60, openings: [{ shape: round, diameter: 20, fromLeft: [30, 32], fromBottom: 9 }]'
    const { warnings } = readJob(jobOf([lid], 'film: { thickness: [0.08, 0.14] }\n'), templates)
    expect(warnings.map(({ field }) => field)).toEqual(['film.thickness', 'objects[0].openings[0].fromLeft'])
  })

  test('are told of each object by its name, and of one set once', () => {
    const both = ['a', 'b'].map((name) => `name: ${name}, shape: straight-band, girth: [534, 538], height: 95`)
    expect(warningsOf(jobOf(both)).map((text) => text.split(',')[0])).toEqual(['a', 'b'])
  })

  test('are not told of a job that is refused for another field', () => {
    const { job, warnings } = readJob(tin('[534, 538]').replace('95', '-95'), templates)
    expect(job).toBeUndefined()
    expect(warnings).toEqual([])
  })
})

test('readings within 1.0 mm leave no doubt, those past it leave one, under a metre with a class II tape', () => {
  const tenth = fc.integer({ min: 3000, max: 9000 })
  fc.assert(
    fc.property(tenth, fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 1, maxLength: 5 }), (base, more) => {
      const tenths = [base, ...more.map((step) => base + step)]
      const spread = Math.max(...tenths) - Math.min(...tenths)
      const warnings = warningsOf(tin(`[${tenths.map((t) => `${t / 10} mm`).join(', ')}]`))
      expect(warnings).toHaveLength(spread > 10 ? 1 : 0)
    }),
    { numRuns: 100 },
  )
})
