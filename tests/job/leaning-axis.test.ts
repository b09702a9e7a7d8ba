import { expect, test } from 'vitest'
import { readPlot } from '../../src/file/hpgl/read.ts'
import { checkSend } from '../../src/job/send-check.ts'
import { readSendReport } from '../../src/job/send-report.ts'
import { jobOf, madeOf, textOf } from './jobs.ts'

const lid = 'name: paint tin lid, shape: flat-panel, width: 240, height: 120, radius: 10, copies: 9'

test.each([
  ['low right', true, 0.16],
  ['low right', true, -0.16],
  ['low left', false, 0.5],
  ['high right', false, -0.3],
])(
  'nine lids on film without margins all lie where a leaning machine gets to: %s, swap %s, %s degrees',
  async (origin, swap, lean) => {
    const made = await madeOf(
      jobOf(
        [lid],
        `stock: { width: 610, margin: 0 }
machine: { name: bench cutter, area: { along: 800, across: 610 }, tools: { pen: 2, kiss: 1, through: 3, slit: 1 }, blade: { offset: 0.25, compensate: file }, axes: { origin: ${origin}, swap: ${swap} }, skew: ${lean} deg }
`,
      ),
    )
    const report = readSendReport(textOf(made.files, 'report.json')) ?? expect.fail('no report')
    const sent = made.checks.filter((check) => check.sent)
    expect(sent.length).toBeGreaterThan(1)
    for (const { file, sent: own } of sent) {
      const bytes = made.files.find(({ name }) => name === file)?.bytes ?? expect.fail(`no ${file}`)
      expect(checkSend({ file, bytes, side: own?.side, machine: report.machine, report }).side).toBe(own?.side)
      const { low } = readPlot(bytes, { unitsPerMm: 1 }).strokes.reduce(
        (box, { path }) => ({ low: Math.min(box.low, path.start.x, path.start.y) }),
        { low: Infinity },
      )
      expect(low).toBeGreaterThanOrEqual(0)
    }
  },
)
