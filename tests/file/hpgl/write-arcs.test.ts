import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readHpgl } from '../../../src/file/hpgl/read.ts'
import { type HpglOptions, writeHpgl } from '../../../src/file/hpgl/write.ts'
import { deviation } from '../../../src/geometry/deviation.ts'
import { arcTo, circle, lineTo, openPath, type Path, polyline, rectangle } from '../../../src/geometry/path.ts'
import { type Point, point, turned } from '../../../src/geometry/point.ts'
import type { Stroke } from '../../../src/stroke/stroke.ts'
import { plotted } from './write-plot.ts'

const options: HpglOptions = {
  unitsPerMm: 40,
  pens: { kiss: 1 },
  area: { x: 600, y: 400 },
  tolerance: 0.02,
  arcs: true,
}
const kiss = (path: Path): Stroke => ({ operation: 'kiss', path, name: 'paint tin lid' })
const write = (path: Path, more: Partial<HpglOptions> = {}) => writeHpgl([kiss(path)], { ...options, ...more })
const body = (text: string) => text.split('\n').slice(1, -2)
/** x, y, degrees and chord of every arc command. */
const arcsIn = (text: string) => [...text.matchAll(/AA([-\d,]+)/g)].map((m) => (m[1] ?? '').split(',').map(Number))

describe('arcs worked by hand', () => {
  test('a circle of radius 20 mm is two half turns, for which chords of 5 degrees will do', () => {
    // 100 mm = 4000, radius 800, start at 4800. Chords of 5 degrees: 800 (1 - cos 2.5) = 0.76 units; allowed are
    // 0.02 mm = 0.8 and 0.71 for rounding.
    expect(body(write(circle(point(100, 100), 20)))).toEqual(['PU4800,4000;PD;AA4000,4000,180;AA4000,4000,180;PU;'])
  })

  test('one of radius 100 mm asks for chords of 3 degrees', () => {
    // 4000 (1 - cos 1.5) = 1.37 units, 4000 (1 - cos 2) = 2.44; allowed are 1.51.
    expect(body(write(circle(point(300, 200), 100)))).toEqual([
      'PU16000,8000;PD;AA12000,8000,180,3;AA12000,8000,180,3;PU;',
    ])
  })

  test('rounded corners stay between straight edges', () => {
    // 60 x 40 mm, corners of 10 mm = 400 units: low left corner at 400, 400; inside corners 400 from each edge.
    const r = 10
    expect(body(write(rectangle(point(10, 10), point(70, 50), [r, r, r, r])))).toEqual([
      'PU800,400;PD2400,400;AA2400,800,90;PD2800,1600;AA2400,1600,90;PD800,2000;',
      'AA800,1600,90;PD400,800;AA800,800,90;PU;',
    ])
  })

  const lid = openPath(point(120, 100), arcTo(point(80, 100), Math.PI), lineTo(point(80, 50)), lineTo(point(80, 49)))

  test('compact: nothing parts the commands', () => {
    expect(write(lid, { dialect: 'compact' })).toBe('INSP1PU4800,4000PDAA4000,4000,180PD3200,2000,3200,1960PU0,0SP0;\n')
  })

  test('relative: what follows an arc begins with an absolute move', () => {
    expect(body(write(lid, { dialect: 'relative' }))).toEqual([
      'PA4800,4000;PD;AA4000,4000,180;PA3200,2000;PR0,-40;PU;',
    ])
  })

  test('encoded: the arc stands between two commands, with the tool lowered first', () => {
    // Base 32: 4800 is 9600 = 0 + 12 x 32 + 9 x 1024: ? K h; 4000 ? Y f; 3200 is 6400 = 0 + 8 x 32 + 6 x 1024: ? G e;
    // 2000 ? \ b; -40 is 81 = 17 + 2 x 32: P a.
    expect(body(write(lid, { dialect: 'encoded' }))).toEqual(['PE7<=?Kh?Yf;PD;AA4000,4000,180;PE7=?Ge?\\b_Pa;'])
  })

  test('a map that mirrors turns the arc the other way', () => {
    const toUnits = (p: Point) => point((600 - p.x) * 40, p.y * 40)
    expect(body(write(circle(point(500, 100), 20), { toUnits }))).toEqual([
      'PU3200,4000;PD;AA4000,4000,-180;AA4000,4000,-180;PU;',
    ])
  })

  test.each<[string, (p: Point) => Point]>([
    ['two scales', (p) => point(p.x * 40, p.y * 40.193)],
    ['leaning axes', (p) => point(p.x * 40 + p.y * 0.1, p.y * 40)],
    // 24 and 32 make 40 as well.
    ['leaning axes of one scale', (p) => point(p.x * 40 + p.y * 24, p.y * 32)],
  ])('%s make ellipses of circles, so chords are written', (_, toUnits) => {
    const round = circle(point(100, 100), 20)
    expect(write(round, { toUnits })).not.toContain('AA')
    expect(write(round, { toUnits })).toBe(write(round, { toUnits, arcs: false }))
  })

  test('an arc of few chords is written as chords', () => {
    // A quarter of radius 0.5 mm: chords turn by 4 asin sqrt(0.02 / 1) = 32.5 degrees, so 3 do.
    const r = 0.5
    expect(write(rectangle(point(10, 10), point(70, 50), [r, r, r, r]))).not.toContain('AA')
  })

  test('an arc whose centre is off the machine is written as chords', () => {
    // A quarter of radius 200 mm about (-50, 100): the centre would be at -2000.
    const path = openPath(point(150, 100), arcTo(point(Math.sqrt(200 ** 2 - 150 ** 2) - 50, 250), Math.asin(0.75)))
    expect(write(path)).not.toContain('AA')
    expect(write(path, { toUnits: (p) => point(p.x * 40, p.y * 40), negative: true })).toContain('AA-2000,4000')
  })
})

describe('any arcs', () => {
  /** Evenly spread: `fc.double` draws by bit pattern, so nearly all of it lies next to 0. */
  const double = (min: number, max: number) =>
    fc.integer({ min: 0, max: 1_000_000 }).map((n) => min + ((max - min) * n) / 1_000_000)
  const centre = fc.record({ x: double(250, 350), y: double(180, 220) })
  /** One after the other on a circle, each at most a half turn. */
  const chains = fc
    .tuple(
      centre,
      fc.oneof(double(1, 20), double(20, 170)),
      double(-Math.PI, Math.PI),
      fc.array(double(-Math.PI, Math.PI), { minLength: 1, maxLength: 12 }),
    )
    .map(([middle, radius, start, sweeps]) => {
      let angle = start
      const at = () => {
        const spoke = turned(point(radius, 0), angle)
        return point(middle.x + spoke.x, middle.y + spoke.y)
      }
      const first = at()
      const arcs = sweeps.map((sweep) => {
        angle += sweep
        return arcTo(at(), sweep)
      })
      return openPath(first, ...arcs)
    })
  const maps = fc.constantFrom<Partial<HpglOptions> & { back: (p: Point) => Point }>(
    { back: (p) => point(p.x / 40, p.y / 40) },
    { unitsPerMm: 100, range: 100_000, back: (p) => point(p.x / 100, p.y / 100) },
    { toUnits: (p) => point((400 - p.y) * 40, p.x * 40), back: (p) => point(p.y / 40, 400 - p.x / 40) },
    { toUnits: (p) => point(p.y * 40, p.x * 40), back: (p) => point(p.y / 40, p.x / 40) },
  )
  const dialects = fc.constantFrom('strict', 'compact', 'relative', 'encoded')
  const tolerances = fc.constantFrom(0.005, 0.02, 0.1)

  test('drawn with the chords they ask for, lie within the tolerance and half a unit each way', () => {
    let kept = 0
    fc.assert(
      fc.property(chains, maps, dialects, tolerances, (path, { back, ...map }, dialect, tolerance) => {
        const set = { ...map, dialect, tolerance }
        const text = write(path, set)
        kept += arcsIn(text).length
        const [drawn, ...more] = plotted(text)
        expect(more).toEqual([])
        const cut = polyline((drawn?.points ?? []).map(([x, y]) => back(point(x, y))))
        // `deviation` looks at chords of its own, good to 0.001 mm.
        const most = tolerance + Math.SQRT1_2 / (map.unitsPerMm ?? 40) + 0.001
        expect(deviation(cut, path).distance).toBeLessThan(most)
        const [read] = readHpgl(text, { unitsPerMm: 1, pens: {} })
        expect(deviation(polyline((read?.points ?? []).map(back)), path).distance).toBeLessThan(most)
      }),
    )
    expect(kept).toBeGreaterThan(300)
  })

  test('are whole numbers, of degrees too, and end less than half a unit from a whole unit, to which a move brings', () => {
    let [kept, moved] = [0, 0]
    fc.assert(
      fc.property(chains, (path) => {
        const commands = [...write(path).matchAll(/([A-Z]{2})([-\d,.]*);/g)].map(([, mnemonic = '', list = '']) => ({
          mnemonic,
          numbers: list === '' ? [] : list.split(',').map(Number),
        }))
        let [x, y] = [Number.NaN, Number.NaN]
        commands.forEach(({ mnemonic, numbers }, i) => {
          for (const n of numbers) expect(Number.isInteger(n)).toBe(true)
          if (mnemonic !== 'AA') {
            if (numbers.length > 1) [x = 0, y = 0] = numbers.slice(-2)
            return
          }
          kept++
          const [cx = 0, cy = 0, sweep = 0, chord = 1] = numbers
          expect(Math.abs(sweep)).toBeGreaterThanOrEqual(1)
          expect(Math.abs(sweep)).toBeLessThanOrEqual(180)
          expect(chord).toBeGreaterThanOrEqual(1)
          expect(chord).toBeLessThan(5)
          const spoke = turned(point(x - cx, y - cy), (sweep * Math.PI) / 180)
          const end = point(cx + spoke.x, cy + spoke.y)
          ;[x, y] = [Math.round(end.x), Math.round(end.y)]
          const miss = Math.hypot(x - end.x, y - end.y)
          expect(miss).toBeLessThan(0.5)
          if (miss < 1e-6) return
          moved++
          expect(commands[i + 1]?.mnemonic).toBe('PD')
          expect(commands[i + 1]?.numbers.slice(0, 2)).toEqual([x, y])
        })
      }),
    )
    expect(kept).toBeGreaterThan(300)
    expect(moved).toBeGreaterThan(100)
  })

  test('in a row do not add up their errors: the last one ends on its whole unit or within half of one', () => {
    fc.assert(
      fc.property(chains, dialects, (path, dialect) => {
        const end = path.segments.at(-1)?.to as Point
        const [x = 0, y = 0] = plotted(write(path, { dialect })).at(-1)?.points.at(-1) ?? []
        expect(Math.hypot(x - Math.round(end.x * 40), y - Math.round(end.y * 40))).toBeLessThan(1e-5)
      }),
    )
  })

  test('of some size take fewer bytes than their chords', () => {
    const large = fc.tuple(centre, double(20, 170), double(Math.PI / 2, Math.PI)).map(([middle, radius, sweep]) => {
      const spoke = turned(point(radius, 0), sweep)
      return openPath(point(middle.x + radius, middle.y), arcTo(point(middle.x + spoke.x, middle.y + spoke.y), sweep))
    })
    fc.assert(
      fc.property(large, (path) => {
        expect(write(path).length).toBeLessThan(write(path, { arcs: false }).length)
      }),
    )
  })
})
