import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readHpgl } from '../../../src/file/hpgl/read.ts'
import { type HpglOptions, hpglBytes, writeHpgl } from '../../../src/file/hpgl/write.ts'
import { flatten } from '../../../src/geometry/flatten.ts'
import { circle, cubicTo, lineTo, openPath, polyline, rectangle } from '../../../src/geometry/path.ts'
import { type Point, point } from '../../../src/geometry/point.ts'
import type { Operation, Stroke } from '../../../src/stroke/stroke.ts'
import { plotted } from './write-plot.ts'

const options: HpglOptions = {
  unitsPerMm: 40,
  pens: { pen: 2, kiss: 1 },
  area: { x: 600, y: 400 },
  tolerance: 0.02,
}
const stroke = (operation: Operation, path: Stroke['path']): Stroke => ({ operation, path, name: 'pail lid' })
/** 0,0 in the middle of the area. */
const fromMiddle = { toUnits: (p: Point) => point((p.x - 300) * 40, (p.y - 200) * 40), negative: true }

/** 10 mm = 400 units. */
const square = stroke('kiss', rectangle(point(0, 0), point(10, 10)))

describe('worked by hand, byte for byte', () => {
  test('compact: the next mnemonic ends a command, and the lists run on', () => {
    const strokes = [
      stroke('kiss', rectangle(point(0, 0), point(100, 50))),
      stroke('pen', openPath(point(50, 0), lineTo(point(50, 3)))),
    ]
    expect(writeHpgl(strokes, { ...options, dialect: 'compact' })).toBe(
      'INSP1PU0,0PD4000,0,4000,2000,0,2000,0,0PUSP2PU2000,0PD2000,120PU0,0SP0;\n',
    )
  })

  test('compact: a sign parts numbers: HP 5961-0509, page 17-9', () => {
    // From the middle (300, 200): 260 is -40 mm = -1600, 340 is 1600; 190 is -10 mm = -400, 210 is 400.
    const lid = stroke('kiss', rectangle(point(260, 190), point(340, 210)))
    expect(writeHpgl([lid], { ...options, ...fromMiddle, dialect: 'compact' })).toBe(
      'INSP1PU-1600-400PD1600-400,1600,400-1600,400-1600-400PU0,0SP0;\n',
    )
  })

  test('compact: no travel to where the tool stands, and a line ends before a mnemonic', () => {
    const text = writeHpgl([square, square], { ...options, dialect: 'compact', lineBytes: 60 })
    // IN SP1 PU0,0 is 10 bytes, the list 2 + 25, PU 2, a second list up to 59 in all: 20 bytes of it.
    expect(text).toBe('INSP1PU0,0PD400,0,400,400,0,400,0,0PUPD400,0,400,400,0,400\nPD0,0PU0,0SP0;\n')
  })

  test('relative: a 10 mm square in differences', () => {
    expect(writeHpgl([square], { ...options, dialect: 'relative' })).toBe(
      'IN;SP1;\nPA0,0;PD;PR400,0,0,400,-400,0,0,-400;PU;\nPU;PA0,0;SP0;\n',
    )
  })

  test('relative: a difference past the range is an absolute move', () => {
    // -22000 to 22000 is 44000, past 32767; then 22000 to 21960 is -40.
    const roll = { ...options, area: { x: 1100, y: 400 }, negative: true, dialect: 'relative' } as const
    const toUnits = (p: Point) => point((p.x - 550) * 40, (p.y - 200) * 40)
    const line = polyline([point(0, 200), point(1100, 200), point(1099, 200)])
    expect(writeHpgl([stroke('kiss', line)], { ...roll, toUnits })).toBe(
      'IN;SP1;\nPA-22000,0;PD;PA22000,0;PR-40,0;PU;\nPU;PA0,0;SP0;\n',
    )
  })

  test('encoded in 8 bits: the same square', () => {
    // Base 64: 0 is 191 (BF). 400 doubled is 800 = 32 + 12 x 64: 63 + 32 = 95 (5F), 191 + 12 = 203 (CB).
    // -400 is 801 = 33 + 12 x 64: 60 CB. < is 3C, = is 3D.
    const text = writeHpgl([square], { ...options, dialect: 'encoded', encodedBits: 8 })
    const [head, body, ...tail] = text.split('\n')
    expect(head).toBe('IN;SP1;')
    expect(Buffer.from(hpglBytes(body ?? '')).toString('hex')).toBe(
      ['5045', '3c3dbfbf', '5fcbbf', 'bf5fcb', '60cbbf', 'bf60cb', '3b'].join(''),
    )
    expect(tail).toEqual(['PU;PU0,0;SP0;', ''])
  })

  test('encoded in 7 bits: the same square', () => {
    // Base 32: 0 is 95 (_). 800 = 0 + 25 x 32: 63 (?), 95 + 25 = 120 (x). 801 = 1 + 25 x 32: 64 (@), x.
    expect(writeHpgl([square], { ...options, dialect: 'encoded' })).toBe(
      'IN;SP1;\nPE7<=__?x__?x@x__@x;\nPU;PU0,0;SP0;\n',
    )
  })

  test('encoded: a further stroke of the same tool is reached by a pen-up difference', () => {
    // 1000 is 2000 = 16 + 30 x 32 + 1 x 1024: O ] `. 4000: ? Y f, -4000: @ Y f. 2000: ? \ b. 120: O f.
    const strokes = [
      stroke('kiss', rectangle(point(25, 25), point(125, 75))),
      stroke('kiss', openPath(point(75, 25), lineTo(point(75, 28)))),
    ]
    expect(writeHpgl(strokes, { ...options, dialect: 'encoded', encodedBits: 7 })).toBe(
      'IN;SP1;\nPE7<=O]`O]`?Yf__?\\b@Yf__@\\b<?\\b__Of;\nPU;PU0,0;SP0;\n',
    )
  })

  test('encoded: the published number 10525, in both bases: HP 5961-0509, pages 20-38 to 20-40', () => {
    const line = stroke('kiss', openPath(point(0, 0), lineTo(point(263.125, 0))))
    const write = (encodedBits: 7 | 8) =>
      writeHpgl([line], { ...options, dialect: 'encoded', encodedBits }).split('\n')[1] ?? ''
    expect([...hpglBytes(write(8))].slice(6, 9)).toEqual([121, 71, 196])
    expect([...hpglBytes(write(7))].slice(7, 10)).toEqual([89, 80, 115])
  })

  test('encoded: each line is a command of its own that begins absolute, pen up only where a stroke begins', () => {
    // Lines of 40: PE7<= and O]`O]` are 11 bytes; each step of 1 mm, 40 = 80 = 16 + 2 x 32 = Oa, with _ is 3; `;` and
    // the line feed 2: (40 - 2 - 11) / 3 = 9 steps. Then 1000 + 10 x 40 = 1400 = 2800 = 16 + 23 x 32 + 2 x 1024: OVa.
    const line = polyline(Array.from({ length: 13 }, (_, i) => point(25 + i, 25)))
    expect(writeHpgl([stroke('kiss', line)], { ...options, dialect: 'encoded', lineBytes: 40 }).split('\n')).toEqual([
      'IN;SP1;',
      `PE7<=O]\`O]\`${'Oa_'.repeat(9)};`,
      'PE7=OVaO]`Oa_Oa_;',
      'PU;PU0,0;SP0;',
      '',
    ])
  })

  test('a stroke below a unit is a dot in every dialect', () => {
    const dot = stroke('kiss', openPath(point(10, 10), lineTo(point(10.001, 10))))
    for (const dialect of ['strict', 'compact', 'relative', 'encoded'] as const) {
      expect(plotted(writeHpgl([dot], { ...options, dialect }))).toEqual([
        {
          pen: 1,
          points: [
            [400, 400],
            [400, 400],
          ],
        },
      ])
    }
  })
})

describe('any strokes, in every dialect', () => {
  /** Evenly spread, ends included: `fc.double` draws by bit pattern, so nearly all of it lies next to 0. */
  const double = (min: number, max: number) =>
    fc.integer({ min: 0, max: 1_000_000 }).map((n) => min + ((max - min) * n) / 1_000_000)
  const place = fc.record({ x: double(0, 600), y: double(0, 400) })
  const inner = fc.record({ x: double(60, 540), y: double(60, 340) })
  /** Steps of a few units, as dense curves have. */
  const wander = fc
    .tuple(inner, fc.array(fc.tuple(double(-0.5, 0.5), double(-0.5, 0.5)), { minLength: 1, maxLength: 100 }))
    .map(([start, steps]) => {
      let { x, y } = start
      return [
        start,
        ...steps.map(([dx, dy]) => {
          x += dx
          y += dy
          return point(x, y)
        }),
      ]
    })
  const path = fc.oneof(
    fc.tuple(fc.array(place, { minLength: 1, maxLength: 40 }), fc.boolean()).map(([p, closed]) => polyline(p, closed)),
    fc.tuple(wander, fc.boolean()).map(([p, closed]) => polyline(p, closed)),
    fc.tuple(inner, double(0.01, 60)).map(([centre, radius]) => circle(centre, radius)),
    fc.tuple(place, place, place, place).map(([a, b, c, d]) => openPath(a, cubicTo(b, c, d))),
  )
  const strokes = fc.array(
    fc.record({ operation: fc.constantFrom<Operation>('pen', 'kiss'), path, name: fc.constant('lid') }),
    { maxLength: 6 },
  )
  const dialects = fc.record({
    dialect: fc.constantFrom('strict', 'compact', 'relative', 'encoded'),
    encodedBits: fc.constantFrom(7, 8),
    lineBytes: fc.constantFrom(40, 64, 80, 255, 2000),
  })
  const maps = fc.constantFrom<Partial<HpglOptions>>(
    {},
    { unitsPerMm: 40.193 },
    fromMiddle,
    { toUnits: (p) => point((400 - p.y) * 100, (600 - p.x) * 100), range: 2 ** 30 - 1 },
    { toUnits: (p) => point((p.y - 200) * 160, (p.x - 300) * 100), negative: true },
  )

  /** Rounded here once more, from the flattened path. */
  const wanted = (given: readonly Stroke[], set: HpglOptions) =>
    given.map((each) => {
      const flat = flatten(each.path, set.tolerance)
      const pairs = (each.path.closed ? [...flat, flat[0] as Point] : flat).map((p) => {
        const q = set.toUnits?.(p) ?? point(p.x * set.unitsPerMm, p.y * set.unitsPerMm)
        return [Math.round(q.x) + 0, Math.round(q.y) + 0] as const
      })
      const apart = pairs.filter(([x, y], i) => i === 0 || x !== pairs[i - 1]?.[0] || y !== pairs[i - 1]?.[1])
      return { pen: set.pens[each.operation] ?? 0, points: apart.length > 1 ? apart : [...apart, ...apart] }
    })

  test('the same whole units come out, rounded once from absolute places', () => {
    fc.assert(
      fc.property(strokes, dialects, maps, (given, dialect, map) => {
        const set = { ...options, ...map, ...dialect }
        expect(plotted(writeHpgl(given, set))).toEqual(wanted(given, set))
      }),
    )
  })

  test('and are read back', () => {
    fc.assert(
      fc.property(strokes, dialects, maps, (given, dialect, map) => {
        const set = { ...options, ...map, ...dialect }
        const read = readHpgl(writeHpgl(given, set), { unitsPerMm: 1, pens: options.pens })
        expect(read.map(({ pen, points }) => ({ pen, points: points.map((p) => [p.x, p.y]) }))).toEqual(
          wanted(given, set),
        )
      }),
    )
  })

  test('lines keep to their bytes, and a byte to 7 bits unless 8 are asked for', () => {
    fc.assert(
      fc.property(strokes, dialects, maps, (given, dialect, map) => {
        const text = writeHpgl(given, { ...options, ...map, ...dialect })
        const bytes = hpglBytes(text)
        expect(String.fromCharCode(...bytes)).toBe(text)
        expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThan(dialect.lineBytes)
        const most = dialect.dialect === 'encoded' && dialect.encodedBits === 8 ? 254 : 126
        expect(bytes.filter((byte) => byte !== 10 && (byte < 32 || byte > most))).toHaveLength(0)
      }),
    )
  })

  test('relative steps of one stroke add up to where the absolute ones end', () => {
    fc.assert(
      fc.property(wander, (points) => {
        const text = writeHpgl([stroke('kiss', polyline(points))], { ...options, dialect: 'relative' })
        const [, start = ''] = /PA(\d+,\d+);PD;/.exec(text) ?? []
        let [x = 0, y = 0] = start.split(',').map(Number)
        for (const [, list = ''] of text.matchAll(/PR([-\d,]+);/g)) {
          list.split(',').forEach((step, i) => {
            if (i % 2 === 0) x += Number(step)
            else y += Number(step)
          })
        }
        const end = points.at(-1) as Point
        const only = points.every(
          (p) =>
            Math.round(p.x * 40) === Math.round((points[0] as Point).x * 40) &&
            Math.round(p.y * 40) === Math.round((points[0] as Point).y * 40),
        )
        expect([x, y]).toEqual([Math.round(end.x * 40), Math.round(end.y * 40)])
        expect(text.includes('PR0,0;')).toBe(only)
      }),
    )
  })

  test('10,000 strokes of one tool come back, in a compact file smaller than a strict one and an encoded one smallest', () => {
    const many = Array.from({ length: 10_000 }, (_, i) =>
      stroke('kiss', openPath(point(i / 20, 100), lineTo(point(i / 20, 101)))),
    )
    const sizes = (['strict', 'compact', 'encoded'] as const).map((dialect) => {
      const text = writeHpgl(many, { ...options, dialect })
      expect(plotted(text)).toEqual(wanted(many, options))
      return text.length
    })
    expect(sizes).toEqual([...sizes].sort((a, b) => b - a))
  })
})
