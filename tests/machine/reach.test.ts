import fc from 'fast-check'
import { expect, test } from 'vitest'
import { point } from '../../src/geometry/point.ts'
import { toMachine } from '../../src/machine/axes.ts'
import { type Machine, origins } from '../../src/machine/profile.ts'
import { tipReachOf } from '../../src/machine/reach.ts'
import { readProfile } from '../../src/machine/read-profile.ts'

const plain = readProfile(
  'name: bench cutter\nfilm: roll\narea: { along: 800 mm, across: 630 mm }\nrange: 32767\ntools: { kiss: 1 }\n',
).machine as Machine

const degree = Math.PI / 180

test('a machine of any corner and lean counts every place of the box in which the tip cuts', () => {
  let seen = 0
  fc.assert(
    fc.property(
      fc.constantFrom(...origins),
      fc.boolean(),
      fc.integer({ min: -20, max: 20 }),
      fc.constantFrom(0, 0.4, 12),
      fc.constantFrom(0, 1.5),
      (origin, swap, lean, margin, offset) => {
        const machine: Machine = {
          ...plain,
          axes: { origin, swap },
          skew: (lean / 10) * degree,
          margins: { low: point(margin, 0), high: point(0, margin) },
          blade: { ...plain.blade, offset, compensate: 'file' },
        }
        const { low, high } = tipReachOf(machine)
        expect(high.x - low.x).toBeGreaterThan(700)
        expect(high.y - low.y).toBeGreaterThan(550)
        const least = origin === 'middle' ? -machine.range : 0
        for (const x of [low.x - offset, high.x + offset]) {
          for (const y of [low.y - offset, high.y + offset]) {
            const own = toMachine(machine, point(x, y))
            for (const units of [own.x, own.y]) {
              expect(units).toBeGreaterThan(least - 1e-6)
              expect(units).toBeLessThan(machine.range + 1e-6)
              seen++
            }
          }
        }
      },
    ),
  )
  expect(seen).toBeGreaterThan(100)
})

test('a lean of 0.16 degrees takes 2.2 mm of 800, and none where nothing leans', () => {
  const machine: Machine = { ...plain, axes: { origin: 'low right', swap: true }, skew: 0.16 * degree }
  expect(tipReachOf(machine).low.y).toBeCloseTo(800 * Math.tan(0.16 * degree), 9)
  expect(tipReachOf({ ...machine, skew: 0 })).toEqual({ low: point(0, 0), high: point(800, 630) })
})
