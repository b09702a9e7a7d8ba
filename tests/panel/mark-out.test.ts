import { expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { arcTo, closedPath, cubicTo, lineTo, openPath, type Segment } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { difference, type Rings, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { transform, translation } from '../../src/geometry/transform.ts'
import { loadShapes } from '../../src/job/catalogue.ts'
import { markOut } from '../../src/panel/mark-out.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { ring } from '../../templates/ring/template.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { panelOf, plainOptions, square, thin, unopened } from '../templates/measures.ts'

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
  const [radius = 0, begins = 0] = numbers(step(/^Round corners 1, 2, 3, 4 /))
  expect(begins).toBeCloseTo(radius, 9)
  const film = roundedBox(b.x, d.y, radius)
  const [latchRadius = 0] = numbers(step(/^Opening 1 has four corners/))
  const [across = 0] = numbers(step(/^Opening 2 is round/))
  const places = (table?.rows ?? []).map(([, line, far, off]) => {
    expect(line).toBe('1 to 2')
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

test('a ring comes out of a pin, a radius and the middle of its opening', () => {
  const { lines, table } = markOut(panelOf(ring.develop({ outer: 98, inner: 40, ...unopened }, thin, exactly)), exactly)
  // 98 mm and 1 mm all round
  expect(lines.slice(1)).toEqual([
    'The panel is round: put a pin into the zero mark and swing a circle with a radius of 50.000000000 mm on thread or tape.',
    'Proof: along the line the circle must be 100.000000000 mm across, and as much square to it. Start again if they differ by more than 1.500000000 mm.',
    'Hinge tick on the bottom edge: 0.000000000 mm along and 50.000000000 mm below the line.',
    'Hinge tick on the top edge: 0.000000000 mm along and 50.000000000 mm up.',
    'Opening 1 is round, 40.000000000 mm across; its middle is in the table.',
  ])
  expect(table?.rows).toEqual([['opening 1, middle', '0.000000000 mm', '0.000000000 mm']])
})

/** A flat panel of 160 x 100 whose edge at the bottom is another line from 0, 0 to 160, 0. */
function withBottom(...bottom: readonly Segment[]): Panel {
  const values = { width: 160, height: 100, radius: square, ...unopened } as Parameters<typeof flatPanel.develop>[0]
  const flat = panelOf(flatPanel.develop(values, thin, exactly), { ...plainOptions, allowances: { other: 0 } })
  const corner = flat.edges[0]?.outline.start ?? point(0, 0)
  const moved = transform(openPath(point(0, 0), ...bottom), translation(corner.x, corner.y))
  const edges = flat.edges.map((edge, i) => (i === 0 ? { ...edge, outline: moved } : edge))
  return {
    ...flat,
    edges,
    outline: closedPath(
      corner,
      edges.flatMap(({ outline }) => outline.segments),
    ),
  }
}

test('an edge that is an arc is told by its radius, the side it bulges to, and its rise', () => {
  expect(markOut(withBottom(lineTo(point(160, 0))), exactly).table).toBe(undefined)
  // Chord 160 and radius 100: the middle stands 100 - sqrt(100^2 - 80^2) = 40 off.
  const turn = 2 * Math.asin(0.8)
  for (const [sweep, side] of [
    [turn, 'outward'],
    [-turn, 'inward'],
  ] as const) {
    const { lines, table } = markOut(withBottom(arcTo(point(160, 0), sweep)), exactly)
    expect(lines).toContain(
      `The bottom edge, 1 to 2: arc bulging ${side}, radius 100.000000000 mm, rise 40.000000000 mm.`,
    )
    expect(table).toBe(undefined)
  }
})

test('an edge that bends otherwise is told by marks on the straight line, square off it and from another point', () => {
  // y = 4 * 30 t (1 - t) below the line
  const bend = cubicTo(point(160 / 3, -40), point(320 / 3, -40), point(160, 0))
  const { lines, table } = markOut(withBottom(bend), exactly)
  expect(table?.columns).toEqual(['Point', 'On the line', 'Along it', 'Square off it', 'Proof: straight'])
  const rows = table?.rows ?? []
  const names = rows.map(([name = '']) => name)
  const places = new Map([point(0, 0), point(160, 0), point(160, 100), point(0, 100)].map((p, i) => [`${i + 1}`, p]))
  for (const [name = '', on, far, off] of rows) {
    expect(on).toBe('1 to 2')
    expect(off).toMatch(/to the right$/)
    const [along = 0, down = 0] = [numbers(far)[0], numbers(off)[0]]
    // on the edge, but for the 0.03 mm of its chords
    expect(Math.abs(down - (120 * along * (160 - along)) / 160 ** 2)).toBeLessThan(0.03)
    places.set(name, point(along, -down))
  }
  for (const [name = '', , , , proof = ''] of rows) {
    const [, other = ''] = (proof.split(', ')[0] ?? '').split(' from ')
    const [a, b] = [places.get(name), places.get(other)]
    expect(a && b && distance(a, b)).toBeCloseTo(numbers(proof)[0] ?? 0, 6)
  }
  expect(names).toEqual(names.map((_, i) => `${i + 5}`))
  expect(names.length).toBeGreaterThanOrEqual(3)
  expect(names.length).toBeLessThanOrEqual(7)
  expect(lines).toContain(`The bottom edge: bend a thin strip along points 1, ${names.join(', ')} and 2.`)
})

test('a step inside an edge is numbered points, not a bend', () => {
  const stepped = withBottom(
    lineTo(point(60, 0)),
    lineTo(point(60, 20)),
    lineTo(point(100, 20)),
    lineTo(point(100, 0)),
    lineTo(point(160, 0)),
  )
  const { table } = markOut(stepped, exactly)
  const places = (table?.rows ?? []).map(([name, along, up, , next]) => [name, numbers(along)[0], numbers(up)[0], next])
  expect(places).toEqual([
    ['1', 0, 0, 'straight'],
    ['2', 60, 0, 'straight'],
    ['3', 60, 20, 'straight'],
    ['4', 100, 20, 'straight'],
    ['5', 100, 0, 'straight'],
    ['6', 160, 0, 'straight'],
    ['7', 160, 100, 'straight'],
    ['8', 0, 100, 'straight'],
  ])
})

test('an arc that turns by more than a third of a turn has its pin in the table and marks on the way', () => {
  // a half turn of 80 mm radius under the panel
  const { lines, table } = markOut(withBottom(arcTo(point(160, 0), Math.PI)), exactly)
  const row = (name: string) => table?.rows.find(([own]) => own === name) ?? []
  expect(row('P1, pin')).toEqual(['P1, pin', '80.000000000 mm', '80.000000000 mm', '', 'radius 80.000000000 mm'])
  expect(row('2').slice(0, 3)).toEqual(['2', '80.000000000 mm', '0.000000000 mm'])
  expect([row('1'), row('2'), row('3')].map((own) => own[4])).toEqual(['arc about P1', 'arc about P1', 'straight'])
  expect(lines.find((line) => line.startsWith('P1: put a pin there'))).toMatch(/Proof: it meets all points/)
})

test('no point of a panel is called by a letter that stands at a measure', async () => {
  const letters = (await loadShapes()).flatMap(({ specs }) =>
    Object.values(specs).flatMap((spec) => ('letter' in spec && spec.letter ? [spec.letter] : [])),
  )
  expect(letters.length).toBeGreaterThan(20)
  expect(letters.filter((letter) => /^P|^\d/.test(letter))).toEqual([])
})

test('ticks are told straight from a corner', () => {
  const none = { girth: undefined, diameter: undefined, gap: undefined, overlap: undefined, ...unopened }
  const steps = markOut(panelOf(straightBand.develop({ ...none, span: 215, height: 95 }, thin, exactly)), exactly).lines
  expect(steps.slice(5)).toEqual([
    'Hinge tick on the bottom edge: 108.500000000 mm straight from point 1.',
    'Hinge tick on the top edge: 108.500000000 mm straight from point 3.',
    'Proof: from one hinge tick to the other must be 97.000000000 mm.',
  ])
})

test('a tick on the rim of an opening is told by its place on the line', () => {
  const none = { girth: undefined, diameter: undefined, gap: undefined, overlap: undefined, ...unopened }
  const panel = panelOf(straightBand.develop({ ...none, span: 215, height: 95 }, thin, exactly))
  const [tick = expect.fail('no tick')] = panel.ticks
  const steps = markOut({ ...panel, ticks: [{ ...tick, edge: '' }] }, exactly).lines.join('\n')
  expect(steps).toContain(
    'Hinge tick on the rim of an opening: 108.500000000 mm along the line from point 1, 0.000000000 mm to the left.',
  )
  expect(steps).not.toMatch(/on the +edge/)
})

test('measured places that are shown by a cross are in the table', () => {
  const points = [{ fromLeft: 30, fromBottom: 94 }]
  const values = { width: 420, height: 210, radius: square, openings: [], points }
  const { table } = markOut(panelOf(flatPanel.develop(values, thin, exactly)), exactly)
  expect(table?.rows).toEqual([['cross 1', '1 to 2', '31.000000000 mm', '95.000000000 mm to the left']])
})
