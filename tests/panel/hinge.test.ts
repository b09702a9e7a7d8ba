import fc from 'fast-check'
import { expect, test } from 'vitest'
import { pathLength } from '../../src/geometry/length.ts'
import { rectangle } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import type { PanelOptions } from '../../src/panel/make-panel.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { everyShape } from '../templates/every-shape.ts'
import { mm, panelOf, panelsOf, plainOptions, refusalsOf, say, square, thin, unopened } from '../templates/measures.ts'

const lid = (openings: readonly object[] = []) =>
  flatPanel.develop(
    { width: 320, height: 180, radius: square, openings, points: [] } as Parameters<typeof flatPanel.develop>[0],
    thin,
    say,
  )
const options = (own: Partial<PanelOptions>): PanelOptions => ({ ...plainOptions, ...own })
const hingeTicks = (own: Partial<PanelOptions>) => {
  const panel = panelOf(lid(), options(own))
  return { panel, at: panel.ticks.filter((tick) => tick.role === 'hinge').map((tick) => [tick.edge, tick.at]) }
}
const none = { girth: undefined, diameter: undefined, gap: undefined, overlap: undefined, ...unopened }

test('a level hinge runs through the middle, with ticks and slit at the side edges and marks told up those edges', () => {
  const { panel, at } = hingeTicks({ hinge: 'level' })
  expect(at).toEqual([
    ['left', point(-161, 0)],
    ['right', point(161, 0)],
  ])
  expect(panel.slits).toEqual([{ from: point(-166, 0), to: point(166, 0) }])
  expect(panel.marks.map(({ text }) => text)).toEqual([
    'Mark the object 90 mm along the left edge, from its lower end.',
    'Mark the object 90 mm along the right edge, from its lower end.',
  ])
})

test('a hinge at a measured place stands that far along the bottom edge and the same share along the top', () => {
  const { panel, at } = hingeTicks({ hinge: 100 })
  expect(at).toEqual([
    ['bottom', { x: expect.closeTo(-60, 9), y: -91 }],
    ['top', { x: expect.closeTo(-60, 9), y: 91 }],
  ])
  expect(panel.marks.map(({ text }) => text)).toEqual([
    'Mark the object for the hinge 100 mm along the bottom edge, from its left end.',
    'Mark the object for the hinge 100 mm along the top edge, from its left end.',
  ])
  for (const hinge of [0, 320, 400]) {
    expect(refusalsOf(lid(), options({ hinge }))).toMatchObject([
      { code: 'off_the_edge', field: 'tin.hinge', value: `${hinge} mm`, limit: expect.stringMatching(/320 mm long/) },
    ])
  }
})

test('quarters and measured places get ticks by length along both edges of a pail', () => {
  const cone = fc.record({ mid: mm(300, 1500), slant: mm(60, 300), turn: mm(-2, 2), share: mm(0.05, 0.95) })
  fc.assert(
    fc.property(cone, ({ mid, slant, turn, share }) => {
      const half = Math.max(-mid / 2, Math.min(mid / 2, (turn * slant) / 2))
      const girths = {
        bottomGirth: mid - half,
        topGirth: mid + half,
        bottomDiameter: undefined,
        topDiameter: undefined,
      }
      const gaps = { gap: undefined, bottomGap: 8, topGap: 20, overlap: undefined, ...unopened }
      const pail = taperedBand.develop({ ...girths, slant, height: undefined, ...gaps }, thin, say)
      const low = mid - half - 8
      const panel = panelOf(pail, options({ ticksAt: ['quarters', share * low], allowances: { other: 0 } }))
      const places = panel.ticks.filter((tick) => tick.role === 'place')
      const shares = [1 / 4, 3 / 4, share]
      expect(places).toHaveLength(6)
      places.forEach((tick, i) => {
        const edge = panel.edges.find(({ name }) => name === tick.edge) ?? expect.fail('no edge')
        expect(tick.edge).toBe(i % 2 === 0 ? 'bottom' : 'top')
        const along = tick.length / pathLength(edge.bare)
        expect(tick.edge === 'bottom' ? along : 1 - along).toBeCloseTo(shares[Math.floor(i / 2)] ?? 0, 9)
      })
    }),
    { numRuns: 60 },
  )
  const marks = panelOf(lid(), options({ ticksAt: ['quarters'] })).marks.map(({ text }) => text)
  expect(marks.slice(2)).toEqual([
    'Mark the object for the tick 80 mm along the bottom edge, from its left end.',
    'Mark the object for the tick 80 mm along the top edge, from its left end.',
    'Mark the object for the tick 240 mm along the bottom edge, from its left end.',
    'Mark the object for the tick 240 mm along the top edge, from its left end.',
  ])
  expect(refusalsOf(lid(), options({ ticksAt: [500] }))).toMatchObject([{ code: 'off_the_edge', field: 'tin.ticksAt' }])
})

test('where an opening bites into the edge at the hinge, the tick stands on its rim and is never a notch', () => {
  const latch = { shape: 'rectangular', diameter: undefined, width: 60, height: 40, radius: 0 }
  const opened = lid([{ ...latch, fromLeft: 130, fromBottom: 150 }])
  const allowances = { other: 4 }
  const panel = panelOf(opened, options({ allowances, ticks: { wanted: 'notch', hasPen: false, cut: 'kiss' } }))
  // The opening begins 150 mm up, at y = 60.
  expect(panel.hinge.to).toEqual(point(0, 60))
  expect(panel.ticks.map(({ edge, make }) => [edge, make])).toEqual([
    ['bottom', 'notch'],
    ['', 'waste'],
  ])
})

const latch = { shape: 'rectangular', diameter: undefined, width: 60, height: 40, radius: 0 }

test('where an opening takes the edge at the hinge away, the mark on the object stands on its rim, where the tick stands', () => {
  const panel = panelOf(lid([{ ...latch, fromLeft: 130, fromBottom: 150 }]), options({ allowances: { other: 4 } }))
  expect(panel.marks.map(({ text }) => text)).toEqual([
    'Mark the object 160 mm from its left edge, at the bottom edge.',
    'Mark the object 160 mm from its left edge, at the top edge. An opening lies there, with nothing to mark: mark the ' +
      'rim of the opening, 30 mm in from there on the same line, 150 mm straight from the mark at the other end.',
  ])
  const both = [
    { ...latch, fromLeft: 130, fromBottom: 150 },
    { ...latch, fromLeft: 130, fromBottom: -10 },
  ]
  const told = panelOf(lid(both), options({ allowances: { other: 4 } })).marks.map(({ text }) => text)
  expect(told[0]).toMatch(/, 30 mm in from there on the same line\.$/)
  expect(told[1]).toMatch(/, 30 mm in from there on the same line\.$/)
})

test('marks of further ticks and of a level hinge are told on the rim of an opening too', () => {
  const corner = { ...latch, fromLeft: 220, fromBottom: 160 }
  const quarters = panelOf(lid([corner]), options({ ticksAt: ['quarters'] })).marks.map(({ code, text }) => [
    code,
    text,
  ])
  expect(quarters.filter(([, text]) => text?.includes('rim')).map(([code]) => code)).toEqual(['quarter 3 top'])
  const side = { ...latch, fromLeft: -30, fromBottom: 70 }
  const level = panelOf(lid([side]), options({ hinge: 'level' }))
  expect(level.hinge.from).toEqual(point(-130, 0))
  expect(level.marks[0]).toEqual({
    code: 'hinge left',
    text:
      'Mark the object 90 mm along the left edge, from its lower end. An opening lies there, with nothing to mark: mark ' +
      'the rim of the opening, 30 mm in from there on the same line, 290 mm straight from the mark at the other end.',
  })
})

test('an opening from the side that cuts across the hinge leaves both its ends and the whole slit', () => {
  const across = { ...latch, width: 250, fromLeft: -20, fromBottom: 110 }
  const panel = panelOf(lid([across]))
  expect(panel.hinge).toEqual({ from: point(0, -91), to: point(0, 91) })
  expect(panel.slits).toEqual([{ from: point(0, -96), to: point(0, 96) }])
})

test('every hinge tick of every shape names a mark that there is', () => {
  for (const [name, measured] of Object.entries(everyShape)) {
    for (const { template, values, facts } of fc.sample(measured, { numRuns: 3, seed: 5 })) {
      for (const hinge of ['upright', 'level'] as const) {
        for (const panel of panelsOf(template.develop(values, facts, say), options({ hinge }))) {
          const codes = panel.marks.map(({ code }) => code)
          const named = panel.ticks.filter(({ role }) => role === 'hinge').map(({ mark }) => mark)
          expect(named, name).toHaveLength(2)
          expect(codes, name).toEqual(expect.arrayContaining(named))
        }
      }
    }
  }
})

test('a panel without bottom and top edges refuses a measured place and says what works', () => {
  const [tin = expect.fail('no panel')] = straightBand.develop({ ...none, span: 215, height: 95 }, thin, say)
  const renamed = { ...tin, edges: tin.edges.map((edge) => ({ ...edge, name: `side of ${edge.name}` })) }
  const [problem] = refusalsOf([renamed], options({ hinge: 60, allowances: { other: 1 } }))
  expect(problem).toMatchObject({ code: 'no_such_edges', cure: expect.stringMatching(/upright and level/) })
  const [quarters] = refusalsOf([renamed], options({ ticksAt: ['quarters'], allowances: { other: 1 } }))
  expect(quarters).toMatchObject({ code: 'no_such_edges', value: 'quarters of the bottom edge' })
})

test('a seam that only meets another has its tick in the waste where the others are notches', () => {
  const [tin = expect.fail('no panel')] = straightBand.develop({ ...none, span: 215, height: 95 }, thin, say)
  const coded = tin.edges.map((edge) => (edge.name === 'left' ? { ...edge, lap: 0, seam: 'A' } : edge))
  const ticks = { wanted: 'notch', hasPen: false, cut: 'kiss' } as const
  const panel = panelOf([{ ...tin, edges: coded }], options({ ticks, allowances: { other: 4 } }))
  expect(panel.ticks.map(({ edge, make }) => [edge, make])).toEqual([
    ['bottom', 'notch'],
    ['top', 'notch'],
    ['left', 'waste'],
  ])
})

test('edges on a coded seam carry a tick at half their measured length, with the code beside it', () => {
  const [tin = expect.fail('no panel')] = straightBand.develop({ ...none, span: 215, height: 95 }, thin, say)
  const seams = { left: { lap: 0, seam: 'A' }, right: { lap: 6, seam: 'B' } }
  const coded = tin.edges.map((edge) => ({ ...edge, ...seams[edge.name as keyof typeof seams] }))
  const panel = panelOf([{ ...tin, edges: coded }])
  const ticks = panel.ticks.filter(({ mark }) => mark === 'seam A' || mark === 'seam B')
  expect(ticks.map(({ edge, role }) => [edge, role])).toEqual([
    ['right', 'seam'],
    ['left', 'seam'],
  ])
  // Half way up each side; the lap of 6 mm moves the right one out.
  expect(ticks[0] && distance(ticks[0].at, point(107.5 + 6, 0))).toBeLessThan(1e-9)
  expect(ticks[1] && distance(ticks[1].at, point(-107.5, 0))).toBeLessThan(1e-9)
  expect(panel.labels.map(({ text }) => text)).toEqual(['tin ↑ UP', 'OVERLAP', 'B', 'A'])
})

test('an inset that comes within 1 mm of what is cut inside is refused', () => {
  const [face = expect.fail('no panel')] = lid()
  const letter = rectangle(point(-150, -80), point(150, 80))
  const inset = (mm: number) => refusalsOf([{ ...face, inner: [letter] }], options({ allowances: { other: mm } }))
  expect(inset(-8.9)).toEqual([])
  expect(inset(-9.1)).toMatchObject([{ code: 'inset_cuts_inside', field: 'tin.allowance' }])
})
