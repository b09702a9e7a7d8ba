import fc from 'fast-check'
import { expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import { intersection, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { mapPoint, transform } from '../../src/geometry/transform.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { cutLine } from '../../src/panel/cut-line.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { laySideBySide, type Piece, type Placed, type Sheet, type Stock } from '../../src/sheet/sheet.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { mm, panelOf, plainOptions, say, square, squareBands, thin, unopened } from '../templates/measures.ts'

const stock: Stock = { kind: 'roll', width: 600, length: 25000, margin: 10, gap: 5, turn: false }
const reach = { x: 5000, y: 600 }

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
const copiesOf = (panel: Panel, copies: number): Piece[] =>
  Array.from({ length: copies }, (_, i) => ({ panel, copy: i + 1, copies }))

/** What is cut and drawn of a piece, as it lies on the sheet. */
const placedPaths = ({ panel, place }: Placed) =>
  [cutLine(panel), ...panel.ticks.map((tick) => tick.path)].map((path) => transform(path, place))

function expectWellLaid(sheet: Sheet, { margin, gap }: Stock, spare: number): void {
  const boxes = sheet.pieces.map((piece) => boundsOf(placedPaths(piece)))
  const outlines = sheet.pieces.map(({ panel, place }) => ringsOf([transform(panel.outline, place)], 0.05))
  boxes.forEach((box, i) => {
    expect(box.low.x).toBeGreaterThan(margin + spare - 1e-6)
    expect(box.high.x).toBeLessThan(sheet.length - margin - spare + 1e-6)
    expect(box.low.y).toBeGreaterThan(margin - 1e-6)
    expect(box.high.y).toBeLessThan(sheet.reach - margin + 1e-6)
    for (const [k, other] of boxes.entries()) {
      if (k <= i) continue
      expect(ringsArea(intersection(outlines[i] ?? [], outlines[k] ?? []))).toBeLessThan(1e-3)
      // A later piece lies above an earlier one, or further along.
      expect(Math.max(other.low.x - box.high.x, other.low.y - box.high.y)).toBeGreaterThan(gap - 1e-6)
    }
  })
}

test('pieces keep clear of each other, of the margins and of the room for crosses, turned or not', () => {
  const some = fc.array(fc.oneof(...Object.values(squareBands)), { minLength: 1, maxLength: 5 })
  const anyStock = fc.record({
    kind: fc.constantFrom('roll' as const, 'sheet' as const),
    width: mm(300, 2500),
    length: mm(1500, 4000),
    margin: mm(0, 20),
    gap: mm(0, 20),
    turn: fc.boolean(),
  })
  fc.assert(
    fc.property(some, anyStock, mm(1000, 5000), mm(250, 3000), mm(0, 15), (measured, own, far, wide, spare) => {
      const panels = measured.map(({ template, values, facts }, i) =>
        panelOf(template.develop(values, facts, say), { ...plainOptions, name: `piece ${i}` }),
      )
      const pieces = panels.map((panel): Piece => ({ panel, copy: 1, copies: 1 }))
      const { sheets, problems } = laySideBySide(pieces, own, { x: far, y: wide }, spare)
      const refused = problems.filter(({ code }) => code === 'panel_too_big').map(({ field }) => field)
      const laid = sheets.flatMap((sheet) => sheet.pieces)
      expect([...laid.map(({ panel }) => panel.name), ...refused].sort()).toEqual(panels.map(({ name }) => name).sort())
      if (!own.turn) expect(laid.every(({ turned }) => !turned)).toBe(true)
      for (const sheet of sheets) {
        expectWellLaid(sheet, own, spare)
        expect(sheet.reach).toBe(Math.min(own.width, wide))
        if (own.kind === 'roll') expect(sheet.length).toBeLessThan(Math.min(far, own.length) + 1e-6)
        for (const box of sheet.pieces.map((piece) => boundsOf(placedPaths(piece)))) {
          expect(box.high.x).toBeLessThan(far + 1e-6)
        }
      }
    }),
    { numRuns: 80 },
  )
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
        const own: Stock = { ...stock, width, gap, turn: true }
        for (const sheet of laySideBySide(pieces, own, { x: far, y: 3000 }, 12).sheets) {
          for (const piece of sheet.pieces) {
            seen[piece.turned ? 'turned' : 'upright'] += 1
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
    { numRuns: 120 },
  )
  expect(Math.min(seen.upright, seen.turned, seen.pairs)).toBeGreaterThan(10)
})

/** Left, right, bottom and top of each piece's film on the sheet, to a micrometre. */
const edgesOf = (sheet: Sheet | undefined) =>
  (sheet?.pieces ?? []).map(({ panel, place }) => {
    const { low, high } = boundsOf([transform(panel.outline, place)])
    return [low.x, high.x, low.y, high.y].map((v) => Math.round(v * 1000) / 1000)
  })

test('pieces stack across the film, then go on in the next column', () => {
  // 102 mm high with the allowance; slits 5 mm past it ask for 6 mm between: 10..112, 118..220, 226..328, and the
  // fourth would end at 436, past 400 - 10. The next column begins at 10 + 202 + 5 = 217 mm.
  const { sheets } = laySideBySide(copiesOf(lid(200, 100), 4), { ...stock, width: 400 }, reach, 0)
  expect(edgesOf(sheets[0])).toEqual([
    [10, 212, 10, 112],
    [10, 212, 118, 220],
    [10, 212, 226, 328],
    [217, 419, 10, 112],
  ])
  expect(sheets[0]?.length).toBeCloseTo(429, 9)
})

test('the room between pieces is the gap, or 1 mm more than a slit runs past the film', () => {
  const bottoms = (gap: number, lines: 'one' | 'strip' | 'none') =>
    edgesOf(laySideBySide(copiesOf(lid(200, 100, 'pen', lines), 2), { ...stock, gap }, reach, 0).sheets[0]).map(
      ([, , bottom]) => bottom,
    )
  // The first ends at 10 + 102 = 112 mm.
  expect(bottoms(12, 'one')).toEqual([10, 124])
  expect(bottoms(2, 'one')).toEqual([10, 118])
  expect(bottoms(2, 'strip')).toEqual([10, 118])
  expect(bottoms(2, 'none')).toEqual([10, 114])
})

test('slits along the film keep the same room between columns and count at both ends', () => {
  // Turned: 702 x 202 mm on 280 mm of film, so one to a column; slits 5 mm past each end.
  // 10 + 5 + 702 = 717, 6 on 723..1425, the slit ends at 1430, and 10 after it: 1440 mm.
  const own: Stock = { ...stock, width: 300, gap: 2, turn: true }
  const { sheets } = laySideBySide(copiesOf(lid(200, 700), 2), own, reach, 0)
  expect(edgesOf(sheets[0])).toEqual([
    [15, 717, 10, 212],
    [723, 1425, 10, 212],
  ])
  expect(sheets[0]?.length).toBeCloseTo(1440, 9)
  const counts = (x: number) =>
    laySideBySide(copiesOf(lid(200, 700), 2), own, { x, y: 600 }, 0).sheets.map((sheet) => sheet.pieces.length)
  expect(counts(1440.001)).toEqual([2])
  expect(counts(1439.9)).toEqual([1, 1])
  // Without slits: 10 + 702 = 712, 2 on 714..1416, and 10: 1426 mm.
  const bare = laySideBySide(copiesOf(lid(200, 700, 'pen', 'none'), 2), own, reach, 0)
  expect(bare.sheets[0]?.length).toBeCloseTo(1426, 9)
})

test('the fit of a turned piece counts the ends of its slits along the film, that of an upright one does not', () => {
  // Turned, with room for crosses: 10 + 12 + 5 + 702 + 5 + 12 + 10 = 756 mm.
  const own: Stock = { ...stock, turn: true }
  const far = (x: number) => laySideBySide(copiesOf(lid(200, 700), 1), own, { x, y: 600 }, 12)
  expect(far(756.001).sheets[0]?.pieces[0]?.turned).toBe(true)
  expect(far(756.001).sheets[0]?.length).toBeCloseTo(756, 9)
  expect(far(755.9).problems.map(({ code }) => code)).toEqual(['panel_too_big'])
  // Upright, 580 mm of film take 580 mm of panel, whose slits hang 5 mm over the margin.
  const { sheets, problems } = laySideBySide(copiesOf(lid(200, 578), 1), own, reach, 12)
  expect(problems).toEqual([])
  expect(edgesOf(sheets[0])).toEqual([[22, 224, 10, 590]])
})

test('a column grows wider with a later piece where the sheet is long enough, and the next keeps clear of it', () => {
  // 102 x 502 fills a column: 10..112. The second, 202 wide, starts at 117; the third, 302 wide, stands on it: 117..419.
  // The fourth does not fit above and starts at 419 + 5 = 424: 424..526.
  const panels = [lid(100, 500), lid(200, 100), lid(300, 100), lid(100, 500)]
  const pieces = panels.map((panel): Piece => ({ panel, copy: 1, copies: 1 }))
  const { sheets } = laySideBySide(pieces, stock, reach, 0)
  expect(edgesOf(sheets[0])).toEqual([
    [10, 112, 10, 512],
    [117, 319, 10, 112],
    [117, 419, 118, 220],
    [424, 526, 10, 512],
  ])
  expect(sheets[0]?.length).toBeCloseTo(536, 9)
  const counts = (x: number) =>
    laySideBySide(pieces.slice(0, 3), stock, { x, y: 600 }, 0).sheets.map((sheet) => sheet.pieces.length)
  expect(counts(429.001)).toEqual([3])
  expect(counts(428.9)).toEqual([2, 1])
})

test('a second sheet begins where the machine cannot reach on', () => {
  // 102 mm each across, 6 between for the slits: 10 + 5 x 102 + 4 x 6 = 544, six would end at 652 of 590 mm.
  // 202 mm each along, 5 between: 10 + 4 x 202 + 3 x 5 + 10 = 843, five columns would be 1050. So 20 to a sheet.
  const { sheets, problems } = laySideBySide(copiesOf(lid(200, 100), 43), stock, { x: 1000, y: 600 }, 0)
  expect(problems).toEqual([])
  expect(sheets.map(({ number, pieces }) => [number, pieces.length])).toEqual([
    [1, 20],
    [2, 20],
    [3, 3],
  ])
  expect(sheets[0]?.length).toBeCloseTo(843, 9)
  expect(sheets[2]?.length).toBeCloseTo(222, 9)
  const copies = sheets.flatMap((sheet) => sheet.pieces.map((piece) => piece.copy))
  expect(copies).toEqual(Array.from({ length: 43 }, (_, i) => i + 1))
})

test('the room for crosses at the far end counts before a piece is added', () => {
  // Each fills its column. Two pieces: 10 + 12 + 202 + 5 + 202 + 12 + 10 = 453 mm.
  const lengths = (x: number) =>
    laySideBySide(copiesOf(lid(200, 400), 2), stock, { x, y: 600 }, 12).sheets.map(({ pieces }) => pieces.length)
  expect(lengths(453.001)).toEqual([2])
  expect(lengths(452.9)).toEqual([1, 1])
})

test('a sheet keeps its own length, a roll only what is used', () => {
  const pieces = copiesOf(lid(200, 100), 1)
  expect(laySideBySide(pieces, { ...stock, kind: 'sheet', length: 1200 }, reach, 12).sheets[0]?.length).toBe(1200)
  expect(laySideBySide(pieces, stock, reach, 12).sheets[0]?.length).toBeCloseTo(246, 9)
})

test('a piece is turned a quarter only where the film allows it and it would not fit upright', () => {
  const tall = copiesOf(lid(200, 700), 1)
  const turned = laySideBySide(tall, { ...stock, turn: true }, reach, 0)
  expect(turned.problems).toEqual([])
  const [piece] = turned.sheets[0]?.pieces ?? []
  if (!piece) return expect.fail('nothing was laid')
  expect(piece.turned).toBe(true)
  const { low, high } = boundsOf([transform(piece.panel.outline, piece.place)])
  expect(high.x - low.x).toBeCloseTo(702, 9)
  expect(high.y - low.y).toBeCloseTo(202, 9)
  const upright = laySideBySide(copiesOf(lid(200, 500), 1), { ...stock, turn: true }, reach, 0)
  expect(upright.sheets[0]?.pieces[0]?.turned).toBe(false)
  const refused = laySideBySide(tall, stock, reach, 0)
  expect(refused.sheets).toEqual([])
  expect(refused.problems[0]?.cure).toMatch(/fits when turned a quarter: set stock\.turn/)
})

test('a piece too big for film or machine is refused once, with how much it is too big', () => {
  // 702 mm across on 600 - 20: too big by 122. Along, 1102 on 1000 - 20 - 24: too big by 146.
  const { sheets, problems } = laySideBySide(copiesOf(lid(1100, 700), 3), stock, { x: 1000, y: 900 }, 12)
  expect(sheets).toEqual([])
  expect(problems.map(({ code, field }) => [code, field])).toEqual([['panel_too_big', 'lid 1100']])
  expect(problems[0] && formatProblem(problems[0])).toMatch(
    /1102\.0 x 702\.0 mm.*956\.0 mm along and 580\.0 mm across; too big by 146\.0 mm along and 122\.0 mm across/,
  )
})

test('ticks in the waste count as part of a piece', () => {
  // 578 mm of outline fits 580 mm of film; with ticks reaching 3.8 mm out above and below it does not.
  const across = { ...stock, gap: 2 }
  expect(laySideBySide(copiesOf(lid(200, 576), 1), across, reach, 0).problems).toEqual([])
  const { problems } = laySideBySide(copiesOf(lid(200, 576, 'waste'), 1), across, reach, 0)
  expect(problems[0]?.value).toBe('202.0 x 585.6 mm with its ticks')
})

test('a roll that runs out is refused with what is missing', () => {
  const { problems } = laySideBySide(copiesOf(lid(200, 400), 4), { ...stock, length: 500 }, reach, 0)
  // One to a column, two to a sheet of 10 + 202 + 5 + 202 + 10 = 429 mm: 858 mm, and 500 are there.
  expect(problems).toMatchObject([{ code: 'roll_too_short', field: 'stock.length', value: '500 mm' }])
  expect(problems[0]?.limit).toBe('the pieces take 858 mm of roll, 358 mm more')
})
