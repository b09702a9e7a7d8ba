import { describe, expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { makeJob } from '../../src/job/make-job.ts'
import { havePoppler, textOf as pageOf } from '../file/pdf/poppler.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()

describe.runIf(havePoppler())('the job sheet', () => {
  test('has every warning of the job on top: of readings, of a layout that is gone, of letters and of the blade', async () => {
    const text = jobOf(
      [
        'name: дверь, shape: flat-panel, width: [60, 62], height: 200, openings: [{ shape: round, diameter: 2, fromLeft: 20, fromBottom: 20 }]',
      ],
      'layout: { places: gone.yaml }\nmachine: { like: plain-roll, tools: { pen: 2, kiss: 1 }, blade: { offset: 1.2, compensate: file } }\n',
    )
    const readFile = async () => {
      throw new Error('there is no such file')
    }
    const { made, warnings } = await makeJob(text, templates, { readFile })
    expect(warnings.map(({ field }) => field)).toEqual([
      'objects[0].width',
      'objects[0].name',
      'layout.places',
      undefined,
    ])
    const sheet = made?.files.find(({ name }) => name === 'job-sheet.pdf')?.bytes ?? new Uint8Array()
    const page = pageOf(sheet, 1).replace(/\s+/g, ' ')
    for (const { text: words } of warnings) {
      const shown = words.replace(/[\u0400-\u04ff]/g, '?')
      expect(page).toContain(shown)
      expect(page.indexOf(shown)).toBeLessThan(page.indexOf(made?.summary[0] ?? 'no summary'))
    }
  })
})
