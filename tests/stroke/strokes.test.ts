import fc from 'fast-check'
import { expect, test } from 'vitest'
import { endOf, type Path } from '../../src/geometry/path.ts'
import { cross, distance, type Point, point, subtract, unit } from '../../src/geometry/point.ts'
import { mapPoint } from '../../src/geometry/transform.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { laySideBySide, type Piece, type Sheet, type Stock } from '../../src/sheet/sheet.ts'
import { operations } from '../../src/stroke/stroke.ts'
import { crossSpace, filmStrokes, isLiningUp, linerStrokes } from '../../src/stroke/strokes.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { mm, panelOf, plainOptions, say, square, squareBands, thin } from '../templates/measures.ts'

const stock: Stock = { kind: 'roll', width: 2600, length: 50000, margin: 10, gap: 12, turn: true }
const choice = { cut: 'kiss', hasPen: true, margin: 10, crosses: true } as const

const door = {
  shape: 'rectangular' as const,
  width: 40,
  height: 30,
  radius: 3,
  fromLeft: 20,
  fromBottom: 20,
}

const lid = (make: 'pen' | 'waste' = 'pen', lines: 'one' | 'strip' | 'none' = 'one'): Panel =>
  panelOf(flatPanel.develop({ width: 320, height: 180, radius: square, openings: [door], points: [] }, thin, say), {
    ...plainOptions,
    name: 'lid',
    ticks: { wanted: make, hasPen: true, cut: 'kiss' },
    slit: { lines, strip: 30 },
  })

function laid(panels: readonly Panel[], own: Stock = stock): Sheet {
  const pieces = panels.map((panel): Piece => ({ panel, copy: 1, copies: 1 }))
  const { sheets, problems } = laySideBySide(pieces, own, { x: 50000, y: 3000 }, crossSpace)
  expect(problems).toEqual([])
  return sheets[0] ?? expect.fail('nothing was laid')
}

/** A place seen from the other side, the sheet turned like a page; worked out here, not by the code under test. */
const over = (sheet: Sheet, p: Point) => point(sheet.length - p.x, p.y)
const ends = (path: Path): [Point, Point] => [path.start, endOf(path)]
const isCross = ({ name }: { readonly name: string }) => name.startsWith('lining-up cross')

test('the pen goes first, then kiss cuts, then through cuts; within a piece openings before the outline', () => {
  for (const make of ['pen', 'waste'] as const) {
    for (const cut of ['kiss', 'through'] as const) {
      const strokes = filmStrokes(laid([lid(make), lid(make)]), { ...choice, cut })
      const ranks = strokes.map(({ operation }) => operations.indexOf(operation))
      expect(ranks).toEqual([...ranks].sort((a, b) => a - b))
      const cuts = strokes.filter(({ name }) => /opening|outline/.test(name)).map(({ name }) => name)
      expect(cuts).toEqual(['lid: opening', 'lid: outline', 'lid: opening', 'lid: outline'])
      for (const { operation, name } of strokes) if (/opening|outline/.test(name)) expect(operation).toBe(cut)
    }
  }
})

test('the outline is the last cut of each piece', () => {
  const names = filmStrokes(laid([lid('waste')]), { ...choice, crosses: false, hasPen: false }).map(({ name }) => name)
  expect(names).toEqual(['lid: hinge tick', 'lid: hinge tick', 'lid: opening', 'lid: outline'])
})

test('no slit is on the film side, where it would cut the panel in two', () => {
  const sheet = laid([lid('pen', 'strip'), lid('waste', 'one')])
  for (const { operation, name } of filmStrokes(sheet, choice)) {
    expect(operation).not.toBe('slit')
    expect(name).not.toMatch(/slit/)
  }
  expect(new Set(linerStrokes(sheet, 10).map(({ operation }) => operation))).toEqual(new Set(['slit']))
})

test('without a pen nothing is drawn, and without a slit nothing is cut from behind', () => {
  const bare = filmStrokes(laid([lid()]), { ...choice, hasPen: false })
  expect(bare.filter(({ operation }) => operation === 'pen')).toEqual([])
  expect(filmStrokes(laid([lid()]), choice).some(({ name }) => name === 'lid: label')).toBe(true)
  expect(linerStrokes(laid([lid('pen', 'none')]), 10)).toEqual([])
})

test('copies are told apart by number', () => {
  const pieces = [1, 2].map((copy): Piece => ({ panel: lid(), copy, copies: 2 }))
  const { sheets } = laySideBySide(pieces, stock, { x: 5000, y: 3000 }, 0)
  const [sheet] = sheets
  const names = sheet ? filmStrokes(sheet, choice).map(({ name }) => name) : []
  expect(names).toContain('lid 1: outline')
  expect(names).toContain('lid 2: outline')
})

test('turned over, crosses fall on crosses and every slit on its hinge ticks', () => {
  fc.assert(
    fc.property(fc.array(fc.oneof(...Object.values(squareBands)), { minLength: 1, maxLength: 3 }), (measured) => {
      const sheet = laid(
        measured.map(({ template, values, facts }, i) =>
          panelOf(template.develop(values, facts, say), { ...plainOptions, name: `piece ${i}` }),
        ),
      )
      const film = filmStrokes(sheet, choice)
      const liner = linerStrokes(sheet, 10)
      const filmCrosses = film.filter(isCross)
      const linerCrosses = liner.filter(isCross)
      expect(filmCrosses).toHaveLength(4)
      expect(liner.slice(0, 4)).toEqual(linerCrosses)
      linerCrosses.forEach(({ path }, i) => {
        const own = filmCrosses[i] ?? expect.fail('a cross is missing')
        const [a, b] = ends(path).map((p) => over(sheet, p)) as [Point, Point]
        const [c, d] = ends(own.path)
        expect(Math.max(distance(a, c), distance(b, d))).toBeLessThan(1e-9)
      })
      const slits = liner.slice(4)
      expect(slits).toHaveLength(sheet.pieces.length)
      slits.forEach(({ path }, i) => {
        const piece = sheet.pieces[i] ?? expect.fail('a piece is missing')
        const [a, b] = ends(path).map((p) => over(sheet, p)) as [Point, Point]
        const way = unit(subtract(b, a))
        for (const hinge of [piece.panel.hinge.from, piece.panel.hinge.to]) {
          const at = mapPoint(piece.place, hinge)
          expect(Math.abs(cross(way, subtract(at, a)))).toBeLessThan(1e-9)
          // Between the slit's ends, not on its line far away.
          expect(distance(a, at) + distance(at, b)).toBeCloseTo(distance(a, b), 6)
        }
      })
    }),
    { numRuns: 60 },
  )
})

test('the two crosses stand at different heights, so that a sheet laid wrong way up shows', () => {
  const sheet = laid([lid()])
  const [first, , second] = filmStrokes(sheet, { ...choice, hasPen: false }).filter(isCross)
  expect(first?.operation).toBe('through')
  expect(first && second && Math.abs(first.path.start.y - second.path.start.y)).toBeGreaterThan(20)
})

test('every slit stays 3 mm along the film from the crosses, turned or upright', () => {
  const seen = { turned: 0, upright: 0 }
  fc.assert(
    fc.property(
      fc.array(fc.oneof(...Object.values(squareBands)), { minLength: 1, maxLength: 4 }),
      fc.constantFrom('one' as const, 'strip' as const),
      mm(300, 1200),
      mm(500, 5000),
      mm(0, 20),
      (measured, lines, width, far, margin) => {
        const pieces = measured.map(({ template, values, facts }, i): Piece => {
          const options = { ...plainOptions, name: `piece ${i}`, slit: { lines, strip: 12 } }
          return { panel: panelOf(template.develop(values, facts, say), options), copy: 1, copies: 1 }
        })
        const own = { ...stock, width, margin, gap: 2 }
        for (const sheet of laySideBySide(pieces, own, { x: far, y: 3000 }, crossSpace).sheets) {
          for (const { turned } of sheet.pieces) seen[turned ? 'turned' : 'upright'] += 1
          const liner = linerStrokes(sheet, margin)
          const along = (some: typeof liner) => some.flatMap(({ path }) => ends(path).map(({ x }) => x))
          const crosses = along(liner.filter(isCross))
          const slits = along(liner.filter((stroke) => !isCross(stroke)))
          expect(slits).toHaveLength(sheet.pieces.length * (lines === 'one' ? 2 : 4))
          // Crosses take margin + 1 .. margin + 9 mm at both ends, slits may begin at margin + 12.
          const half = sheet.length / 2
          const left = Math.max(...crosses.filter((x) => x < half))
          const right = Math.min(...crosses.filter((x) => x > half))
          expect(left).toBeCloseTo(margin + 9, 6)
          expect(right).toBeCloseTo(sheet.length - margin - 9, 6)
          expect(Math.min(...slits) - left).toBeGreaterThan(3 - 1e-6)
          expect(right - Math.max(...slits)).toBeGreaterThan(3 - 1e-6)
        }
      },
    ),
    { numRuns: 100 },
  )
  expect(Math.min(seen.turned, seen.upright)).toBeGreaterThan(10)
})

test('a turned piece ends its slit where the room for the crosses begins', () => {
  // 10 + 12 mm, then 5 mm of slit, 182 mm of panel, 5 mm of slit; 10 + 12 mm after it: 236 mm of film.
  const sheet = laid([lid()], { ...stock, width: 400, length: 300 })
  expect(sheet.pieces[0]?.turned).toBe(true)
  expect(sheet.length).toBeCloseTo(236, 9)
  const [slit] = linerStrokes(sheet, 10).filter((stroke) => !isCross(stroke))
  const across = slit ? ends(slit.path).map(({ x }) => x) : []
  expect(Math.min(...across)).toBeCloseTo(22, 9)
  expect(Math.max(...across)).toBeCloseTo(214, 9)
})

test('strokes of the crosses are told from those of pieces, whatever these are called', () => {
  const names = ['slit lamp', 'lining-up cross 1', 'lining-up cross 1: slit 1', 'cross']
  const sheet = laid(names.map((name) => ({ ...lid('waste', 'strip'), name })))
  const liner = linerStrokes(sheet, 10)
  expect(liner.map(isLiningUp)).toEqual([...Array(4).fill(true), ...Array(8).fill(false)])
  const film = filmStrokes(sheet, choice)
  // Four strokes of two crosses, and of each lid two ticks, an opening and an outline, and its label.
  expect(film.filter(isLiningUp).map(({ operation }) => operation)).toEqual(Array(4).fill('through'))
  expect(film.filter(({ name }) => name.endsWith(': outline')).some(isLiningUp)).toBe(false)
})

test('a slit ends at the edge of the film where 5 mm past the panel would leave it', () => {
  const sheet = laid([lid()], { ...stock, width: 186, margin: 2 })
  const [, , , , slit] = linerStrokes(sheet, 2)
  if (!slit) return expect.fail('no slit')
  // The panel is 182 mm and begins at 2 mm.
  expect(slit.path.start.y).toBeCloseTo(0, 9)
  expect(endOf(slit.path).y).toBeCloseTo(186, 9)
})
