import fc from 'fast-check'
import { expect, test } from 'vitest'
import { arcTo, endOf, openPath } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { markOut, ordinates } from '../../src/panel/mark-out.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { developBand } from '../../templates/round-band.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { mm, panelOf, plainOptions, square, squareBands, thin, unopened } from '../templates/measures.ts'

const exactly = (length: number) => `${length.toFixed(9)} mm`
const numbers = (text: string | undefined) => [...(text ?? '').matchAll(/([\d.]+) mm/g)].map(([, n]) => Number(n))

/** Where two tapes from `a` and `b` cross, on the left of a->b. `a` and `b` lie on the x axis. */
function swung(a: Point, fromA: number, b: Point, fromB: number): Point {
  const base = b.x - a.x
  const x = (fromA ** 2 - fromB ** 2 + base ** 2) / (2 * base)
  return point(a.x + x, Math.sqrt(fromA ** 2 - x ** 2))
}

/** The four corners that a person ends up with who follows the steps to the letter. */
function followed(steps: readonly string[]): [Point, Point, Point, Point] {
  const [ab = 0] = numbers(steps[1])
  const [bc = 0, ac = 0] = numbers(steps[2])
  const [ad = 0, bd = 0] = numbers(steps[3])
  const a = point(0, 0)
  const b = point(ab, 0)
  return [a, b, swung(a, ac, b, bc), swung(a, ad, b, bd)]
}

function cornersOf(panel: Panel): Point[] {
  return panel.edges.map((edge) => edge.outline.start)
}

test('common practice, no source: a 95 mm high band over a span of 215 mm is marked out 97 by 217 mm with equal diagonals', () => {
  const none = { girth: undefined, diameter: undefined, gap: undefined, overlap: undefined, ...unopened }
  const steps = markOut(panelOf(straightBand.develop({ ...none, span: 215, height: 95 }, thin, exactly)), exactly).lines
  const [a, b, c, d] = followed(steps)
  expect(distance(a, b)).toBeCloseTo(217, 6)
  expect(distance(c, d)).toBeCloseTo(217, 6)
  expect(distance(b, c)).toBeCloseTo(97, 6)
  expect(distance(d, a)).toBeCloseTo(97, 6)
  expect(distance(a, c)).toBeCloseTo(distance(b, d), 6)
  expect(distance(a, c)).toBeCloseTo(Math.hypot(217, 97), 6)
})

test('whoever follows the steps gets the panel, and the proof at the end comes out', () => {
  const anyPanel = fc.oneof(...Object.values(squareBands))
  fc.assert(
    fc.property(anyPanel, ({ template, values, facts }) => {
      const panel = panelOf(template.develop(values, facts, exactly))
      const steps = markOut(panel, exactly).lines
      const marked = followed(steps)
      const [cd = 0, ac = 0, bd = 0] = numbers(steps[4])
      expect(distance(marked[2], marked[3])).toBeCloseTo(cd, 4)
      expect(distance(marked[0], marked[2])).toBeCloseTo(ac, 4)
      expect(distance(marked[1], marked[3])).toBeCloseTo(bd, 4)
      const corners = cornersOf(panel)
      for (const [i, p] of corners.entries()) {
        for (const [j, q] of corners.entries()) {
          const own = distance(marked[i] ?? point(0, 0), marked[j] ?? point(0, 0))
          expect(Math.abs(own - distance(p, q))).toBeLessThan(1e-4)
        }
      }
    }),
    { numRuns: 150 },
  )
})

test('the ordinates of a curved edge lie on its circle', () => {
  fc.assert(
    fc.property(mm(300, 1500), mm(60, 300), mm(0.05, 2), fc.boolean(), (girth, slant, turn, up) => {
      const other = girth + turn * slant
      const [bottomGirth, topGirth] = up ? [girth, other] : [other, girth]
      const laid = developBand({
        bottomGirth,
        topGirth,
        slant,
        bottomGap: 0,
        topGap: 0,
        marks: [],
        notes: [],
        openings: unopened,
        filmOverTape: 1,
      })
      const allowances = { bottom: 0, right: 0, top: 0, left: 0 }
      const panel = panelOf(laid, { ...plainOptions, allowances })
      for (const edge of panel.edges.filter(({ name }) => name === 'bottom' || name === 'top')) {
        const radius = (edge.name === 'bottom' ? bottomGirth : topGirth) / turn
        const half = radius * Math.sin(turn / 2)
        const list = ordinates(edge, 8)
        expect(list).toHaveLength(7)
        list.forEach(({ along, height }, i) => {
          expect(along).toBeCloseTo((half * (i + 1)) / 4, 6)
          const wanted = Math.sqrt(radius ** 2 - (along - half) ** 2) - radius * Math.cos(turn / 2)
          expect(Math.abs(Math.abs(height) - wanted)).toBeLessThan(1e-6)
        })
      }
    }),
    { numRuns: 60 },
  )
})

test('an edge that bends is told by its place on the straight line and square off it, outward and inward', () => {
  // Chord 160 and radius 100: the middle is 100 - sqrt(100^2 - 80^2) = 40 off.
  const values = { width: 160, height: 300, radius: square, ...unopened } as Parameters<typeof flatPanel.develop>[0]
  const flat = panelOf(flatPanel.develop(values, thin, exactly), { ...plainOptions, allowances: { other: 0 } })
  expect(markOut(flat, exactly).table).toBe(undefined)
  const bent = (sweep: number): Panel => ({
    ...flat,
    edges: flat.edges.map((edge, i) =>
      i === 0 ? { ...edge, outline: openPath(edge.outline.start, arcTo(endOf(edge.outline), sweep)) } : edge,
    ),
  })
  const turn = 2 * Math.asin(0.8)
  for (const [sweep, side] of [
    [turn, 'to the right'],
    [-turn, 'to the left'],
  ] as const) {
    const { lines, table } = markOut(bent(sweep), exactly)
    expect(table?.columns).toEqual(['Edge', 'Along the line', 'Square off it'])
    const rows = table?.rows ?? []
    expect(rows).toHaveLength(7)
    expect(rows[3]).toEqual(['bottom, A to B', '80.000000000 mm', `40.000000000 mm ${side}`])
    // On the circle about the point 60 mm to the other side.
    for (const [, along, off] of rows) {
      expect(Math.hypot((numbers(along)[0] ?? 0) - 80, (numbers(off)[0] ?? 0) + 60)).toBeCloseTo(100, 6)
    }
    expect(lines.filter((line) => line.includes('in the table'))).toHaveLength(1)
  }
})

test('ticks are told straight from a corner', () => {
  const none = { girth: undefined, diameter: undefined, gap: undefined, overlap: undefined, ...unopened }
  const steps = markOut(panelOf(straightBand.develop({ ...none, span: 215, height: 95 }, thin, exactly)), exactly).lines
  expect(steps.slice(5)).toEqual([
    'Hinge tick on the bottom edge: 108.500000000 mm straight from A.',
    'Hinge tick on the top edge: 108.500000000 mm straight from C.',
  ])
})
