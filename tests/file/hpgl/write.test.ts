import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readHpgl } from '../../../src/file/hpgl/read.ts'
import { type HpglOptions, writeHpgl } from '../../../src/file/hpgl/write.ts'
import { flatten } from '../../../src/geometry/flatten.ts'
import { arcTo, circle, cubicTo, lineTo, openPath, polyline, rectangle } from '../../../src/geometry/path.ts'
import { point } from '../../../src/geometry/point.ts'
import type { Operation, Stroke } from '../../../src/stroke/stroke.ts'
import { problemsOf } from './problems-of.ts'

const options: HpglOptions = {
  unitsPerMm: 40,
  pens: { pen: 2, kiss: 1 },
  area: { x: 600, y: 400 },
  wideRange: false,
  tolerance: 0.02,
}
const stroke = (operation: Operation, path: Stroke['path'], name = 'panel'): Stroke => ({ operation, path, name })
const dot = (x: number, y: number) => stroke('kiss', openPath(point(0, 0), lineTo(point(x, y))))

describe('writing plain HP-GL', () => {
  test('a 100 x 50 mm panel and a 3 mm tick in pen 2 come out as worked by hand', () => {
    // 40 units a mm: 100 mm = 4000, 50 mm = 2000, 3 mm = 120 (0.025 mm unit: HP 5961-0509, table 17-7)
    const strokes = [
      stroke('kiss', rectangle(point(0, 0), point(100, 50))),
      stroke('pen', openPath(point(50, 0), lineTo(point(50, 3)))),
    ]
    expect(writeHpgl(strokes, options)).toBe(
      [
        'IN;SP1;',
        'PU0,0;PD4000,0,4000,2000,0,2000,0,0;PU;',
        'SP2;',
        'PU2000,0;PD2000,120;PU;',
        'PU;PU0,0;SP0;',
        '',
      ].join('\n'),
    )
  })

  test('a long list of points goes on in another PD on the next line', () => {
    const zigzag = Array.from({ length: 12 }, (_, i) => point(100 + i, 100 + (i % 2)))
    expect(
      writeHpgl([stroke('kiss', polyline(zigzag))], options)
        .split('\n')
        .slice(1, 3),
    ).toEqual([
      'PU4000,4000;PD4040,4040,4080,4000,4120,4040,4160,4000,4200,4040,4240,4000;',
      'PD4280,4040,4320,4000,4360,4040,4400,4000,4440,4040;PU;',
    ])
  })

  test('a pen is loaded once for strokes in a row that share it', () => {
    const strokes = [dot(1, 1), stroke('pen', dot(2, 2).path), stroke('through', dot(3, 3).path)]
    const text = writeHpgl(strokes, { ...options, pens: { kiss: 1, pen: 3, through: 3 } })
    expect(text.match(/SP\d+;/g)).toEqual(['SP1;', 'SP3;', 'SP0;'])
  })

  test('no strokes give a file that only parks the tool', () => {
    expect(writeHpgl([], options)).toBe('IN;\nPU;PU0,0;SP0;\n')
  })

  test('points that fall on the same unit are written once, and a stroke below a unit is a dot', () => {
    const path = polyline([point(1, 1), point(1.001, 1), point(1.002, 1), point(2, 1)])
    const text = writeHpgl(
      [stroke('kiss', path), stroke('kiss', openPath(point(5, 5), lineTo(point(5.001, 5))))],
      options,
    )
    expect(text.split('\n').slice(1, 3)).toEqual(['PU40,40;PD80,40;PU;', 'PU200,200;PD200,200;PU;'])
  })

  test('a hair below zero counts as zero, without a sign', () => {
    expect(writeHpgl([stroke('kiss', openPath(point(-1e-9, 0), lineTo(point(1, -0))))], options)).toContain(
      'PU0,0;PD40,0;',
    )
  })

  test('all that stands in the way is refused at once, with how far a point is out', () => {
    const strokes = [
      dot(-2, 401.5),
      stroke('slit', dot(1, 1).path),
      stroke('kiss', openPath(point(Number.NaN, 0)), 'lid'),
    ]
    expect(problemsOf(() => writeHpgl(strokes, options))).toEqual([
      'no_pen: pens.slit is not set; there are slit strokes to write and each operation needs a pen number',
      'negative: panel, x is -2 mm; the least a plotter draws is 0 mm',
      'beyond_area: panel, y is 401.5 mm; the area ends at 400 mm, 1.5 mm short of it',
      'not_finite: lid is a path with a place that is no number; every place must be a number of mm',
    ])
  })

  test('an endless arc or curve is refused, not flattened', () => {
    const far = point(Infinity, 0)
    const paths = [
      openPath(point(0, 0), arcTo(far, 1)),
      openPath(point(0, 0), arcTo(point(1, 0), Number.NaN)),
      openPath(point(0, 0), cubicTo(far, far, point(1, 1))),
    ]
    for (const path of paths) {
      expect(problemsOf(() => writeHpgl([stroke('kiss', path)], options))).toEqual([
        expect.stringMatching(/^not_finite/),
      ])
    }
  })

  test('819.175 mm is the last coordinate of plain HP-GL, and a wide range lifts that', () => {
    // 32767 x 0.025 mm; signed 16-bit integers: HP 07470-90001, chapter 1
    const roll = { ...options, area: { x: 5000, y: 400 } }
    expect(writeHpgl([dot(819.175, 0)], roll)).toContain('PD32767,0;')
    expect(problemsOf(() => writeHpgl([dot(819.2, 0)], roll))).toEqual([
      'beyond_range: panel, x is 819.2 mm; HP-GL counts to 32767 units here, which is 819.175 mm',
    ])
    expect(writeHpgl([dot(819.2, 0)], { ...roll, wideRange: true })).toContain('PD32768,0;')
  })
})

describe('any strokes in the area', () => {
  const place = fc.record({
    x: fc.double({ min: 120, max: 480, noNaN: true }),
    y: fc.double({ min: 120, max: 280, noNaN: true }),
  })
  const path = fc.oneof(
    fc
      .tuple(fc.array(place, { minLength: 2, maxLength: 40 }), fc.boolean())
      .map(([points, closed]) => polyline(points, closed)),
    fc.tuple(place, fc.double({ min: 0.5, max: 110, noNaN: true })).map(([centre, radius]) => circle(centre, radius)),
    fc.tuple(place, place, place, place).map(([a, b, c, d]) => openPath(a, cubicTo(b, c, d))),
  )
  const strokes = fc.array(
    fc.record({ operation: fc.constantFrom<Operation>('pen', 'kiss'), path, name: fc.constant('p') }),
    {
      maxLength: 6,
    },
  )

  test('are read back within half a unit an axis of the flattened points', () => {
    fc.assert(
      fc.property(strokes, fc.constantFrom(40, 40.193, 100), (given, unitsPerMm) => {
        const set = { ...options, unitsPerMm, wideRange: true }
        const read = readHpgl(writeHpgl(given, set), set)
        expect(read.length).toBe(given.length)
        const half = 0.5 / unitsPerMm + 1e-9
        given.forEach((stroke, i) => {
          const got = read[i]
          const points = flatten(stroke.path, options.tolerance)
          expect(got?.operation).toBe(stroke.operation)
          // Points on one unit were merged, so each asked-for point meets the present one or is met by the next.
          let at = 0
          const near = (k: number, j: number) => {
            const a = points[k]
            const b = got?.points[j]
            return a && b ? Math.abs(a.x - b.x) <= half && Math.abs(a.y - b.y) <= half : false
          }
          points.forEach((_, k) => {
            if (!near(k, at)) at++
            expect(near(k, at)).toBe(true)
          })
          if (stroke.path.closed) expect(got?.points.at(-1)).toEqual(got?.points[0])
        })
      }),
    )
  })

  test('come out in lines of at most 80 bytes of plain commands, all coordinates whole and not negative', () => {
    fc.assert(
      fc.property(strokes, (given) => {
        for (const line of writeHpgl(given, options).split('\n')) {
          expect(line.length).toBeLessThan(80)
          expect(line).toMatch(/^((IN|SP\d+|P[UD](\d+,\d+(,\d+,\d+)*)?);)*$/)
        }
      }),
    )
  })
})
