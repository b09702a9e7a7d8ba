import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { deviation } from '../../src/geometry/deviation.ts'
import { arcTo, circle, lineTo, openPath } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { mapPoint } from '../../src/geometry/transform.ts'
import {
  type Axes,
  fromMachine,
  pathFromMachine,
  pathToMachine,
  toMachine,
  unitsFromSheet,
} from '../../src/machine/axes.ts'

/** 600 mm along the film, 300 mm across it. */
const plain: Axes = {
  area: { x: 600, y: 300 },
  axes: { origin: 'low left', swap: false },
  unitsPerMm: { x: 40, y: 40 },
  skew: 0,
}
const near = (got: { x: number; y: number }, x: number, y: number) => {
  expect(got.x).toBeCloseTo(x, 9)
  expect(got.y).toBeCloseTo(y, 9)
}

describe('the machine coordinates of a place 100 mm along and 50 mm across a film of 600 by 300 mm', () => {
  // By hand at 40 units a mm. 100 mm = 4000, 50 mm = 2000; 500 mm from the right = 20000; 250 mm from above = 10000;
  // from the middle (300, 150): 200 mm to the left = -8000, 100 mm down = -4000.
  test.each([
    ['low left', false, 4000, 2000],
    ['low left', true, 2000, 4000],
    ['low right', false, 20000, 2000],
    ['low right', true, 2000, 20000],
    ['high left', false, 4000, 10000],
    ['high left', true, 10000, 4000],
    ['high right', false, 20000, 10000],
    ['high right', true, 10000, 20000],
    ['middle', false, -8000, -4000],
    ['middle', true, -4000, -8000],
  ] as const)('origin %s, swapped %s: %d, %d', (origin, swap, x, y) => {
    const machine = { ...plain, axes: { origin, swap } }
    near(toMachine(machine, point(100, 50)), x, y)
    near(fromMachine(machine, point(x, y)), 100, 50)
  })

  test('the scales belong to the first and second coordinate, after the swap', () => {
    const machine = { ...plain, unitsPerMm: { x: 40, y: 100 } }
    near(toMachine(machine, point(100, 50)), 4000, 5000)
    near(toMachine({ ...machine, axes: { origin: 'low left', swap: true } }, point(100, 50)), 2000, 10000)
  })
})

describe('a second axis that leans by 1 degree', () => {
  const skew = Math.PI / 180
  // tan 1 degree = 0.0174550649, 1 / cos 1 degree = 1.0001523280 (tables). 100 mm up, straight on the sheet, takes
  // 100.0152328 mm along the leaning axis and 1.74550649 mm back along the first.
  test('100 mm straight up takes 1.7455 mm back along the first axis', () => {
    const got = toMachine({ ...plain, skew }, point(50, 100))
    expect(got.x).toBeCloseTo((50 - 1.74550649) * 40, 5)
    expect(got.y).toBeCloseTo(100.0152328 * 40, 5)
  })

  test('towards + first: 4000 units of the second axis alone end to the right of where they began', () => {
    // sin 1 degree = 0.0174524064, cos = 0.9998476952
    const got = fromMachine({ ...plain, skew }, point(0, 4000))
    expect(got.x).toBeCloseTo(1.74524064, 7)
    expect(got.y).toBeCloseTo(99.98476952, 7)
  })

  test('leans after the swap and after the origin: the second axis then runs to the left along the film', () => {
    // From the low right corner, swapped: first = across, second = from the right. 100 mm from the right, 50 mm up.
    const machine: Axes = { ...plain, axes: { origin: 'low right', swap: true }, skew }
    const got = toMachine(machine, point(500, 50))
    expect(got.x).toBeCloseTo((50 - 1.74550649) * 40, 5)
    expect(got.y).toBeCloseTo(100.0152328 * 40, 5)
  })
})

test('4000 units meant as 100 mm come out 99.52 mm where the step is 0.02488 mm: HP 7475A manual, page 2-4', () => {
  const step = 1 / 0.02488
  expect(step).toBeCloseTo(40.193, 3)
  const machine = { ...plain, unitsPerMm: { x: step, y: 40 } }
  near(fromMachine(machine, point(4000, 4000)), 99.52, 100)
  expect(Math.round(toMachine(machine, point(100, 100)).x)).toBe(4019)
})

describe('any machine', () => {
  /** Evenly spread, ends included: `fc.double` draws by bit pattern, so nearly all of it lies next to 0. */
  const double = (min: number, max: number) =>
    fc.integer({ min: 0, max: 1_000_000 }).map((n) => min + ((max - min) * n) / 1_000_000)
  const machines = fc.record({
    area: fc.record({ x: double(10, 50_000), y: double(10, 3000) }),
    axes: fc.record({
      origin: fc.constantFrom<Axes['axes']['origin']>('low left', 'low right', 'high left', 'high right', 'middle'),
      swap: fc.boolean(),
    }),
    unitsPerMm: fc.record({ x: double(5, 1000), y: double(5, 1000) }),
    skew: double(-0.2, 0.2),
  })
  const places = fc.record({ x: double(-100, 50_000), y: double(-100, 3000) })

  test('there and back is the same place to 1e-9 mm', () => {
    fc.assert(
      fc.property(machines, places, (machine, p) => {
        expect(distance(fromMachine(machine, toMachine(machine, p)), p)).toBeLessThan(1e-9)
      }),
    )
  })

  test('its own 0,0 is the place its origin names', () => {
    fc.assert(
      fc.property(machines, (machine) => {
        const { origin } = machine.axes
        const { x, y } = machine.area
        const along = origin === 'middle' ? x / 2 : origin.includes('right') ? x : 0
        const across = origin === 'middle' ? y / 2 : origin.includes('high') ? y : 0
        near(fromMachine(machine, point(0, 0)), along, across)
      }),
    )
  })

  test('the matrix is the same map, and paths go the way of their points, there and back', () => {
    const path = openPath(point(20, 30), lineTo(point(60, 30)), arcTo(point(60, 90), Math.PI), lineTo(point(10, 70)))
    fc.assert(
      fc.property(machines, places, (machine, p) => {
        expect(mapPoint(unitsFromSheet(machine), p)).toEqual(toMachine(machine, p))
        const there = pathToMachine(machine, path)
        expect(there.start).toEqual(toMachine(machine, path.start))
        expect(there.segments.at(-1)?.to).toEqual(toMachine(machine, point(10, 70)))
        // An arc of radius 30 that became cubics may be off by 3.8e-7 of it.
        expect(deviation(pathFromMachine(machine, there), path).distance).toBeLessThan(0.002)
      }),
      { numRuns: 30 },
    )
  })
})

test('a circle stays arcs where both scales are one and the axes square, turning the other way where mirrored', () => {
  const sweeps = (machine: Axes) =>
    pathToMachine(machine, circle(point(100, 100), 20)).segments.map((s) => (s.kind === 'arc' ? s.sweep : s.kind))
  const at = (origin: Axes['axes']['origin'], swap: boolean) => sweeps({ ...plain, axes: { origin, swap } })
  const left = [Math.PI, Math.PI]
  const right = [-Math.PI, -Math.PI]
  expect([at('low left', false), at('low right', true), at('high right', false), at('high left', true)]).toEqual([
    left,
    left,
    left,
    left,
  ])
  expect([at('low left', true), at('low right', false), at('high left', false), at('middle', true)]).toEqual([
    right,
    right,
    right,
    right,
  ])
  expect(sweeps({ ...plain, skew: 0.01 })).toContain('cubic')
  expect(sweeps({ ...plain, unitsPerMm: { x: 40, y: 40.193 } })).toContain('cubic')
})
