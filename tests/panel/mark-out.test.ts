import fc from 'fast-check'
import { expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { arcTo, endOf, openPath } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { difference, type Rings, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { markOut, ordinates } from '../../src/panel/mark-out.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { ring } from '../../templates/ring/template.ts'
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

/** Corners A, B, C, D of a rectangle rounded alike, each by `steps` chords. */
function roundedBox(width: number, height: number, radius: number, steps = 64): Point[] {
  const middles = [
    [radius, radius, Math.PI],
    [width - radius, radius, 1.5 * Math.PI],
    [width - radius, height - radius, 0],
    [radius, height - radius, 0.5 * Math.PI],
  ] as const
  return middles.flatMap(([x, y, from]) =>
    Array.from({ length: steps + 1 }, (_, k) => {
      const angle = from + (k * Math.PI) / 2 / steps
      return point(x + radius * Math.cos(angle), y + radius * Math.sin(angle))
    }),
  )
}

/** Area of one ring or the other alone, mm^2. */
const between = (a: Rings, b: Rings) => ringsArea(difference(a, b)) + ringsArea(difference(b, a))

test('a lid with a latch opening at its edge and a round one comes out of its steps alone', () => {
  const openings = [
    { shape: 'rectangular' as const, width: 64, height: 38, radius: 5, fromLeft: 178, fromBottom: -10 },
    { shape: 'round' as const, diameter: 22, radius: 0, fromLeft: 30, fromBottom: 94 },
  ]
  const radii = { bottomLeft: 14, bottomRight: 14, topRight: 14, topLeft: 14 }
  const lid = flatPanel.develop({ width: 420, height: 210, radius: radii, openings, points: [] }, thin, exactly)
  const panel = panelOf(lid)
  const { lines, table } = markOut(panel, exactly)
  const step = (words: RegExp) => lines.find((line) => words.test(line)) ?? ''
  // A at 0, 0 and B on the line; the corners are square, as the proof says
  const [a, b, c, d] = followed(lines)
  expect(a.x + c.x - b.x - d.x).toBeCloseTo(0, 6)
  const [radius = 0, begins = 0] = numbers(step(/^Round corners A, B, C, D /))
  expect(begins).toBeCloseTo(radius, 9)
  const film = roundedBox(b.x, d.y, radius)
  const [latchRadius = 0] = numbers(step(/^Opening 1 has four corners/))
  const [across = 0] = numbers(step(/^Opening 2 is round/))
  const places = (table?.rows ?? []).map(([, far, off]) => {
    const [along = 0] = numbers(far)
    const [away = 0] = numbers(off)
    return point(along, off?.endsWith('to the right') ? -away : away)
  })
  const [low, , high, , middle] = places as [Point, Point, Point, Point, Point]
  const latch = roundedBox(high.x - low.x, high.y - low.y, latchRadius).map((p) => point(p.x + low.x, p.y + low.y))
  const round = Array.from({ length: 256 }, (_, k) => {
    const angle = (k * Math.PI) / 128
    return point(middle.x + (across / 2) * Math.cos(angle), middle.y + (across / 2) * Math.sin(angle))
  })
  const marked = difference([film], [latch, round])
  const { low: corner } = boundsOf([panel.outline])
  const cut = ringsOf([panel.outline, ...panel.holes], 0.001).map((ring) =>
    ring.map((p) => point(p.x - corner.x, p.y - corner.y)),
  )
  // by hand: 422 x 212, less four corners of radius 15, less the latch up to 29 mm in and the round opening
  const corners = (r: number) => r * r * (1 - Math.PI / 4)
  const byHand = 422 * 212 - 4 * corners(15) - (64 * 29 - 2 * corners(5)) - Math.PI * 11 ** 2
  expect(ringsArea(marked)).toBeCloseTo(byHand, -0.5)
  expect(between(marked, difference([cut[0] ?? []], cut.slice(1)))).toBeLessThan(0.5)
})

test('a ring comes out of the numbered points of its table', () => {
  const { lines, table } = markOut(panelOf(ring.develop({ outer: 98, inner: 40, ...unopened }, thin, exactly)), exactly)
  const places = (table?.rows ?? []).map(([, along, up]) => point(numbers(along)[0] ?? 0, numbers(up)[0] ?? 0))
  // 98 mm and 1 mm all round: a circle of 50 mm about 50, 50
  const rim = places.slice(0, -1)
  expect(rim.length).toBeGreaterThanOrEqual(8)
  for (const p of rim) expect(distance(p, point(50, 50))).toBeCloseTo(50, 6)
  // opposite points are 100 mm apart
  expect(lines[2]).toMatch(/^Proof: \d+ to \d+ must be 100\.0+ mm, and \d+ to \d+ must be 100\.0+ mm\./)
  expect(lines).toContain('Opening 1 is round, 40.000000000 mm across; its middle is in the table.')
  expect(table?.rows.at(-1)?.[0]).toBe('opening 1, middle')
  expect(distance(places.at(-1) ?? point(0, 0), point(50, 50))).toBeLessThan(1e-6)
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

test('a tick on the rim of an opening is told from the corner A, as one of the rim', () => {
  const none = { girth: undefined, diameter: undefined, gap: undefined, overlap: undefined, ...unopened }
  const panel = panelOf(straightBand.develop({ ...none, span: 215, height: 95 }, thin, exactly))
  const [tick = expect.fail('no tick')] = panel.ticks
  const steps = markOut({ ...panel, ticks: [{ ...tick, edge: '' }] }, exactly).lines.join('\n')
  expect(steps).toContain('Hinge tick on the rim of an opening: ')
  expect(steps).not.toMatch(/on the +edge/)
})
