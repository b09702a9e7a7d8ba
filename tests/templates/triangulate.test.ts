import fc from 'fast-check'
import { expect, test } from 'vitest'
import { distance, type Point, subtract } from '../../src/geometry/point.ts'
import { layStrip, type Place, place, type Step, trueLength } from '../../templates/triangulate.ts'
import { mm } from './measures.ts'

/** Angle at `apex` between two flat points, degrees. */
function angleAt(apex: Point, a: Point, b: Point): number {
  const [u, v] = [subtract(a, apex), subtract(b, apex)]
  return (Math.abs(Math.atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y)) * 180) / Math.PI
}

/** Half of an oblique cone, base radius 30 and height 60 mm, apex `aside` mm off the middle, in `count` triangles. */
function obliqueCone(count: number, aside = 40) {
  const apex = place(aside, 0, 0)
  const rim = (k: number) => {
    const f = (Math.PI * k) / count
    return place(30 * Math.cos(f), 30 * Math.sin(f), 60)
  }
  const steps = Array.from({ length: count }, (_, k): Step => ({ side: 'high', to: rim(k + 1) }))
  const laid = layStrip(apex, rim(0), steps)
  const [tip] = laid.low
  if (!tip) return expect.fail('no apex')
  const angles = laid.high.slice(1).map((p, k) => angleAt(tip, laid.high[k] ?? tip, p))
  return {
    elements: laid.high.map((p) => distance(tip, p)),
    angles,
    half: angles.reduce((sum, angle) => sum + angle, 0),
    area: 2 * laid.area,
  }
}

test('an oblique cone r 30, h 60, e 40 in 12 divisions has the elements l^2 = r^2 + e^2 + h^2 - 2 r e cos f', () => {
  const { elements, angles, half, area } = obliqueCone(6)
  const wanted = [60.827625, 63.415606, 70, 78.102497, 85.440037, 90.434844, 92.195445]
  expect(elements).toEqual(wanted.map((l) => expect.closeTo(l, 6)))
  // By the rule of cosines with a base chord of 15.529143 mm.
  const apex = [14.161571, 12.11709, 10.279383, 9.610694, 9.595458, 9.692957]
  expect(angles).toEqual(apex.map((a) => expect.closeTo(a, 5)))
  expect(half).toBeCloseTo(65.457153, 5)
  expect(area).toBeCloseTo(6657.030659, 5)
})

test('its angle and area come to 66.151036 degrees and 6768.537871 mm^2 from below, by a quarter with each halving', () => {
  const exact = { half: 66.151036, area: 6768.537871 }
  expect(obliqueCone(12).half).toBeCloseTo(65.977477, 5)
  expect(obliqueCone(12).area).toBeCloseTo(6740.395519, 5)
  expect(obliqueCone(48).half).toBeCloseTo(66.140187, 5)
  for (const count of [12, 24, 48]) {
    const [coarse, fine] = [obliqueCone(count), obliqueCone(2 * count)]
    expect((exact.half - coarse.half) / (exact.half - fine.half)).toBeCloseTo(4, 1)
    expect((exact.area - coarse.area) / (exact.area - fine.area)).toBeCloseTo(4, 1)
    expect(fine.area).toBeLessThan(exact.area)
  }
})

test('with its apex over the middle it is a right cone: 180 r / s degrees for half of it', () => {
  const exact = (180 * 30) / Math.hypot(30, 60)
  expect(exact).toBeCloseTo(80.498447, 6)
  expect(obliqueCone(2000, 0).half).toBeCloseTo(exact, 4)
})

test('every edge of any strip keeps its true length, and its area is that of the triangles in the air', () => {
  const anyPlace = fc.record({ x: mm(-300, 300), y: mm(-300, 300), z: mm(-300, 300) })
  const anyStep = fc.record({ side: fc.constantFrom('low' as const, 'high' as const), to: anyPlace })
  fc.assert(
    fc.property(anyPlace, anyPlace, fc.array(anyStep, { minLength: 1, maxLength: 12 }), (low, high, steps) => {
      const own = { low: [low], high: [high] }
      const edges: [Place, Place][] = [[low, high]]
      let area = 0
      for (const { side, to } of steps) {
        const [b, t] = [own.low.at(-1) ?? low, own.high.at(-1) ?? high]
        edges.push([b, to], [t, to])
        const [u, v] = [b, t].map((p) => [p.x - to.x, p.y - to.y, p.z - to.z] as const)
        if (!u || !v) return expect.fail('no triangle')
        area += Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2
        own[side].push(to)
      }
      fc.pre(edges.every(([a, b]) => trueLength(a, b) > 1))
      const laid = layStrip(low, high, steps)
      const flat = (p: Place) => {
        const [i, k] = [own.low.indexOf(p), own.high.indexOf(p)]
        return (i >= 0 ? laid.low[i] : laid.high[k]) ?? expect.fail('a corner is missing')
      }
      for (const [a, b] of edges) expect(Math.abs(distance(flat(a), flat(b)) - trueLength(a, b))).toBeLessThan(1e-9)
      expect(laid.area).toBeCloseTo(area, 4)
    }),
  )
})
