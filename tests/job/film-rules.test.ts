import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { ringsArea, ringsOf, union } from '../../src/geometry/polygon.ts'
import { transform } from '../../src/geometry/transform.ts'
import { loadShapes } from '../../src/job/catalogue.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()

async function planOf(text: string) {
  const { plan, problems } = await planJob(text, templates)
  if (!plan) throw new Error(problems.map(formatProblem).join('\n'))
  return plan
}
const problemsOf = async (text: string) => (await planJob(text, templates)).problems.map(formatProblem).join('\n')

const flat = (name: string, width: number, height: number, more = '') =>
  `name: ${name}, shape: flat-panel, width: ${width}, height: ${height}, allowance: 0, slit: none${more}`

describe('weed borders', () => {
  const head = (weed: string) => `layout: { weed: ${weed}, weedAt: 4 }\n`
  const at = (x: number) => `, group: set, pinned: [{ x: ${x}, y: 20 }]`

  test('run round each piece at the distance asked for, as kiss cuts', async () => {
    const { cuts } = await planOf(jobOf([flat('a', 100, 50, at(20)), flat('b', 100, 50, at(140))], head('piece')))
    const borders = cuts[0]?.film.strokes.filter(({ name }) => name.endsWith('weed border')) ?? []
    expect(borders.map(({ operation }) => operation)).toEqual(['kiss', 'kiss'])
    const { low, high } = boundsOf(borders.slice(0, 1).map(({ path }) => path))
    // 100 x 50 mm and 4 mm all round
    expect([low.y, high.y].map((v) => Math.round(v * 100) / 100)).toEqual([16, 74])
    expect(high.x - low.x).toBeCloseTo(108, 2)
  })

  test('run round what lies together of a group, and not at all unless asked for', async () => {
    const objects = [flat('a', 100, 50, at(20)), flat('b', 100, 50, at(140))]
    const borders = async (weed: string) =>
      (await planOf(jobOf(objects, head(weed)))).cuts[0]?.film.strokes.filter(({ name }) =>
        name.endsWith('weed border'),
      )
    const [one, ...more] = (await borders('group')) ?? []
    expect(more).toEqual([])
    const box = one && boundsOf([one.path])
    expect(box && [box.low.x, box.high.x].map((v) => Math.round(v * 10) / 10)).toEqual([16, 244])
    expect(await borders('none')).toEqual([])
  })
})

test('cut-off lines stand halfway between groups, from margin to margin, as through cuts or by pen', async () => {
  const objects = [
    flat('a', 100, 50, ', group: one, pinned: [{ x: 10, y: 10 }]'),
    flat('b', 100, 50, ', group: two, pinned: [{ x: 130, y: 300 }]'),
    flat('c', 100, 50, ', group: two, pinned: [{ x: 250, y: 10 }]'),
  ]
  const linesOf = async (how: string) => {
    const head = `layout: { cutOff: ${how} }\nmachine: { like: plain-roll, tools: { pen: 2, kiss: 1, through: 3 } }\n`
    const { cuts } = await planOf(jobOf(objects, head))
    return cuts[0]?.film.strokes.filter(({ name }) => name === 'cut-off line') ?? []
  }
  const [line, ...more] = await linesOf('through')
  // between 110 and 130 mm; b and c are of one group
  expect(more).toEqual([])
  expect(line?.operation).toBe('through')
  const box = line && boundsOf([line.path])
  expect(box?.low.x).toBeCloseTo(120, 9)
  expect(box && [box.low.y, box.high.y]).toEqual([10, 620])
  expect((await linesOf('pen')).map(({ operation }) => operation)).toEqual(['pen'])
  expect(await linesOf('none')).toEqual([])
})

test('a cut-off line that is asked for and not there is told, with why', async () => {
  const told = async (more: readonly string[], how: string, pen = 'pen: 2, ') => {
    const objects = more.map((group, i) => flat(`lid ${i}`, 100, 50, group))
    const head = `layout: { cutOff: ${how} }\nmachine: { like: plain-roll, tools: { ${pen}kiss: 1, through: 3 } }\n`
    const { plan, warnings } = await planJob(jobOf(objects, head), templates)
    const lines = plan?.cuts.flatMap(({ film }) => film.strokes.filter(({ name }) => name === 'cut-off line')) ?? []
    return { lines: lines.length, warnings: warnings.flatMap(({ text }) => (text.includes('cutOff') ? [text] : [])) }
  }
  const pinned = (group: string, x: number, y: number) => `, group: ${group}, pinned: [{ x: ${x}, y: ${y} }]`
  const alone = [pinned('one', 20, 20), pinned('one', 150, 20)]
  const beside = [pinned('one', 20, 20), pinned('two', 70, 300)]
  const apart = [pinned('one', 20, 20), pinned('two', 150, 20)]
  expect(await told(apart, 'through')).toEqual({ lines: 1, warnings: [] })
  expect(await told(alone, 'through')).toEqual({
    lines: 0,
    warnings: ['layout.cutOff is through, and sheet 1 has no cut-off line: all on it belongs to one.'],
  })
  expect(await told(beside, 'through')).toEqual({
    lines: 0,
    warnings: [
      'layout.cutOff is through, and sheet 1 has no cut-off line: no place across it is clear of both: one, two lie beside each other or less than 2 mm apart.',
    ],
  })
  expect((await told(apart, 'pen', '')).warnings).toEqual([
    'layout.cutOff is pen, and the machine has no pen, so no cut-off line is drawn. Take through, or none.',
  ])
  for (const objects of [alone, beside]) expect((await told(objects, 'none')).warnings).toEqual([])
})

describe('a panel bigger than the film', () => {
  const door = flat(
    'door',
    900,
    420,
    ', openings: [{ shape: round, diameter: 60, fromLeft: 600, fromBottom: 200 }, { shape: rectangular, width: 100, height: 80, radius: 5, fromLeft: 250, fromBottom: 150 }]',
  ).replace('slit: none', 'slit: one')
  const head = (tile: boolean) =>
    `stock: { width: 300 }\nlayout: { tile: ${tile}, tileOverlap: 12 }\nmachine: { like: plain-roll, tools: { pen: 2, kiss: 1 } }\n`

  test('is refused with the missing millimetres, or tiled where that is allowed', async () => {
    expect(await problemsOf(jobOf([door], head(false)))).toMatch(/^door is 900 mm x 420 mm.*let it be tiled/)
    // Either way it is longer than 40 parts of the film, which is 300 mm wide and no more than 800 mm long on this machine.
    const tooLong = flat('wall', 20000, 15000)
    expect(await problemsOf(jobOf([tooLong], head(true)))).toMatch(/Tiling was tried: .* 40 at the most/)
    const { objects } = await planOf(jobOf([door], head(true)))
    const names = objects.flatMap(({ panels }) => panels.map(({ panel }) => panel.name))
    expect(names.length).toBeGreaterThan(3)
    expect(names).toEqual(names.map((_, i) => `door part ${i + 1}`))
  })

  test('comes apart into parts that together are the panel and its laps, off hinge and openings', async () => {
    const { objects } = await planOf(jobOf([door], head(true)))
    const parts = objects.flatMap(({ panels }) => panels.map(({ panel }) => panel))
    const films = parts.map((part) => ringsOf([part.outline]))
    const sum = films.reduce((total, rings) => total + ringsArea(rings), 0)
    expect(ringsArea(films.reduce(union, []))).toBeCloseTo(900 * 420, 0)
    // each seam laps 12 mm over the whole height
    expect(sum).toBeCloseTo(900 * 420 + (parts.length - 1) * 12 * 420, 0)
    const holes = parts.map(({ holes: own }) => own.length)
    expect(holes.reduce((a, b) => a + b, 0)).toBe(2)
    for (const [i, part] of parts.entries()) {
      const { low, high } = boundsOf([part.outline])
      for (const hole of part.holes) {
        const box = boundsOf([hole])
        expect(box.low.x).toBeGreaterThan(low.x + (i > 0 ? 12 : 0))
        expect(box.high.x).toBeLessThan(high.x - (i + 1 < parts.length ? 12 : 0))
      }
      // hung from its own hinge, both ends on its edge, its slit past them
      expect(part.ticks.filter(({ role }) => role === 'hinge')).toHaveLength(2)
      expect(part.slits).toHaveLength(1)
      expect(part.hinge.from.x).toBeGreaterThan(low.x)
      expect(part.hinge.from.x).toBeLessThan(high.x)
      expect(part.notes.at(-1)).toContain(`Part ${i + 1} of ${parts.length}`)
    }
    expect(parts.some(({ hinge }) => Math.abs(hinge.from.x) < 1e-9)).toBe(true)
  })

  test('has ticks and a code at every seam that meet those of the next part', async () => {
    const { objects } = await planOf(jobOf([door], head(true)))
    const parts = objects.flatMap(({ panels }) => panels.map(({ panel }) => panel))
    for (const [i, next] of parts.entries()) {
      const part = parts[i - 1]
      if (!part) continue
      const code = `T${i}`
      for (const own of [part, next]) expect(own.labels.map(({ text }) => text)).toContain(code)
      const ticks = (own: typeof part) =>
        own.ticks.filter(({ mark }) => mark.startsWith(`seam ${code} `)).map(({ at }) => at.x)
      // a tick where the other part's edge comes: its corners
      expect(ticks(part).map((x) => Math.round(x * 1e6))).toEqual(
        Array(2).fill(Math.round(boundsOf([next.outline]).low.x * 1e6)),
      )
      expect(ticks(next).map((x) => Math.round(x * 1e6))).toEqual(
        Array(2).fill(Math.round(boundsOf([part.outline]).high.x * 1e6)),
      )
    }
  })
})

test('film of several kinds is used as it may be turned, and pins say where on which', async () => {
  const stock = `stock:
  - { name: printed scrap, kind: offcut, face: printed, width: 200, length: 200 }
  - { name: long roll, kind: roll, width: 300, length: 5 m, price: 2.5 }
`
  const pin = ', pinned: [{ stock: long roll, x: 30, y: 40, angle: 90 }]'
  const { cuts, material } = await planOf(
    jobOf([flat('tall', 100, 700), flat('tag', 90, 60), flat('held', 80, 40, pin)], stock),
  )
  const homes = cuts.flatMap(({ sheet }) =>
    sheet.pieces.map(({ panel, angle }) => [panel.name, sheet.stock.name, angle] as const),
  )
  expect(homes.find(([name]) => name === 'tall')?.[1]).toBe('long roll')
  const held = cuts.flatMap(({ sheet }) => sheet.pieces).find(({ panel }) => panel.name === 'held')
  const box = held && boundsOf([transform(held.panel.outline, held.place)])
  // 80 x 40 mm turned by a quarter
  expect(box && [box.low.x, box.high.x, box.low.y, box.high.y].map((v) => Math.round(v * 1e6) / 1e6)).toEqual([
    30, 70, 40, 120,
  ])
  const roll = cuts.filter(({ sheet }) => sheet.stock.kind === 'roll').reduce((sum, { sheet }) => sum + sheet.length, 0)
  expect(material.cost).toBeCloseTo((2.5 * roll) / 1000, 6)
})

test('a pin of a copy or a panel that is not there is refused by name', async () => {
  expect(await problemsOf(jobOf([flat('a', 100, 50, ', pinned: [{ copy: 2, x: 10, y: 10 }]')]))).toMatch(
    /^a: pinned\[0\] is copy 2 of a; there are 1 of it/,
  )
  expect(await problemsOf(jobOf([flat('a', 100, 50, ', pinned: [{ panel: lid, x: 10, y: 10 }]')]))).toMatch(
    /is "lid"; its panels are a/,
  )
})

describe('a machine that takes sheets', () => {
  const sheetOf = async (text: string) => {
    const { cuts } = await planOf(text)
    return cuts[0]?.sheet ?? expect.fail('no sheet')
  }

  test('is laid on sheets of its own size where no film is named, as many as it takes', async () => {
    const { cuts } = await planOf(jobOf([flat('a', 300, 200, ', copies: 3')], 'machine: plain-sheet\n'))
    expect(cuts.map(({ sheet }) => [sheet.stock.kind, sheet.length, sheet.width])).toEqual(
      Array(3).fill(['sheet', 420, 297]),
    )
  })

  test('has its own size for a sheet whose size is left out, and a roll stays a roll', async () => {
    const lengths = async (stock: string) => {
      const { stock: own } = await sheetOf(jobOf([flat('a', 100, 50)], `machine: plain-sheet\nstock: ${stock}\n`))
      return [own.kind, own.length, own.width, own.margin]
    }
    expect(await lengths('{ margin: 5 }')).toEqual(['sheet', 420, 297, 5])
    expect(await lengths('{ kind: sheet }')).toEqual(['sheet', 420, 297, 10])
    // one measure of it makes no roll of it, nor the last sheet there is
    expect(await lengths('{ width: 200 }')).toEqual(['sheet', 420, 200, 10])
    const { cuts } = await planOf(
      jobOf([flat('a', 300, 150, ', copies: 3')], 'machine: plain-sheet\nstock: { width: 200 }\n'),
    )
    expect(cuts).toHaveLength(3)
    expect(await lengths('{ kind: roll, width: 250 }')).toEqual(['roll', 10000, 250, 10])
    // wider than any sheet that it takes
    expect(await lengths('{ width: 610 }')).toEqual(['roll', 10000, 610, 10])
    const roll = await sheetOf(jobOf([flat('a', 100, 50)], 'stock: { margin: 5 }\n'))
    expect([roll.stock.kind, roll.width]).toEqual(['roll', 630])
  })

  test('is used as far as it reaches: 390 x 277 mm of A3, less the blade, which swings 0.25 mm past its tip', async () => {
    const fits = async (width: number, height: number) =>
      problemsOf(jobOf([flat('a', width, height)], 'machine: plain-sheet\n'))
    expect(await fits(389.5, 276.5)).toBe('')
    expect(await fits(389.7, 100)).toMatch(/leave 389\.5 mm along and 276\.5 mm across; too big by 0\.2 mm along/)
    expect(await fits(100, 276.7)).toBe('')
    expect(await fits(300, 276.7)).toMatch(/too big by 0\.2 mm across/)
  })

  test('tells a panel with a slit that is too big by what it is too big by, not by the room for crosses', async () => {
    const lid = (width: number) => `name: a, shape: flat-panel, width: ${width}, height: 100, allowance: 0`
    const told = await problemsOf(jobOf([lid(389.7)], 'machine: plain-sheet\n'))
    expect(told).toMatch(/leave 389\.5 mm along and 276\.5 mm across; too big by 0\.2 mm along,/)
    expect(await problemsOf(jobOf([lid(389.5)], 'machine: plain-sheet\n'))).toBe('')
  })

  test('takes a panel as long as it reaches with its slit: the crosses move into two corners of the sheet', async () => {
    const { cuts } = await planOf(
      jobOf(['name: a, shape: flat-panel, width: 380, height: 100'], 'machine: plain-sheet\n'),
    )
    const [{ sheet, liner } = expect.fail('no sheet')] = cuts
    const box = boundsOf(sheet.pieces.map(({ panel, place }) => transform(panel.outline, place)))
    const [a, b] = sheet.crosses
    expect(sheet.crosses).toHaveLength(2)
    for (const { x, y } of sheet.crosses) {
      // an arm of 4 mm and 3 mm of room beside the film, in height, for the panel has the whole length
      expect(Math.max(box.low.y - y, y - box.high.y)).toBeGreaterThan(7)
      expect(x > 15 + 4 && x < 405 - 4).toBe(true)
    }
    // turned by half a turn they do not fall on one another
    expect(Math.abs((a?.y ?? 0) + (b?.y ?? 0) - 297)).toBeGreaterThan(10)
    expect(liner.strokes.map(({ name }) => name)).toEqual([
      ...['lining-up cross 1', 'lining-up cross 1', 'lining-up cross 2', 'lining-up cross 2'],
      'a: slit 1',
    ])
  })

  test('keeps each of its margins where it is, on the film side and once the sheet is turned over', async () => {
    const margins = '{ left: 5 mm, right: 40 mm, bottom: 20 mm, top: 3 mm }'
    const head = `machine: { like: plain-sheet, margins: ${margins} }\nstock: { kind: sheet, margin: 0 }\n`
    const objects = ['name: a, shape: flat-panel, width: 100, height: 100, copies: 4, hinge: level']
    const { cuts } = await planOf(jobOf(objects, head))
    const all = (of: 'film' | 'liner') => boundsOf(cuts.flatMap((cut) => cut[of].strokes.map(({ path }) => path)))
    for (const { low, high } of [all('film'), all('liner')]) {
      expect(low.x).toBeGreaterThanOrEqual(5)
      expect(low.y).toBeGreaterThanOrEqual(20)
      expect(high.x).toBeLessThanOrEqual(420 - 40)
      expect(high.y).toBeLessThanOrEqual(297 - 3)
    }
    // a sheet that is not turned over goes as far as the left margin lets it
    const plain = await planOf(jobOf([flat('b', 370, 100)], head))
    expect(boundsOf(plain.cuts.flatMap((cut) => cut.film.strokes.map(({ path }) => path))).low.x).toBeLessThan(6)
  })
})

test('a roll is cut as far as the machine reaches, and its margin lies past that', async () => {
  const { cuts } = await planOf(jobOf([flat('a', 790, 100)], 'machine: plain-roll\n'))
  const { low, high } = boundsOf(cuts.flatMap((cut) => cut.film.strokes.map(({ path }) => path)))
  expect([low.x, high.x, cuts[0]?.sheet.length].map((v) => Math.round(v ?? 0))).toEqual([10, 800, 810])
})

test('a weed border stays on the film and within reach, however far from the film it runs', async () => {
  const head =
    'machine: { like: plain-roll, margins: { left: 30 mm } }\nlayout: { weed: piece, weedAt: 15 }\nstock: { margin: 5 }\n'
  const { cuts } = await planOf(jobOf([flat('a', 100, 50)], head))
  const { low } = boundsOf(cuts.flatMap((cut) => cut.film.strokes.map(({ path }) => path)))
  expect(low.x).toBeGreaterThanOrEqual(30 - 1e-6)
  expect(low.y).toBeGreaterThanOrEqual(1 - 0.1)
})
