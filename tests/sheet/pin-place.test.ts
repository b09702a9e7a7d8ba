import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Panel } from '../../src/panel/panel.ts'
import { nearestPin } from '../../src/sheet/pin-place.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { panelOf, plainOptions, say, square, thin, unopened } from '../templates/measures.ts'
import { laidOn, pinned, roll } from './laid.ts'

const lid: Panel = panelOf(flatPanel.develop({ width: 84, height: 40, radius: square, ...unopened }, thin, say), {
  ...plainOptions,
  name: 'lid',
  slit: { lines: 'none', strip: 12 },
})
const stock = { ...roll, width: 630, length: 2000, margin: 10, turn: 'any' as const }
const reach = { x: 2000, y: 800 }

test('a piece dropped anywhere comes to lie where it can be cut, and one that lies there stays', () => {
  const far = fc.integer({ min: -900, max: 3000 })
  let moved = 0
  fc.assert(
    fc.property(far, far, fc.integer({ min: 0, max: 359 }), (x, y, degrees) => {
      const pin = { sheet: 1, x, y, angle: (degrees * Math.PI) / 180 }
      const near = nearestPin(lid, pin, [stock], {
        room: 6,
        reach: { low: { x: 0, y: 0 }, high: reach },
        border: 0,
        spare: 0,
      })
      // as it is written into a job
      const [tenthX, tenthY] = [Math.round(near.x * 10) / 10, Math.round(near.y * 10) / 10]
      expect(laidOn([pinned(lid, tenthX, tenthY, degrees)], [stock], { gap: 12, reach }).problems).toEqual([])
      const isLegal = laidOn([pinned(lid, x, y, degrees)], [stock], { gap: 12, reach }).problems.length === 0
      if (isLegal) expect(Math.hypot(near.x - x, near.y - y)).toBeLessThan(0.2)
      else moved++
    }),
    { numRuns: 40 },
  )
  expect(moved).toBeGreaterThan(10)
})
