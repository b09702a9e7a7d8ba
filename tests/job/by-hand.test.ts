import { describe, expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { jobOf, madeOf } from './jobs.ts'

const templates = await loadShapes()
const shade = 'name: lamp shade, shape: tapered-band, bottomDiameter: 300, topDiameter: 180, slant: 200'
const namesOf = (files: readonly { readonly name: string }[]) => files.map(({ name }) => name).sort()

describe('a job without a cutter', () => {
  test('gives paper alone, and lays nothing out where no film is named', async () => {
    const { files, summary, checks } = await madeOf(jobOf([shade], 'machine: by-hand\n'))
    expect(namesOf(files)).toEqual(['job-sheet.pdf', 'panel-lamp-shade.svg', 'paper.pdf', 'report.json'])
    expect(checks).toEqual([])
    expect(summary[0]).toBe('Machine: by hand (by-hand), whose profile comes with midtick.')
    expect(summary[1]).toBe('No roll, sheet or offcut is named, so nothing is laid out.')
    expect(summary[2]).toMatch(/^Cut by hand: job-sheet\.pdf has the steps/)
  })

  test('says where the pieces lie on film that is named, up to the margin and past what machines reach', async () => {
    const offcut = 'machine: by-hand\nstock: { kind: offcut, width: 400, length: 6000 }\n'
    const sign = 'name: sign, shape: flat-panel, width: 5900, height: 300, allowance: 0'
    const { files, summary } = await madeOf(jobOf([sign], offcut))
    expect(namesOf(files)).toEqual(['job-sheet.pdf', 'panel-sign.svg', 'paper.pdf', 'report.json', 'sheet-1.svg'])
    expect(summary[1]).toMatch(/^Material: .*offcut; to cut as 1 sheet\.$/)
  })
})

describe('a panel that is too big', () => {
  const refusalOf = async (text: string) => (await planJob(text, templates)).problems.map(formatProblem).join('\n')

  test('is told with the unit of the job, and which machine was taken where none is named', async () => {
    // 534 typed for mm where bare numbers are inches: 13.6 m
    const swapped = jobOf(['name: tin, shape: straight-band, girth: 534, height: 180'], 'unit: in\n')
    expect(await refusalOf(swapped)).toMatch(/^tin is 534 \d+\/\d+ in x .* in across/)
    expect(await refusalOf(swapped)).toMatch(
      /No machine is named, so plain-roll is taken; .* Bare numbers in this job are read as in\.$/,
    )
    expect(await refusalOf(jobOf([shade], 'machine: plain-roll\n'))).not.toContain('No machine is named')
  })

  test('is parted into as many parts as it takes', async () => {
    const long = 'name: rail, shape: flat-panel, width: 12 m, height: 60'
    const { plan } = await planJob(
      jobOf([long], 'layout: { tile: true }\nstock: { width: 630, length: 40 m }\n'),
      templates,
    )
    const parts = plan?.objects.flatMap(({ panels }) => panels) ?? []
    // a plain machine takes 800 mm less crosses and margins, 756 mm, of which 10 lap: at least 12,002 / 746 parts
    expect(parts.length).toBeGreaterThanOrEqual(17)
    expect(parts.length).toBeLessThanOrEqual(20)
  })
})

test('a band that leaves two millimetres of what the machine takes fits', async () => {
  // Outer radius 200 x 800 / 100 = 1600 + 1 mm, half angle (800 - 42) / 1600 / 2, with 1 mm past both ends:
  // 2 (1601 sin 0.23687 + cos 0.23687) = 753.5 mm, where margins and crosses leave 800 - 2 (10 + 12) = 756 mm.
  const pail = 'name: pail, shape: tapered-band, bottomGirth: 700, topGirth: 800, slant: 200, gap: 42'
  const { plan, problems } = await planJob(jobOf([pail]), templates)
  expect(problems).toEqual([])
  expect(plan?.cuts[0]?.sheet.length).toBeLessThanOrEqual(800)
})
