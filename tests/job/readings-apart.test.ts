import { describe, expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { readJob } from '../../src/job/read-job.ts'
import { readProfile } from '../../src/machine/read-profile.ts'
import { readTestReadings } from '../../src/machine/test-readings.ts'
import type { Problem } from '../../src/measure/problem.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()
const lid = 'name: lid, shape: flat-panel, width: 300, height: 200'

const apart = (problems: readonly Problem[]) =>
  problems.filter(({ code }) => code === 'readings_apart').map(({ field }) => field)

describe('readings that contradict each other are refused', () => {
  test.each<[string, string, string]>([
    ['objects[0].width', lid.replace('300', '[300, 30]'), ''],
    ['objects[0].radius.topLeft', `${lid}, radius: { topLeft: [10, 19] }`, ''],
    [
      'objects[0].openings[0].fromLeft',
      `${lid}, openings: [{ shape: round, diameter: 20, fromLeft: [50, 60], fromBottom: 50 }]`,
      '',
    ],
    ['objects[0].pinned[0].x', `${lid}, pinned: [{ x: [10, 30], y: 10 }]`, ''],
    ['objects[0].allowance.top', `${lid}, allowance: { top: [1, 8] }`, ''],
    ['objects[0].strip', `${lid}, strip: [30, 40]`, ''],
    ['tape.thickness', lid, 'tape: { thickness: [0.2, 2] }'],
    ['film.thickness', lid, 'film: { thickness: [0.08, 0.8] }'],
    ['film.liner.thickness', lid, 'film: { liner: { thickness: [0.1, 0.3] } }'],
    ['stock.width', lid, 'stock: { width: [630, 360] }'],
    [
      'stock.sides.top',
      lid,
      'stock: { kind: offcut, sides: { bottom: 586, right: 214, top: [561, 516], left: 232, bottomLeftToTopRight: 615 } }',
    ],
    ['stock.corners[1][0]', lid, 'stock: { kind: offcut, corners: [[0, 0], [[520, 502], 0], [500, 300]] }'],
    ['layout.gap', lid, 'layout: { gap: [12, 21] }'],
    ['defaults.allowance', lid, 'defaults: { allowance: [1, 11] }'],
    ['machine.area.across', lid, 'machine: { like: plain-roll, area: { across: [610, 160], along: 800 } }'],
  ])('in a job: %s', (field, object, head) => {
    expect(apart(readJob(jobOf([object], `${head}\n`), templates).problems)).toEqual([field])
  })

  test('in a machine of its own file, and on a test piece', () => {
    const profile = 'name: bench\narea: { along: 800, across: [610, 160] }\ntools: { kiss: 1 }\n'
    expect(apart(readProfile(profile).problems)).toEqual(['area.across'])
    const piece = 'side: 200\nbottom: [199.8, 199.9]\nleft: [200.1, 191.9]\ndiagonalAC: 282.9\n'
    expect(apart(readTestReadings(piece).problems)).toEqual(['left'])
    expect(readTestReadings(piece.replace('191.9', '199.9')).problems).toEqual([])
  })
})
