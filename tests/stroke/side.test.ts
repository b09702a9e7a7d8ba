import { expect, test } from 'vitest'
import { pathLength } from '../../src/geometry/length.ts'
import { endOf, lineTo, openPath, type Path, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { type Cutting, sideOf } from '../../src/stroke/side.ts'
import type { Operation, Stroke } from '../../src/stroke/stroke.ts'

const plain: Cutting = {
  film: 'sheet',
  tools: {},
  blade: { offset: 0, leastTurn: 0.2, compensate: 'file', overcut: 2 },
  bridges: undefined,
}
const stroke = (operation: Operation, path: Path, name = `paint tin lid: ${operation}`): Stroke => ({
  operation,
  path,
  name,
})
const square = rectangle(point(10, 10), point(110, 110))
const lengths = (strokes: readonly Stroke[]) => strokes.map(({ path }) => Math.round(pathLength(path) * 1e6) / 1e6)

test('closed cuts run on past their start, pen lines and open cuts do not', () => {
  const line = openPath(point(0, 0), lineTo(point(0, 30)))
  for (const [operation, path, length] of [
    ['kiss', square, 402],
    ['through', square, 402],
    ['pen', square, 400],
    ['kiss', line, 30],
    ['slit', line, 30],
  ] as const) {
    const { strokes, tip } = sideOf([stroke(operation, path)], plain, 0)
    expect(lengths(tip)).toEqual([length])
    expect(tip.map(({ name, operation: own }) => [name, own])).toEqual([[`paint tin lid: ${operation}`, operation]])
    // What was asked for is not what the tip does.
    expect(lengths(strokes)).toEqual([path.closed ? 400 : 30])
    expect(strokes[0]?.path.closed).toBe(path.closed)
  }
})

test('bridges hold what is cut through, and nothing else', () => {
  const bridges = { spacing: 100, width: 2 }
  const { tip } = sideOf([stroke('kiss', square), stroke('through', square)], { ...plain, bridges }, 0)
  expect(tip.map(({ operation }) => operation)).toEqual(['kiss', 'through', 'through', 'through', 'through'])
  expect(lengths(tip)[0]).toBe(402)
  // Four bridges of 2 mm, and no overcut, which would cut into one.
  expect(lengths(tip.slice(1)).reduce((a, b) => a + b)).toBeCloseTo(392, 5)
  expect(new Set(tip.slice(1).map(({ name }) => name))).toEqual(new Set(['paint tin lid: through']))
})

test('a tool goes over its strokes as often as is said, the others once', () => {
  const tools = { kiss: { passes: 3 }, through: {} }
  const { tip, strokes } = sideOf([stroke('kiss', square), stroke('through', square)], { ...plain, tools }, 0)
  expect(tip.map(({ operation }) => operation)).toEqual(['kiss', 'kiss', 'kiss', 'through'])
  expect(strokes).toHaveLength(2)
})

test('a roll is not drawn back by more than 400 mm, a sheet by any length', () => {
  // The shortest way from 0,0 leads along the bottom and ends at 0,900: 600 + 1082 mm, against 900 + 906 + 490 mm.
  const tick = (x: number, y: number) => stroke('pen', openPath(point(x, y), lineTo(point(x + 10, y))), `${x}`)
  const ticks = [tick(600, 0), tick(0, 900), tick(100, 0)]
  const names = (film: 'roll' | 'sheet') => sideOf(ticks, { ...plain, film }, 0).strokes.map(({ name }) => name)
  expect(names('sheet')).toEqual(['100', '600', '0'])
  expect(names('roll').at(-1)).toBe('600')
})

test('nothing is moved for a blade without offset, nor for a machine that allows for it itself', () => {
  const strokes = [stroke('pen', square), stroke('kiss', square)]
  const none = sideOf(strokes, plain, 100)
  expect(none.driven).toEqual(none.tip)
  const blade = { ...plain.blade, offset: 0.5, compensate: 'machine' as const }
  const own = sideOf(strokes, { ...plain, blade }, 100)
  expect(own.driven).toEqual(own.tip)
})

test('a trailing blade is led in on scrap before its first cut alone, and a pen never', () => {
  const blade = { ...plain.blade, offset: 0.5 }
  const cuts = [stroke('pen', square), stroke('kiss', square, 'lid'), stroke('kiss', square, 'pail')]
  const { driven, tip } = sideOf(cuts, { ...plain, blade }, 100)
  expect(driven.map(({ leadIn, operation }) => [leadIn, operation])).toEqual([
    [undefined, 'pen'],
    [true, 'kiss'],
    [undefined, 'kiss'],
    [undefined, 'kiss'],
  ])
  expect(driven[0]).toEqual(tip[0])
  expect(driven[1]?.name).toBe('lead-in on scrap')
  // It stays in the corner, and the axis ends half a millimetre past the end of each cut.
  for (const { x, y } of driven[1]?.path.segments.map(({ to }) => to) ?? []) expect(Math.max(x, y)).toBeLessThan(50)
  for (const [i, cut] of tip.slice(1).entries()) {
    const end = endOf(driven[i + 2]?.path ?? expect.fail('a cut is not driven'))
    expect(Math.hypot(end.x - endOf(cut.path).x, end.y - endOf(cut.path).y)).toBeCloseTo(0.5, 6)
  }
})

test('an edge too narrow for it has no lead-in', () => {
  const blade = { ...plain.blade, offset: 0.5 }
  const leads = (scrap: number) =>
    sideOf([stroke('kiss', square)], { ...plain, blade }, scrap).driven.filter(({ leadIn }) => leadIn)
  expect(leads(0)).toEqual([])
  const [lead] = leads(100)
  const ends = lead ? [lead.path.start, ...lead.path.segments.map(({ to }) => to)] : []
  expect(ends).toHaveLength(3)
  for (const { x, y } of ends) expect(Math.min(x, y)).toBeGreaterThan(0)
})
