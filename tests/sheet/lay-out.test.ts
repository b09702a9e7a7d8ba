import fc from 'fast-check'
import { expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import { intersection, offsetRings, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { mapPoint, transform } from '../../src/geometry/transform.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Panel } from '../../src/panel/panel.ts'
import type { Piece, Sheet } from '../../src/sheet/sheet.ts'
import type { Stock } from '../../src/sheet/stock.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { mm, panelOf, plainOptions, say, square, squareBands, thin, unopened } from '../templates/measures.ts'
import { copiesOf, faultsOf, laidOn, pinned, roll } from './laid.ts'

const lid = (
  width: number,
  height: number,
  make: 'pen' | 'waste' = 'pen',
  lines: 'one' | 'strip' | 'none' = 'one',
): Panel =>
  panelOf(flatPanel.develop({ width, height, radius: square, ...unopened }, thin, say), {
    ...plainOptions,
    name: `lid ${width}`,
    ticks: { wanted: make, hasPen: true, cut: 'kiss' },
    slit: { lines, strip: 30 },
  })

/** Small lids beside bands and panels of any size, most of which fit nothing small. */
const anyPanel = (name: string) =>
  fc.oneof(
    fc
      .record({ width: mm(40, 260), height: mm(40, 260) })
      .map(({ width, height }) => ({ ...lid(width, height), name })),
    fc
      .oneof(...Object.values(squareBands))
      .map(({ template, values, facts }) => panelOf(template.develop(values, facts, say), { ...plainOptions, name })),
  )

/** A scrap of four to seven corners round a middle, its low corner at 0, 0. */
const scrap = fc
  .array(fc.record({ far: mm(150, 700), step: mm(0.6, 1) }), { minLength: 4, maxLength: 7 })
  .map((corners): Stock => {
    const whole = corners.reduce((sum, { step }) => sum + step, 0)
    let angle = 0
    const ring = corners.map(({ far, step }) => {
      angle += (step / whole) * 2 * Math.PI
      return point(far * Math.cos(angle), far * Math.sin(angle))
    })
    const x = Math.min(...ring.map((p) => p.x))
    const y = Math.min(...ring.map((p) => p.y))
    const outline = ring.map((p) => point(p.x - x, p.y - y))
    const size = { length: Math.max(...outline.map((p) => p.x)), width: Math.max(...outline.map((p) => p.y)) }
    return { ...roll, name: 'scrap', kind: 'offcut', outline, ...size }
  })

const straight = fc
  .record({ kind: fc.constantFrom('roll' as const, 'sheet' as const), width: mm(300, 2500), length: mm(1500, 4000) })
  .map((own): Stock => ({ ...roll, ...own }))

const anyStock = fc
  .record({
    stock: fc.oneof(straight, scrap),
    margin: mm(0, 20),
    turn: fc.constantFrom('any' as const, 'quarter' as const, 'none' as const),
    spots: fc.array(fc.record({ x: mm(0, 600), y: mm(0, 400), r: mm(5, 40) }), { maxLength: 2 }),
  })
  .map(({ stock, margin, turn, spots }): Stock => {
    const badSpots = spots.map(({ x, y, r }) => [point(x, y), point(x + r, y), point(x + r, y + r), point(x, y + r)])
    return { ...stock, margin, turn, badSpots }
  })

const anyReach = fc.tuple(mm(0, 30), mm(0, 30), mm(1000, 5000), mm(250, 3000))

test('pieces keep off each other, the edge and bad spots on film of any outline, and lie only as they may', () => {
  const some = fc.tuple(...[1, 2, 3, 4].map((n) => fc.option(anyPanel(`piece ${n}`), { nil: undefined })))
  const seen = { laid: 0, odd: 0, spots: 0, turned: 0 }
  fc.assert(
    fc.property(some, anyStock, mm(0, 20), anyReach, mm(0, 15), (given, own, gap, [left, bottom, x, y], spare) => {
      const panels = given.filter((panel) => panel !== undefined)
      const { sheets, problems } = laidOn(
        panels.flatMap((panel) => copiesOf(panel, 1)),
        [own],
        {
          gap,
          from: { x: left, y: bottom },
          reach: { x, y },
          spare,
        },
      )
      const laid = sheets.flatMap((sheet) => sheet.pieces)
      // everything is laid, or something is refused and nothing is
      if (problems.length > 0) expect(laid).toEqual([])
      else expect(laid.map(({ panel }) => panel.name).sort()).toEqual(panels.map(({ name }) => name).sort())
      for (const sheet of sheets) {
        expect(faultsOf(sheet, gap)).toEqual([])
        const turned = spare > 0 ? sheet.length - left : Infinity
        expect(sheet.reached.high).toEqual({ x: Math.min(sheet.length, x, turned), y: Math.min(own.width, y) })
        const back = spare > 0 ? Math.max(0, sheet.length - x) : 0
        expect(sheet.reached.low).toEqual({ x: Math.max(left, back), y: Math.min(bottom, own.width) })
        const tail = Math.max(own.margin, spare > 0 ? left : 0)
        if (own.kind === 'roll') expect(sheet.length).toBeLessThan(Math.min(x + tail, own.length) + 1e-6)
        if (!own.outline && spare > 0) {
          const boxes = sheet.pieces.map(({ panel, place }) => boundsOf([transform(panel.outline, place)]))
          for (const { low, high } of boxes) {
            expect(low.x).toBeGreaterThan(Math.max(own.margin, sheet.reached.low.x) + spare - 1e-3)
            expect(high.x).toBeLessThan(Math.min(sheet.length - own.margin, sheet.reached.high.x) - spare + 1e-3)
          }
        }
      }
      seen.laid += laid.length
      seen.odd += own.outline ? laid.length : 0
      seen.spots += own.badSpots.length > 0 ? laid.length : 0
      seen.turned += laid.filter(({ angle }) => angle !== 0).length
    }),
    { numRuns: 150 },
  )
  expect(seen.laid).toBeGreaterThan(60)
  expect(Math.min(seen.odd, seen.spots, seen.turned)).toBeGreaterThan(3)
})

test('the check of layouts finds a piece off the film, too near, on a bad spot, turned or mirrored', () => {
  const place = (e: number, f: number) => ({ a: 1, b: 0, c: 0, d: 1, e, f })
  const sheetOf = (
    places: readonly Sheet['pieces'][number]['place'][],
    own: Partial<Stock> = {},
    angle = 0,
  ): Sheet => ({
    number: 1,
    stock: { ...roll, ...own },
    ofStock: 1,
    length: 1000,
    width: 600,
    reached: { low: point(0, 0), high: point(1000, 600) },
    margin: 10,
    crosses: [],
    pieces: places.map((at) => ({ panel: lid(200, 100), copy: 1, copies: 1, place: at, angle })),
  })
  // with 1 mm of allowance the lid's film is 202 x 102 mm; its own corner lies 101 mm left of and 51 mm below its middle
  const { low } = boundsOf([lid(200, 100).outline])
  const at = (x: number, y: number) => place(x - low.x, y - low.y)
  expect(faultsOf(sheetOf([at(10, 10), at(217, 10)]), 5)).toEqual([])
  expect(faultsOf(sheetOf([at(9.9, 10)]), 5)).toEqual(['lid 200 is nearer than 10 mm to the edge'])
  const beyond = sheetOf([at(780, 10)], {})
  const short = { ...beyond, reached: { low: point(0, 0), high: point(980, 600) } }
  expect(faultsOf(short, 5)).toEqual(['lid 200 lies where the machine does not reach'])
  expect(faultsOf(sheetOf([at(10, 10), at(216.9, 10)]), 5)).toEqual(['lid 200 is nearer than 5 mm to lid 200'])
  const spot = [point(100, 50), point(110, 50), point(110, 60)]
  expect(faultsOf(sheetOf([at(10, 10)], { badSpots: [spot] }), 5)).toEqual(['lid 200 lies on a bad spot'])
  expect(faultsOf(sheetOf([at(10, 10)], {}, 0.1), 5)).toEqual(['lid 200 is turned'])
  const mirrored = { ...at(400, 300), a: -1 }
  expect(faultsOf(sheetOf([mirrored]), 5)).toEqual(['lid 200 is mirrored or of another size'])
})

/** How far `p` is from the nearest edge of the ring, mm. */
function distanceToRing(ring: readonly Point[], p: Point): number {
  const far = ring.map((a, i) => {
    const b = ring[(i + 1) % ring.length] ?? a
    const [ex, ey] = [b.x - a.x, b.y - a.y]
    const t = Math.max(0, Math.min(1, ((p.x - a.x) * ex + (p.y - a.y) * ey) / (ex * ex + ey * ey || 1)))
    return Math.hypot(p.x - a.x - t * ex, p.y - a.y - t * ey)
  })
  return Math.min(...far)
}

test('no slit comes within 1 mm of the film of another piece, turned or not, however small the gap', () => {
  const some = fc.array(fc.oneof(...Object.values(squareBands)), { minLength: 2, maxLength: 5 })
  const seen = { upright: 0, turned: 0, pairs: 0 }
  fc.assert(
    fc.property(
      some,
      fc.constantFrom('one' as const, 'strip' as const),
      mm(2, 8),
      mm(500, 1500),
      mm(500, 6000),
      (measured, lines, gap, width, far) => {
        const pieces = measured.map(({ template, values, facts }, i): Piece => {
          const options = { ...plainOptions, name: `piece ${i}`, slit: { lines, strip: 12 } }
          return { panel: panelOf(template.develop(values, facts, say), options), copy: 1, copies: 1 }
        })
        const own: Stock = { ...roll, width, turn: 'quarter' }
        for (const sheet of laidOn(pieces, [own], { gap, reach: { x: far, y: 3000 }, spare: 12 }).sheets) {
          for (const piece of sheet.pieces) {
            seen[piece.angle === 0 ? 'upright' : 'turned'] += 1
            for (const other of sheet.pieces) {
              if (other === piece) continue
              seen.pairs += 1
              const film = transform(other.panel.outline, other.place)
              // chords of the flattened outline lie up to 0.02 mm inside it
              const [ring = []] = ringsOf([film], 0.02)
              for (const slit of piece.panel.slits) {
                for (const share of [0, 0.002, 0.01, 0.1, 0.5, 0.9, 0.99, 0.998, 1]) {
                  const x = slit.from.x + (slit.to.x - slit.from.x) * share
                  const y = slit.from.y + (slit.to.y - slit.from.y) * share
                  const at = mapPoint(piece.place, point(x, y))
                  expect(pointInside(film, at)).toBe(false)
                  expect(distanceToRing(ring, at)).toBeGreaterThan(1 - 0.021)
                }
              }
            }
          }
        }
      },
    ),
    { numRuns: 100 },
  )
  expect(Math.min(seen.upright, seen.turned, seen.pairs)).toBeGreaterThan(10)
})

/** Left, right, bottom and top of each piece's film on the sheet, to a micrometre. */
const edgesOf = (sheet: Sheet | undefined) =>
  (sheet?.pieces ?? []).map(({ panel, place }) => {
    const { low, high } = boundsOf([transform(panel.outline, place)])
    return [low.x, high.x, low.y, high.y].map((v) => Math.round(v * 1000) / 1000)
  })

test('a pinned piece lies where it is wanted, measured from the left and the bottom edge to its film', () => {
  // 202 x 102 mm of film; turned by a quarter it is 102 wide and 202 high.
  const { sheets, problems } = laidOn([pinned(lid(200, 100), 40, 60), pinned(lid(200, 100), 300, 60, 90)], [roll])
  expect(problems).toEqual([])
  expect(edgesOf(sheets[0])).toEqual([
    [40, 242, 60, 162],
    [300, 402, 60, 262],
  ])
  // 402 mm and the margin
  expect(sheets[0]?.length).toBeCloseTo(412, 9)
})

test('pins off the film, too near to each other or on no sheet are refused by name', () => {
  const codes = (...pieces: Piece[]) => laidOn(pieces, [roll]).problems.map(({ code }) => code)
  expect(codes(pinned(lid(200, 100), 9, 10))).toEqual(['pinned_outside'])
  expect(codes(pinned(lid(200, 100), 10, 490))).toEqual(['pinned_outside'])
  expect(codes(pinned(lid(200, 100), 10, 10), pinned(lid(200, 100), 216, 10))).toEqual(['pinned_too_near'])
  expect(codes(pinned(lid(200, 100), 10, 10), pinned(lid(200, 100), 217, 10))).toEqual([])
  const [none] = laidOn([pinned(lid(200, 100), 10, 10, 0, 99)], [roll]).problems
  expect(none && formatProblem(none)).toMatch(/^lid 200 1: pinned is on sheet 99 of roll; there is room on roll\./)
})

test('a roll is taken as far as its pieces reach with the margin and the room for crosses, a sheet whole', () => {
  const pieces = [pinned(lid(200, 100), 22, 30)]
  // 22 + 202 = 224, 12 for crosses and 10 of margin: 246 mm
  expect(laidOn(pieces, [roll], { spare: 12 }).sheets[0]?.length).toBeCloseTo(246, 9)
  const sheet: Stock = { ...roll, kind: 'sheet', length: 1200 }
  expect(laidOn(pieces, [sheet], { spare: 12 }).sheets[0]?.length).toBe(1200)
})

test('a piece as wide as the film leaves hangs its slit over the margin', () => {
  // 580 mm of film on 600 - 20; the slit runs 5 mm past it at both ends, the gap asks for 2.5.
  const { sheets, problems } = laidOn(copiesOf(lid(200, 578), 1), [roll])
  expect(problems).toEqual([])
  expect(edgesOf(sheets[0])).toEqual([[10, 212, 10, 590]])
  expect(laidOn(copiesOf(lid(200, 578.2), 1), [roll]).problems.map(({ code }) => code)).toEqual(['panel_too_big'])
})

test('a piece is turned where it must be and the film allows it', () => {
  const tall = copiesOf(lid(200, 700), 1)
  const own: Stock = { ...roll, turn: 'quarter' }
  const [sheet] = laidOn(tall, [own]).sheets
  const [[left = 0, right = 0, low = 0, high = 0] = []] = edgesOf(sheet)
  expect([right - left, high - low].map((v) => Math.round(v * 1e6) / 1e6)).toEqual([702, 202])
  const own1: Piece[] = tall.map((piece) => ({ ...piece, turn: 'none' }))
  expect(laidOn(own1, [own]).problems[0]?.code).toBe('panel_too_big')
  const refused = laidOn(tall, [roll])
  expect(refused.sheets).toEqual([])
  expect(refused.problems[0]?.cure).toMatch(/fits when turned a quarter: set stock\.turn/)
})

test('a piece too big for film or machine is refused once, with how much it is too big', () => {
  // 702 mm across on 600 - 20: too big by 122. Along, 1102 on 1000 - 20 - 24: too big by 146.
  const { sheets, problems } = laidOn(copiesOf(lid(1100, 700), 3), [roll], { reach: { x: 1000, y: 900 }, spare: 12 })
  expect(sheets).toEqual([])
  expect(problems.map(({ code, field }) => [code, field])).toEqual([['panel_too_big', 'lid 1100']])
  expect(problems[0] && formatProblem(problems[0])).toMatch(
    /1102 mm x 702 mm.*966 mm along and 580 mm across; too big by 136 mm along and 122 mm across/,
  )
})

test('a piece that the box of a scrap would hold, but not its edge, is refused with the missing millimetres', () => {
  // A right-angled corner with sides of 400 mm holds squares up to 200 mm less margins; 182 mm is too big.
  const corner: Stock = {
    ...roll,
    name: 'corner',
    kind: 'offcut',
    length: 400,
    width: 400,
    outline: [point(0, 0), point(400, 0), point(0, 400)],
  }
  // Inset by m, the free corner has sides of 400 - (2 + sqrt 2) m. It takes a square of half of that:
  // (400 - 3.4142 x 10) / 2 = 182.93 mm.
  expect(laidOn(copiesOf(lid(180, 180, 'pen', 'none'), 1), [corner], { gap: 0 }).problems).toEqual([])
  const { problems } = laidOn(copiesOf(lid(200, 200, 'pen', 'none'), 1), [corner], { gap: 0 })
  // 202 mm would need 404 + 2 e + sqrt 2 ... : grown by e all round the sides are 365.86 + 3.4142 e = 404, e = 11.17 mm
  expect(problems[0]?.limit).toMatch(
    /^the edge or bad spots of corner stand in its way; 11\.2 mm more of that film all round would do/,
  )
})

test('ticks in the waste count as part of a piece', () => {
  // 578 mm of outline fits 580 mm of film; with ticks reaching 3.8 mm out above and below it does not.
  expect(laidOn(copiesOf(lid(200, 576), 1), [roll], { gap: 2 }).problems).toEqual([])
  const { problems } = laidOn(copiesOf(lid(200, 576, 'waste'), 1), [roll], { gap: 2 })
  expect(problems[0]?.value).toBe('202 mm x 585.6 mm with its ticks')
})

test('a roll that runs out is refused with what is missing', () => {
  const { problems } = laidOn(copiesOf(lid(200, 400), 4), [{ ...roll, length: 500 }])
  // One to a column, two to a sheet of 10 + 202 + 5 + 202 + 10 = 429 mm: 858 mm, and 500 are there.
  expect(problems).toMatchObject([{ code: 'roll_too_short', field: 'stock.length', value: '500 mm' }])
  expect(problems[0]?.limit).toBe('the pieces take 858 mm of roll, 358 mm more')
})

test('sheets that run out are told with the pieces that have no room left', () => {
  const sheet: Stock = { ...roll, name: 'green', kind: 'sheet', length: 300, count: 2 }
  const { problems } = laidOn(copiesOf(lid(200, 400), 3), [sheet])
  expect(problems.map(({ code }) => code)).toEqual(['no_room_left'])
  expect(problems[0]?.limit).toBe('1 of 3 pieces have no room left on it: lid 200')
})

test('pieces of one group come from one sheet', () => {
  const sheet: Stock = { ...roll, kind: 'sheet', length: 460, count: 4 }
  const piece = (panel: Panel, group?: string): Piece => ({ panel, copy: 1, copies: 1, ...(group ? { group } : {}) })
  const pieces = [piece(lid(200, 400)), piece(lid(201, 400), 'set'), piece(lid(200, 401)), piece(lid(201, 401), 'set')]
  const { sheets, problems } = laidOn(pieces, [sheet])
  expect(problems).toEqual([])
  const homes = sheets.flatMap(({ number, pieces: own }) => own.filter(({ group }) => group).map(() => number))
  expect(homes).toHaveLength(2)
  expect(new Set(homes).size).toBe(1)
})

test('an offcut is used before new film, and stricter film leaves freedom to the other', () => {
  const offcut: Stock = { ...roll, name: 'scrap', kind: 'offcut', length: 300, width: 300, turn: 'none' }
  const free: Stock = { ...roll, turn: 'quarter' }
  expect(laidOn(copiesOf(lid(200, 100), 1), [free, offcut]).sheets[0]?.stock.name).toBe('scrap')
  // 702 mm only fits the roll, turned
  expect(laidOn(copiesOf(lid(200, 700), 1), [free, offcut]).sheets[0]?.stock.name).toBe('roll')
})

test('crosses of a scrap stand on it, apart, and clear of film and slits', () => {
  fc.assert(
    fc.property(scrap, (own) => {
      const { sheets } = laidOn(copiesOf(lid(100, 60), 3), [own], { spare: 12, gap: 8 })
      for (const { crosses, pieces } of sheets) {
        expect(crosses).toHaveLength(2)
        for (const { x, y } of crosses) {
          const arms = [point(x - 4, y - 4), point(x + 4, y - 4), point(x + 4, y + 4), point(x - 4, y + 4)]
          expect(ringsArea(intersection([arms], [own.outline ?? []]))).toBeCloseTo(64, 3)
          for (const { panel, place } of pieces) {
            const film = offsetRings(ringsOf([transform(panel.outline, place)], 0.01), 2.9)
            expect(ringsArea(intersection([arms], film))).toBeLessThan(1e-3)
          }
        }
        expect(Math.abs((crosses[0]?.y ?? 0) - (crosses[1]?.y ?? 0))).toBeGreaterThan(9.9)
      }
    }),
    { numRuns: 40 },
  )
})
