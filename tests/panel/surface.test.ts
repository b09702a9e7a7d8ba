import fc from 'fast-check'
import { expect, test } from 'vitest'
import { onObject, onPanel, type Surface } from '../../src/panel/surface.ts'
import { mm } from '../templates/measures.ts'

const round = (taper: number): Surface => ({ kind: 'round', taper })

test('a pail 800 over 700 mm and 200 mm up its side has the corners of a ring of 1600 and 1400 mm', () => {
  // kappa = (C2 - C1) / (s Cm), corners from R sin(T/2) and R cos(T/2), T = 0.5 rad about an apex 1500 mm below.
  const taper = 100 / (200 * 750)
  expect(taper).toBeCloseTo(6.666667e-4, 10)
  const top = onPanel(round(taper), 375, 100)
  const bottom = onPanel(round(taper), 375, -100)
  expect(top.x).toBeCloseTo(395.846335, 6)
  expect(top.y).toBeCloseTo(50.259875, 6)
  expect(bottom.x).toBeCloseTo(346.365543, 6)
  expect(bottom.y).toBeCloseTo(-143.52261, 6)
  expect(-onPanel(round(taper), 375, 0).y).toBeCloseTo(46.631367, 6)
})

test('a nearly cylindrical band keeps its sagitta, which R (1 - cos) loses', () => {
  const sagitta = (difference: number) => {
    const mid = 700 + difference / 2
    return -onPanel(round(difference / (200 * mid)), mid / 2, 0).y
  }
  expect(sagitta(1e-3)).toBeCloseTo(4.375003e-4, 10)
  expect(sagitta(1e-6) / 4.375e-7).toBeCloseTo(1, 6)
  expect(sagitta(-1e-3)).toBeLessThan(0)
})

test('a cylinder is laid out as it is', () => {
  expect(onPanel(round(0), 120, -30)).toEqual({ x: 120, y: -30 })
  expect(onObject(round(0), { x: 120, y: -30 })).toEqual({ round: 120, up: -30 })
})

test('from the object to the panel and back again is the same place, from a cylinder to a flat ring', () => {
  const taper = fc.oneof(mm(-0.01, 0.01), mm(-1e-6, 1e-6), mm(-1e-12, 1e-12), fc.constant(0))
  fc.assert(
    fc.property(taper, mm(-1, 1), mm(-1, 1), (k, across, along) => {
      const size = Math.abs(k)
      const at = {
        round: across * Math.min(1000, size === 0 ? 1000 : (0.98 * Math.PI) / size),
        up: along * Math.min(500, size === 0 ? 500 : 0.95 / size),
      }
      const back = onObject(round(k), onPanel(round(k), at.round, at.up))
      expect(Math.abs(back.round - at.round)).toBeLessThan(1e-8)
      expect(Math.abs(back.up - at.up)).toBeLessThan(1e-9)
    }),
    { numRuns: 1000 },
  )
})
