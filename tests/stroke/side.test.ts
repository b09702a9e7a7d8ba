import { expect, test } from 'vitest'
import { flatten } from '../../src/geometry/flatten.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { meetings } from '../../src/geometry/meet.ts'
import { endOf, lineTo, openPath, type Path, rectangle } from '../../src/geometry/path.ts'
import { add, direction, point, scaled } from '../../src/geometry/point.ts'
import { difference } from '../../src/geometry/polygon.ts'
import type { Scrap } from '../../src/sheet/scrap.ts'
import { type Cutting, type DrivenStroke, sideOf } from '../../src/stroke/side.ts'
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
/** A sheet of film with a margin along its edge, and nothing on it. */
const scrapOf = (size: number, margin: number): Scrap => {
  const ring = (low: number, high: number) => flatten(rectangle(point(low, low), point(high, high)))
  const film = [ring(0, size)]
  return { film, margin: difference(film, [ring(margin, size - margin)]), taken: [], lines: [] }
}
const wide = scrapOf(300, 100)
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
    const { strokes, tip } = sideOf([stroke(operation, path)], plain, wide)
    expect(lengths(tip)).toEqual([length])
    expect(tip.map(({ name, operation: own }) => [name, own])).toEqual([[`paint tin lid: ${operation}`, operation]])
    // What was asked for is not what the tip does.
    expect(lengths(strokes)).toEqual([path.closed ? 400 : 30])
    expect(strokes[0]?.path.closed).toBe(path.closed)
  }
})

test('bridges hold what is cut through, and nothing else', () => {
  const bridges = { spacing: 100, width: 2 }
  const { tip } = sideOf([stroke('kiss', square), stroke('through', square)], { ...plain, bridges }, wide)
  expect(tip.map(({ operation }) => operation)).toEqual(['kiss', 'through', 'through', 'through', 'through'])
  expect(lengths(tip)[0]).toBe(402)
  // Four bridges of 2 mm, and no overcut, which would cut into one.
  expect(lengths(tip.slice(1)).reduce((a, b) => a + b)).toBeCloseTo(392, 5)
  expect(new Set(tip.slice(1).map(({ name }) => name))).toEqual(new Set(['paint tin lid: through']))
})

test('a tool goes over its strokes as often as is said, the others once', () => {
  const tools = { kiss: { number: 1, passes: 3 }, through: { number: 2 } }
  const { tip, strokes } = sideOf([stroke('kiss', square), stroke('through', square)], { ...plain, tools }, wide)
  expect(tip.map(({ operation }) => operation)).toEqual(['kiss', 'kiss', 'kiss', 'through'])
  expect(strokes).toHaveLength(2)
})

test('a roll is not drawn back by more than 400 mm, a sheet by any length', () => {
  // The shortest way from 0,0 leads along the bottom and ends at 0,900: 600 + 1082 mm, against 900 + 906 + 490 mm.
  const tick = (x: number, y: number) => stroke('pen', openPath(point(x, y), lineTo(point(x + 10, y))), `${x}`)
  const ticks = [tick(600, 0), tick(0, 900), tick(100, 0)]
  const names = (film: 'roll' | 'sheet') => sideOf(ticks, { ...plain, film }, wide).strokes.map(({ name }) => name)
  expect(names('sheet')).toEqual(['100', '600', '0'])
  expect(names('roll').at(-1)).toBe('600')
})

test('nothing is moved for a blade without offset, nor for a machine that allows for it itself', () => {
  const strokes = [stroke('pen', square), stroke('kiss', square)]
  const none = sideOf(strokes, plain, wide)
  expect(none.driven).toEqual(none.tip)
  const blade = { ...plain.blade, offset: 0.5, compensate: 'machine' as const }
  const own = sideOf(strokes, { ...plain, blade }, wide)
  expect(own.driven).toEqual(own.tip)
})

test('a trailing blade is led in on scrap before its first cut alone, and a pen never', () => {
  const blade = { ...plain.blade, offset: 0.5 }
  const cuts = [stroke('pen', square), stroke('kiss', square, 'lid'), stroke('kiss', square, 'pail')]
  const { driven, tip } = sideOf(cuts, { ...plain, blade }, wide)
  expect(driven.map(({ leadIn, operation }) => [leadIn, operation])).toEqual([
    [undefined, 'pen'],
    [true, 'kiss'],
    [undefined, 'kiss'],
    [undefined, 'kiss'],
  ])
  expect(driven[0]).toEqual(tip[0])
  expect(driven[1]?.name).toBe('lead-in on scrap')
  // It stays beside the square, and the axis ends half a millimetre past the end of each cut.
  for (const p of driven[1]?.path.segments.map(({ to }) => to) ?? []) expect(pointInside(square, p)).toBe(false)
  for (const [i, cut] of tip.slice(1).entries()) {
    const end = endOf(driven[i + 2]?.path ?? expect.fail('a cut is not driven'))
    expect(Math.hypot(end.x - endOf(cut.path).x, end.y - endOf(cut.path).y)).toBeCloseTo(0.5, 6)
  }
})

const ends = (strokes: readonly DrivenStroke[]) =>
  strokes.flatMap(({ path }) => [path.start, ...path.segments.map(({ to }) => to)])

test('a margin of ten offsets holds a lead-in, whatever the way of the first cut', () => {
  for (const [offset, margin] of [
    [1, 10],
    [0.8, 10],
    [0.5, 6],
    [0.25, 3.5],
  ] as const) {
    for (let angle = 0; angle < 360; angle += 15) {
      const blade = { ...plain.blade, offset }
      const way = scaled(direction((angle * Math.PI) / 180), 40)
      const cut = stroke('kiss', openPath(point(150, 150), lineTo(add(point(150, 150), way))))
      const leads = sideOf([cut], { ...plain, blade }, scrapOf(300, margin)).driven.filter(({ leadIn }) => leadIn)
      expect(leads).toHaveLength(1)
      for (const { x, y } of ends(leads)) {
        expect(Math.min(x, y, 300 - x, 300 - y)).toBeGreaterThan(0.499)
        expect(Math.min(x, y, 300 - x, 300 - y)).toBeLessThan(margin - 0.5)
      }
    }
  }
})

test('where the margin is too narrow it lies in the waste, and where all is taken there is none', () => {
  const cutting = { ...plain, blade: { ...plain.blade, offset: 0.5 } }
  const leads = (scrap: Scrap) => sideOf([stroke('kiss', square)], cutting, scrap).driven.filter(({ leadIn }) => leadIn)
  const narrow = scrapOf(300, 2)
  const [lead] = leads(narrow)
  if (!lead) expect.fail('no lead-in was laid')
  for (const p of ends([lead])) {
    expect(pointInside(square, p)).toBe(false)
    expect(Math.min(p.x, p.y)).toBeGreaterThan(0.499)
  }
  expect(leads({ ...narrow, taken: [narrow.film] })).toEqual([])
  expect(leads({ ...narrow, film: [], margin: [] })).toEqual([])
})

test('a lead-in crosses nothing else that is cut on the scrap, nor another lead-in', () => {
  const cutting = {
    ...plain,
    blade: { ...plain.blade, offset: 1 },
    tools: { kiss: { number: 1 }, through: { number: 3 } },
  }
  // Cuts across the whole sheet leave strips of 9.5 mm between them.
  const bars = Array.from({ length: 30 }, (_, i) => openPath(point(0, 10 * i + 4), lineTo(point(300, 10 * i + 4))))
  const all = [...bars.map((path) => stroke('kiss', path, 'bar')), stroke('through', bars[3] as Path, 'last')]
  const { driven } = sideOf(all, cutting, scrapOf(300, 4))
  const leads = driven.filter(({ leadIn }) => leadIn)
  expect(leads.map(({ operation }) => operation)).toEqual(['kiss', 'through'])
  for (const lead of leads) {
    for (const { path } of [...bars.map((own) => ({ path: own })), ...leads.filter((other) => other !== lead)]) {
      expect(meetings(lead.path, path)).toEqual([])
    }
  }
})

test('after another tool the blade is brought round anew, and after more of the same tool it is not', () => {
  const blade = { ...plain.blade, offset: 0.5 }
  const leads = (through: number) => {
    const tools = { pen: { number: 2 }, kiss: { number: 1 }, through: { number: through } }
    const cuts = [stroke('pen', square), stroke('kiss', square), stroke('through', square)]
    return sideOf(cuts, { ...plain, blade, tools }, wide).driven.map(({ leadIn, operation }) =>
      leadIn ? `${operation} lead-in` : operation,
    )
  }
  expect(leads(3)).toEqual(['pen', 'kiss lead-in', 'kiss', 'through lead-in', 'through'])
  expect(leads(1)).toEqual(['pen', 'kiss lead-in', 'kiss', 'through'])
})

test('on a roll of five metres the film goes back by no more than 400 mm, lead-ins and all', () => {
  const tools = { pen: { number: 2 }, kiss: { number: 1 }, through: { number: 3 } }
  const cutting = { ...plain, film: 'roll' as const, tools, blade: { ...plain.blade, offset: 0.25, overcut: 0.3 } }
  // Two rows of lids, 300 mm along each; the margin at the top is out of reach.
  const lids = Array.from({ length: 30 }, (_, i) => {
    const low = point(20 + Math.floor(i / 2) * 320, i % 2 === 0 ? 10 : 310)
    return {
      name: `lid ${i + 1}`,
      outline: rectangle(low, point(low.x + 300, low.y + 280)),
      at: add(low, point(150, 140)),
    }
  })
  const asked = lids.flatMap(({ name, outline, at }) => [
    stroke('pen', openPath(at, lineTo(add(at, point(20, 0)))), `${name}: label`),
    stroke('kiss', outline, `${name}: outline`),
    stroke('through', rectangle(add(at, point(-9, -9)), add(at, point(9, 9))), `${name}: opening`),
  ])
  const film = [flatten(rectangle(point(0, 0), point(4820, 600)))]
  const margin = difference(film, [flatten(rectangle(point(10, 10), point(4810, 600)))])
  const taken = lids.map(({ outline }) => [flatten(outline)])
  const { driven } = sideOf(asked, cutting, { film, margin, taken, lines: [] })
  let [reached, back] = [0, 0]
  for (const { x } of ends(driven)) {
    reached = Math.max(reached, x)
    back = Math.max(back, reached - x)
  }
  expect(back).toBeLessThan(400)
  expect(driven.filter(({ leadIn }) => leadIn)).toHaveLength(30)
  const operations = driven.map(({ operation }) => operation).filter((own, i, all) => own !== all[i - 1])
  expect(operations).toHaveLength(45)
})
