import { readFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { point } from '../../src/geometry/point.ts'
import { exampleJob, loadShapes } from '../../src/job/catalogue.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { type Unit, writeLength } from '../../src/measure/length.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { markOut } from '../../src/panel/mark-out.ts'
import type { Panel } from '../../src/panel/panel.ts'
import type { Say, Template } from '../../src/panel/template.ts'
import { everyShape } from '../templates/every-shape.ts'
import { panelsOf, say } from '../templates/measures.ts'
import { follow, type Marked } from './follow-marks.ts'
import { markingError } from './marking-error.ts'

const samples = resolve(import.meta.dirname, '../../samples')
const templates = await loadShapes()

const printed =
  (unit: Unit): Say =>
  (length) =>
    writeLength(length, unit)

/** Random measures of every shape: 12 in `npm test`, 50 in `npm run soak:hand`; in inches a quarter as many. */
const runs = Number(process.env.RUNS ?? 12)

const known = new Map<string, Promise<Panel[]>>()

/** The panels of a shape's worked example, worked out once. */
function examplePanels(template: Template): Promise<Panel[]> {
  const panels = known.get(template.id) ?? planned(template)
  known.set(template.id, panels)
  return panels
}

async function planned(template: Template): Promise<Panel[]> {
  const text = exampleJob(template).replace('objects:', 'machine: by-hand\nobjects:')
  const { plan, problems } = await planJob(text, templates, { readFile: (name) => readFile(join(samples, name)) })
  expect(problems.map(formatProblem)).toEqual([])
  return (plan?.objects ?? []).flatMap(({ panels }) => panels.map(({ panel }) => panel))
}

/** mm that the edge may be off: 0.3, and in inches what rounding to 1/64 in (0.2 mm) does to places and swung tapes. */
const limits = [
  ['mm', 0.3],
  ['in', 0.3 + 0.4],
] as const

/** mm that a proof may be off before the sheet says to start again */
const tolerated = 1.5

const worstProof = ({ proofs }: Marked) => Math.max(...proofs.map(({ said, measured }) => Math.abs(said - measured)))

function expectNear(panel: Panel, unit: Unit, limit: number): void {
  const { edge, ticks, marked } = markingError(panel, printed(unit))
  expect(edge).toBeLessThan(limit)
  expect(ticks).toBeLessThan(limit)
  expect(worstProof(marked)).toBeLessThan(tolerated)
}

test.each(templates.map((template) => [template.id, template] as const))(
  'whoever follows the printed list for the worked example of %s gets its edge, ticks and proofs',
  async (_id, template) => {
    const panels = await examplePanels(template)
    expect(panels.length).toBeGreaterThan(0)
    for (const panel of panels) for (const [unit, limit] of limits) expectNear(panel, unit, limit)
  },
)

describe.each(Object.entries(everyShape))('%s of any valid measures', (_name, measured) => {
  test.each(limits)('come out of the list printed in %s', (unit, limit) => {
    fc.assert(
      fc.property(measured, ({ template, values, facts }) => {
        for (const panel of panelsOf(template.develop(values, facts, say))) expectNear(panel, unit, limit)
      }),
      { numRuns: unit === 'mm' ? runs : Math.ceil(runs / 4) },
    )
  })
})

test('a mark set 6 mm off that spoils the edge shows in a proof, whichever it is', async () => {
  let spoilt = 0
  for (const template of templates) {
    for (const panel of await examplePanels(template)) {
      const { count } = follow(markOut(panel, printed('mm')))
      for (let number = 1; number <= count; number++) {
        const slip = number % 2 === 0 ? point(6, 0) : point(0, 6)
        const { edge, marked } = markingError(panel, printed('mm'), (n, at) =>
          n === number ? point(at.x + slip.x, at.y + slip.y) : at,
        )
        if (edge < 2) continue
        expect(worstProof(marked), `${panel.name}, mark ${number}`).toBeGreaterThan(tolerated)
        spoilt++
      }
    }
  }
  expect(spoilt).toBeGreaterThan(100)
})

test('a square that is 3 degrees off shows in a proof where it spoils the edge', async () => {
  let spoilt = 0
  for (const template of templates) {
    for (const panel of await examplePanels(template)) {
      if (!markOut(panel, printed('mm')).lines[1]?.startsWith('Mark the numbered points')) continue
      const { edge, marked } = markingError(panel, printed('mm'), (_, at) =>
        point(at.x + at.y * Math.tan(Math.PI / 60), at.y),
      )
      if (edge < 2) continue
      expect(worstProof(marked), panel.name).toBeGreaterThan(tolerated)
      spoilt++
    }
  }
  expect(spoilt).toBeGreaterThan(5)
})

test('the list stays short: a radius where one does, and no more marks than a strip needs', async () => {
  const counts = new Map<string, number>()
  for (const template of templates) {
    const panels = await examplePanels(template)
    counts.set(template.id, Math.max(...panels.map((panel) => follow(markOut(panel, printed('mm'))).count)))
  }
  for (const id of ['disc', 'ring']) expect(counts.get(id)).toBe(0)
  for (const id of ['arch', 'tapered-band', 'turned-body', 'flat-panel']) expect(counts.get(id)).toBe(4)
  expect(Math.max(...counts.values())).toBeLessThan(30)
})
