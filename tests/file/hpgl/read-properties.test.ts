import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { clipped } from '../../../src/file/hpgl/clip.ts'
import { readPlot } from '../../../src/file/hpgl/read.ts'
import { type HpglOptions, writeHpgl } from '../../../src/file/hpgl/write.ts'
import { flatten } from '../../../src/geometry/flatten.ts'
import { arcTo, circle, cubicTo, lineTo, openPath, type Path, pieces, polyline } from '../../../src/geometry/path.ts'
import { distance, type Point, point } from '../../../src/geometry/point.ts'
import { segmentPoint } from '../../../src/geometry/segment.ts'
import type { Operation } from '../../../src/stroke/stroke.ts'

describe('whatever is written', () => {
  const place = fc.record({
    x: fc.double({ min: 120, max: 480, noNaN: true }),
    y: fc.double({ min: 120, max: 280, noNaN: true }),
  })
  const path = fc.oneof(
    fc
      .tuple(fc.array(place, { minLength: 2, maxLength: 30 }), fc.boolean())
      .map(([points, closed]) => polyline(points, closed)),
    fc.tuple(place, fc.double({ min: 0.5, max: 110, noNaN: true })).map(([centre, radius]) => circle(centre, radius)),
    fc.tuple(place, place, place, place).map(([a, b, c, d]) => openPath(a, cubicTo(b, c, d))),
  )
  const strokes = fc.array(
    fc.record({ operation: fc.constantFrom<Operation>('pen', 'kiss'), path, name: fc.constant('lid') }),
    { minLength: 1, maxLength: 5 },
  )
  const form = fc.record({
    dialect: fc.constantFrom('strict' as const, 'compact' as const, 'relative' as const, 'encoded' as const),
    encodedBits: fc.constantFrom(7 as const, 8 as const),
    unitsPerMm: fc.constantFrom(40, 40.193, 100),
    lineBytes: fc.constantFrom(40, 80, 4000),
  })
  const base: HpglOptions = {
    unitsPerMm: 40,
    pens: { pen: 2, kiss: 1 },
    area: { x: 600, y: 400 },
    wideRange: true,
    tolerance: 0.02,
  }

  test('is read back within half a unit an axis, in every dialect, without a fault', () => {
    fc.assert(
      fc.property(strokes, form, (given, how) => {
        const options = { ...base, ...how }
        const mode = how.dialect === 'strict' ? 'strict' : 'lenient'
        const plot = readPlot(writeHpgl(given, options), { unitsPerMm: how.unitsPerMm, mode })
        expect([plot.faults, plot.stopped, plot.penDownAtEnd]).toEqual([[], undefined, false])
        expect(plot.strokes.length).toBe(given.length)
        const half = 0.5 / how.unitsPerMm + 1e-9
        given.forEach((stroke, i) => {
          const got = plot.strokes[i]
          expect(got?.pen).toBe(base.pens[stroke.operation])
          const back = [got?.path.start, ...(got?.path.segments.map((s) => s.to) ?? [])]
          // Points on one unit were merged, so each asked-for point meets the present one or is met by the next.
          let at = 0
          const near = (p: Point | undefined, q: Point | undefined) =>
            p && q ? Math.abs(p.x - q.x) <= half && Math.abs(p.y - q.y) <= half : false
          for (const p of flatten(stroke.path, options.tolerance)) {
            if (!near(p, back[at])) at++
            expect(near(p, back[at])).toBe(true)
          }
          expect(back.length - at).toBeLessThanOrEqual(2)
        })
      }),
    )
  })

  test('as arcs comes back as arcs, off by a unit at most all along', () => {
    const rings = fc.array(fc.tuple(place, fc.double({ min: 0.5, max: 110, noNaN: true })), {
      minLength: 1,
      maxLength: 4,
    })
    // A ring whose centre is no whole unit may be written as chords.
    let seen = 0
    fc.assert(
      fc.property(rings, form, (given, how) => {
        const asked = given.map(([centre, radius]) => circle(centre, radius))
        const options = { ...base, ...how, arcs: true }
        const text = writeHpgl(
          asked.map((each) => ({ operation: 'kiss', path: each, name: 'lid' })),
          options,
        )
        const plot = readPlot(text, { unitsPerMm: how.unitsPerMm })
        expect(plot.strokes.length).toBe(given.length)
        const asArcs = plot.strokes.some(({ path: { segments } }) => segments.some((s) => s.kind === 'arc'))
        expect(asArcs).toBe(text.includes('AA'))
        if (asArcs) seen++
        given.forEach(([centre, radius], i) => {
          const parts = [...pieces(plot.strokes[i]?.path ?? polyline([centre]))]
          for (const { from, segment } of parts) {
            for (const t of [0, 0.3, 0.7, 1]) {
              const off = Math.abs(distance(segmentPoint(from, segment, t), centre) - radius)
              expect(off).toBeLessThan(1.5 / how.unitsPerMm + options.tolerance)
            }
          }
        })
      }),
    )
    expect(seen).toBeGreaterThan(20)
  })
})

describe('a window', () => {
  const place = fc.record({ x: fc.integer({ min: -20, max: 20 }), y: fc.integer({ min: -20, max: 20 }) })
  const segment = fc.oneof(
    place.map(lineTo),
    fc.tuple(place, fc.double({ min: -Math.PI, max: Math.PI, noNaN: true })).map(([to, sweep]) => arcTo(to, sweep)),
    fc.tuple(place, place, place).map(([a, b, c]) => cubicTo(a, b, c)),
  )
  const paths = fc
    .tuple(place, fc.array(segment, { minLength: 1, maxLength: 5 }))
    .map(([start, segments]) => openPath(start, ...segments))
  const box = { low: point(-7, -5), high: point(8, 9) }

  const samples = (path: Path, count: number) =>
    [...pieces(path)].flatMap(({ from, segment: s }) =>
      Array.from({ length: count + 1 }, (_, i) => segmentPoint(from, s, i / count)),
    )
  const depth = (p: Point) => Math.min(p.x - box.low.x, box.high.x - p.x, p.y - box.low.y, box.high.y - p.y)

  test('keeps what is inside and nothing else, and what it keeps lies on the path', () => {
    fc.assert(
      fc.property(paths, (path) => {
        const kept = clipped(path, box)
        const points = kept.flatMap((part) => samples(part, 400))
        for (const p of points) expect(depth(p)).toBeGreaterThan(-1e-6)
        // Every place of the path well inside is near what was kept, and every kept one near the path.
        const near = (p: Point, others: readonly Point[], most: number) =>
          others.some((q) => Math.hypot(p.x - q.x, p.y - q.y) <= most)
        const whole = samples(path, 400)
        for (const p of samples(path, 23)) if (depth(p) > 0.5) expect(near(p, points, 0.5)).toBe(true)
        for (const part of kept) for (const p of samples(part, 7)) expect(near(p, whole, 0.5)).toBe(true)
      }),
    )
  })
})

describe('any bytes at all', () => {
  test('give strokes, faults and an end, and numbers that are numbers', () => {
    const word = fc.constantFrom(
      'PU',
      'PD',
      'PA',
      'PR',
      'AA',
      'CI',
      'PM',
      'EP',
      'PE',
      'SC',
      'IP',
      'LB',
      ';',
      ',',
      '-',
      '9',
      '1e9',
    )
    const text = fc.array(fc.oneof(word, fc.string({ unit: 'binary', maxLength: 3 }), fc.integer().map(String)), {
      maxLength: 40,
    })
    fc.assert(
      fc.property(text, (words) => {
        const data = words.join('')
        const plot = readPlot(data)
        for (const { path, offset } of plot.strokes) {
          expect(offset).toBeLessThan(data.length)
          for (const p of [path.start, ...path.segments.map((s) => s.to)]) {
            expect(Math.abs(p.x) + Math.abs(p.y)).toBeLessThanOrEqual(2 ** 32)
          }
        }
        for (const { offset, command } of plot.faults) {
          expect(offset).toBeLessThanOrEqual(data.length)
          expect(command).toBeLessThanOrEqual(plot.commands)
        }
      }),
      { numRuns: 1000 },
    )
  })
})
