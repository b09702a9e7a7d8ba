import fc from 'fast-check'
import { expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { intersection, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { transform } from '../../src/geometry/transform.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { cutLine } from '../../src/panel/cut-line.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { laySideBySide, type Piece, type Placed, type Sheet, type Stock } from '../../src/sheet/sheet.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { mm, panelOf, plainOptions, say, shapes, square, thin } from '../templates/measures.ts'

const stock: Stock = { kind: 'roll', width: 600, length: 25000, margin: 10, gap: 5, turn: false }
const reach = { x: 5000, y: 600 }

const lid = (width: number, height: number, make: 'pen' | 'waste' = 'pen'): Panel =>
  panelOf(flatPanel.develop({ width, height, radius: square, openings: [] }, thin, say), {
    ...plainOptions,
    name: `lid ${width}`,
    ticks: { wanted: make, hasPen: true, cut: 'kiss' },
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
    expect(box.high.y).toBeLessThan(sheet.width - margin + 1e-6)
    for (const [k, other] of boxes.entries()) {
      if (k <= i) continue
      expect(ringsArea(intersection(outlines[i] ?? [], outlines[k] ?? []))).toBeLessThan(1e-3)
      expect(other.low.x - box.high.x).toBeGreaterThan(gap - 1e-6)
    }
  })
}

test('pieces keep clear of each other, of the margins and of the room for crosses, turned or not', () => {
  const some = fc.array(fc.oneof(...Object.values(shapes)), { minLength: 1, maxLength: 5 })
  const anyStock = fc.record({
    kind: fc.constantFrom('roll' as const, 'sheet' as const),
    width: mm(300, 2500),
    length: mm(1500, 4000),
    margin: mm(0, 20),
    gap: mm(0, 20),
    turn: fc.boolean(),
  })
  fc.assert(
    fc.property(some, anyStock, mm(1000, 5000), mm(0, 15), (measured, own, far, spare) => {
      const panels = measured.map(({ template, values, facts }, i) =>
        panelOf(template.develop(values, facts, say), { ...plainOptions, name: `piece ${i}` }),
      )
      const pieces = panels.map((panel): Piece => ({ panel, copy: 1, copies: 1 }))
      const { sheets, problems } = laySideBySide(pieces, own, { x: far, y: 3000 }, spare)
      const refused = problems.filter(({ code }) => code === 'panel_too_big').map(({ field }) => field)
      const laid = sheets.flatMap((sheet) => sheet.pieces)
      expect([...laid.map(({ panel }) => panel.name), ...refused].sort()).toEqual(panels.map(({ name }) => name).sort())
      if (!own.turn) expect(laid.every(({ turned }) => !turned)).toBe(true)
      for (const sheet of sheets) {
        expectWellLaid(sheet, own, spare)
        if (own.kind === 'roll') expect(sheet.length).toBeLessThan(Math.min(far, own.length) + 1e-6)
        for (const box of sheet.pieces.map((piece) => boundsOf(placedPaths(piece)))) {
          expect(box.high.x).toBeLessThan(far + 1e-6)
        }
      }
    }),
    { numRuns: 80 },
  )
})

test('a second sheet begins where the machine cannot reach on', () => {
  // 202 mm each with their allowance, 5 between: 10 + 4 x 202 + 3 x 5 + 10 = 843, five would be 1050.
  const { sheets, problems } = laySideBySide(copiesOf(lid(200, 100), 9), stock, { x: 1000, y: 600 }, 0)
  expect(problems).toEqual([])
  expect(sheets.map(({ number, pieces }) => [number, pieces.length])).toEqual([
    [1, 4],
    [2, 4],
    [3, 1],
  ])
  expect(sheets[0]?.length).toBeCloseTo(843, 9)
  expect(sheets[2]?.length).toBeCloseTo(222, 9)
  expect(sheets.flatMap((sheet) => sheet.pieces.map((piece) => piece.copy))).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9])
})

test('the room for crosses at the far end counts before a piece is added', () => {
  // Two pieces: 10 + 12 + 202 + 5 + 202 + 12 + 10 = 453 mm.
  const lengths = (x: number) =>
    laySideBySide(copiesOf(lid(200, 100), 2), stock, { x, y: 600 }, 12).sheets.map(({ pieces }) => pieces.length)
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
  const { problems } = laySideBySide(copiesOf(lid(200, 100), 4), { ...stock, length: 500 }, reach, 0)
  // Two to a sheet of 10 + 202 + 5 + 202 + 10 = 429 mm: 858 mm, and 500 are there.
  expect(problems).toMatchObject([{ code: 'roll_too_short', field: 'stock.length', value: '500 mm' }])
  expect(problems[0]?.limit).toBe('the pieces take 858 mm of roll, 358 mm more')
})
