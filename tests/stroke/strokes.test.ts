import fc from 'fast-check'
import { expect, test } from 'vitest'
import { endOf, type Path } from '../../src/geometry/path.ts'
import { cross, distance, type Point, point, subtract, unit } from '../../src/geometry/point.ts'
import { mapPoint } from '../../src/geometry/transform.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { crossSpace } from '../../src/sheet/cross-places.ts'
import type { Piece, Sheet } from '../../src/sheet/sheet.ts'
import type { Stock } from '../../src/sheet/stock.ts'
import { operations } from '../../src/stroke/stroke.ts'
import { filmStrokes, isLiningUp, linerStrokes } from '../../src/stroke/strokes.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { laidOn, pinned, roll } from '../sheet/laid.ts'
import { mm, panelOf, plainOptions, say, square, squareBands, thin } from '../templates/measures.ts'

const stock: Stock = { ...roll, width: 2600, length: 50000, turn: 'quarter' }
const wide = { gap: 12, reach: { x: 50000, y: 3000 }, spare: crossSpace }
const choice = { cut: 'kiss', hasPen: true } as const

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
  const { sheets, problems } = laidOn(pieces, [own], wide)
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
  const names = filmStrokes({ ...laid([lid('waste')]), crosses: [] }, { ...choice, hasPen: false }).map(
    ({ name }) => name,
  )
  expect(names).toEqual(['lid: hinge tick', 'lid: hinge tick', 'lid: opening', 'lid: outline'])
})

test('no slit is on the film side, where it would cut the panel in two', () => {
  const sheet = laid([lid('pen', 'strip'), lid('waste', 'one')])
  for (const { operation, name } of filmStrokes(sheet, choice)) {
    expect(operation).not.toBe('slit')
    expect(name).not.toMatch(/slit/)
  }
  expect(new Set(linerStrokes(sheet).map(({ operation }) => operation))).toEqual(new Set(['slit']))
})

test('without a pen nothing is drawn, and without a slit nothing is cut from behind', () => {
  const bare = filmStrokes(laid([lid()]), { ...choice, hasPen: false })
  expect(bare.filter(({ operation }) => operation === 'pen')).toEqual([])
  expect(filmStrokes(laid([lid()]), choice).some(({ name }) => name === 'lid: label')).toBe(true)
  expect(linerStrokes(laid([lid('pen', 'none')]))).toEqual([])
})

test('copies are told apart by number', () => {
  const pieces = [1, 2].map((copy): Piece => ({ panel: lid(), copy, copies: 2 }))
  const { sheets } = laidOn(pieces, [stock])
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
      const liner = linerStrokes(sheet)
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

test('every slit stays 3 mm from the crosses, turned or upright, and crosses stand 1 mm inside the margin', () => {
  const seen = { turned: 0, upright: 0, moved: 0 }
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
        const own = { ...stock, width, margin }
        const wish = { gap: 2, reach: { x: far, y: 3000 }, spare: crossSpace }
        for (const sheet of laidOn(pieces, [own], wish).sheets) {
          for (const { angle } of sheet.pieces) seen[angle === 0 ? 'upright' : 'turned'] += 1
          const liner = linerStrokes(sheet)
          const crosses = liner.filter(isCross).map(({ path }) => ends(path))
          const slits = liner.filter((stroke) => !isCross(stroke)).map(({ path }) => ends(path))
          expect(slits).toHaveLength(sheet.pieces.length * (lines === 'one' ? 1 : 2))
          const places = crosses.flat().map(({ x }) => x)
          expect(Math.min(...places)).toBeCloseTo(margin + 1, 6)
          expect(Math.max(...places)).toBeCloseTo(sheet.length - margin - 1, 6)
          if (Math.abs((sheet.crosses[0]?.y ?? 0) - sheet.reached.high.y / 2) > 1e-6) seen.moved += 1
          for (const [a, b] of slits) {
            for (const [p, q] of crosses) {
              const apart = (axis: 'x' | 'y') =>
                Math.max(
                  Math.min(p[axis], q[axis]) - Math.max(a[axis], b[axis]),
                  Math.min(a[axis], b[axis]) - Math.max(p[axis], q[axis]),
                )
              expect(Math.max(apart('x'), apart('y'))).toBeGreaterThan(3 - 1e-6)
            }
          }
        }
      },
    ),
    { numRuns: 100 },
  )
  expect(Math.min(seen.turned, seen.upright)).toBeGreaterThan(10)
})

test('a cross stands aside where a slit ends in its place', () => {
  // 182 mm of panel turned, its slit level and in the middle of 400 mm of film: 22..204 mm, from 17 to 209.
  // The second one is asked for at a third of the way up, which is free.
  const { sheets } = laidOn([pinned(lid(), 22, 200 - 161, 90)], [{ ...stock, width: 400 }], wide)
  const [sheet] = sheets
  if (!sheet) return expect.fail('nothing was laid')
  // 204 + 12 + 10 mm
  expect(sheet.length).toBeCloseTo(226, 9)
  const [slit] = linerStrokes(sheet).filter((stroke) => !isCross(stroke))
  const across = slit ? ends(slit.path).map(({ x }) => x) : []
  expect(Math.min(...across)).toBeCloseTo(17, 9)
  expect(Math.max(...across)).toBeCloseTo(209, 9)
  expect(Math.abs((sheet.crosses[0]?.y ?? 200) - 200)).toBeGreaterThanOrEqual(7)
  expect(sheet.crosses[1]?.y).toBeCloseTo(400 / 3, 9)
})

test('strokes of the crosses are told from those of pieces, whatever these are called', () => {
  const names = ['slit lamp', 'lining-up cross 1', 'lining-up cross 1: slit 1', 'cross']
  const sheet = laid(names.map((name) => ({ ...lid('waste', 'strip'), name })))
  const liner = linerStrokes(sheet)
  expect(liner.map(isLiningUp)).toEqual([...Array(4).fill(true), ...Array(8).fill(false)])
  const film = filmStrokes(sheet, choice)
  // Four strokes of two crosses, and of each lid two ticks, an opening and an outline, and its label.
  expect(film.filter(isLiningUp).map(({ operation }) => operation)).toEqual(Array(4).fill('through'))
  expect(film.filter(({ name }) => name.endsWith(': outline')).some(isLiningUp)).toBe(false)
})

test('a slit ends at the edge of the film where 5 mm past the panel would leave it', () => {
  const sheet = laid([lid()], { ...stock, width: 186, margin: 2, turn: 'none' })
  const [, , , , slit] = linerStrokes(sheet)
  if (!slit) return expect.fail('no slit')
  // The panel is 182 mm and begins at 2 mm.
  expect(slit.path.start.y).toBeCloseTo(0, 9)
  expect(endOf(slit.path).y).toBeCloseTo(186, 9)
})
