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
  return warnings
}

const tin = (girth: string, name = 'paint tin') =>
  jobOf([`name: ${name}, shape: straight-band, girth: ${girth}, height: 95`])

describe('readings that differ more than the tape explains', () => {
  // Directive 2014/32/EU Annex X: class II under 1 m 0.3 + 0.2 = 0.5 mm either way, so 1.0 mm between two readings
  test('name the object, the field, and the reading farthest from the others', () => {
    expect(warningsOf(tin('[534, 540, 534]'))).toEqual([
      'paint tin, girth: readings 534, 540, 534 differ by 6.0 mm; a class II tape explains 1.0 mm. Measure once more, and look first at 540.',
    ])
  })

  test.each([
    // two alone: neither is the odd one
    ['[534, 540]', 'Measure once more.'],
    // others of 530: 534, 534.2, 534.4, median 534.2, 4.2 mm off; of 534.4 the median is 534, 0.4 mm off
    ['[534, 534.2, 530, 534.4]', 'look first at 530.'],
    // others of 534 and of 540: median of 537 and the other end, 538.5 and 535.5: both are 4.5 mm off, 537 is none off
    ['[534, 537, 540]', 'look first at 534 and 540.'],
    // two and two: each is 10 mm from the median of the others
    ['[530, 530, 540, 540]', 'Measure once more.'],
    // the same odd reading twice: median of the others 534 for each
    ['[530, 534, 534, 534, 530]', 'look first at 530.'],
    // units of their own; 54 cm = 540 mm
    ['[534 mm, 54 cm, 53.4 cm]', 'look first at 54 cm.'],
  ])('%s: %s', (girth, end) => {
    const [warning] = warningsOf(tin(girth))
    expect(warning?.endsWith(end)).toBe(true)
  })

  test('are told apart from the tape by as many decimals as that takes', () => {
    expect(warningsOf(tin('[534, 535.04]'))[0]).toContain('differ by 1.04 mm; a class II tape explains 1.00 mm')
  })

  test('are found in every film of a list, in the layout and where a piece is pinned', () => {
    const films = [
      '{ name: roll, kind: roll, width: 630, length: 9 m }',
      '{ name: scrap, kind: offcut, corners: [[0, 0], [400, 0], [400, 300], [0, 300]] }',
      '{ name: sheet, kind: sheet, width: [300, 304], length: 420, badSpots: [{ x: [10, 14], y: 10, radius: 5 }] }',
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
    const found = warningsOf(jobOf([lid.join(', ')], 'stock: { width: [630, 640] }\n'))
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

  test('are told of each object by its name, and of one set once', () => {
    const both = ['a', 'b'].map((name) => `name: ${name}, shape: straight-band, girth: [534, 540], height: 95`)
    expect(warningsOf(jobOf(both)).map((text) => text.split(',')[0])).toEqual(['a', 'b'])
  })

  test('are not told of a job that is refused for another field', () => {
    const { job, warnings } = readJob(tin('[534, 540]').replace('95', '-95'), templates)
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
