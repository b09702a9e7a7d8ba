import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { endOf } from '../../src/geometry/path.ts'
import { distance } from '../../src/geometry/point.ts'
import { cutLine } from '../../src/panel/cut-line.ts'
import { onObject } from '../../src/panel/surface.ts'
import { chooseMake } from '../../src/panel/ticks.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { mm, panelOf, plainOptions, refusalsOf, say, thin, unopened } from '../templates/measures.ts'
import { expectSimple, surfaceOf } from './simple.ts'

const band = (overlap = 8) =>
  straightBand.develop(
    { girth: 300, height: 95, overlap, diameter: undefined, gap: undefined, span: undefined, ...unopened },
    thin,
    say,
  )
const handling = (allowance: number, wanted: 'auto' | 'pen' | 'notch' | 'waste', hasPen = false, cut = 'kiss') => ({
  ...plainOptions,
  allowances: { bottom: allowance, right: allowance, top: allowance, left: allowance },
  ticks: { wanted, hasPen, cut: cut === 'kiss' ? ('kiss' as const) : ('through' as const) },
})

test('ticks are made as asked, else by pen, else as notches where the allowance holds them, else in the waste', () => {
  const choose = (wanted: 'auto' | 'pen' | 'notch' | 'waste', hasPen: boolean, cut: 'kiss' | 'through', wide: number) =>
    chooseMake({ wanted, hasPen, cut }, wide)
  expect(choose('waste', true, 'kiss', 5)).toEqual({ make: 'waste', reason: 'waste ticks, as asked' })
  expect(choose('auto', true, 'kiss', 5)).toMatchObject({
    make: 'pen',
    reason: expect.stringMatching(/there is a pen/),
  })
  expect(choose('auto', false, 'kiss', 1.5)).toMatchObject({ make: 'notch', reason: expect.stringMatching(/no pen/) })
  expect(choose('auto', false, 'kiss', 1.49)).toMatchObject({
    make: 'waste',
    reason: expect.stringMatching(/allowance is under 1\.5 mm; they stay until the waste is weeded/),
  })
  expect(choose('auto', false, 'through', 1)).toMatchObject({
    make: 'waste',
    reason: expect.stringMatching(/mark the panel from them before you lift it out/),
  })
})

test('the narrower of the bottom and top allowances decides, and the panel carries the reason', () => {
  const panel = panelOf(band(), { ...handling(5, 'auto'), allowances: { bottom: 5, right: 5, top: 1, left: 5 } })
  expect(panel.ticks.map((tick) => tick.make)).toEqual(['waste', 'waste', 'waste', 'waste'])
  expect(panel.tickReason).toMatch(/waste/)
})

test('a pen tick runs 3 mm into the film, or to the measured edge of a wider allowance; a waste tick stays outside', () => {
  const reaches = (allowance: number, make: 'pen' | 'waste') =>
    panelOf(band(), handling(allowance, make, true)).ticks.map(({ path, at, inward }) =>
      [path.start, endOf(path)].map((p) => (p.x - at.x) * inward.x + (p.y - at.y) * inward.y),
    )
  for (const [near, far] of reaches(1, 'pen')) expect([near, far]).toEqual([expect.closeTo(0, 9), expect.closeTo(3, 9)])
  for (const [near, far] of reaches(5, 'pen')) expect([near, far]).toEqual([expect.closeTo(0, 9), expect.closeTo(5, 9)])
  for (const [near, far] of reaches(1, 'waste'))
    expect([near, far]).toEqual([expect.closeTo(-0.8, 9), expect.closeTo(-3.8, 9)])
})

test('a notch ends 0.3 mm before the measured edge, and the cut with its notches is closed, simple and as long as it should be', () => {
  const cone = fc.record({
    mid: mm(300, 1500),
    slant: mm(60, 300),
    turn: mm(-2, 2),
    allowance: mm(1.5, 9),
    overlap: mm(2, 20),
  })
  fc.assert(
    fc.property(cone, ({ mid, slant, turn, allowance, overlap }) => {
      const difference = Math.max(-mid, Math.min(mid, turn * slant))
      const values = { bottomGirth: mid - difference / 2, topGirth: mid + difference / 2, slant, overlap }
      const none = { bottomDiameter: undefined, topDiameter: undefined, height: undefined }
      const whole = { gap: undefined, bottomGap: undefined, topGap: undefined, ...unopened }
      const panel = panelOf(
        taperedBand.develop({ ...none, ...whole, ...values }, thin, say),
        handling(allowance, 'notch'),
      )
      expect(panel.ticks).toHaveLength(4)
      const depth = Math.min(3, allowance - 0.3)
      for (const tick of panel.ticks) {
        const ups = flatten(tick.path, 1e-4).map((p) => onObject(surfaceOf(panel), p).up)
        const inside = tick.edge === 'top' ? Math.min(...ups) - slant / 2 : -slant / 2 - Math.max(...ups)
        expect(inside).toBeGreaterThan(0.3 - 1e-3)
        expect(inside).toBeLessThan(allowance - depth + 1e-3)
      }
      const cut = cutLine(panel)
      expect(cut.closed).toBe(true)
      expect(endOf(cut)).toEqual(cut.start)
      expectSimple(flatten(cut, 0.02))
      // Each notch swaps 1.2 mm of edge for two sides and a half circle of 0.6 mm.
      const more = 4 * (2 * (depth - 0.6) + Math.PI * 0.6 - 1.2)
      expect(Math.abs(pathLength(cut) - pathLength(panel.outline) - more)).toBeLessThan(0.05)
      const area = 4 * (1.2 * (depth - 0.6) + (Math.PI * 0.36) / 2)
      expect(Math.abs(signedArea(panel.outline) - signedArea(cut) - area)).toBeLessThan(0.1)
    }),
    { numRuns: 60 },
  )
})

test('without notches the cut is the outline itself', () => {
  const panel = panelOf(band(), handling(5, 'pen', true))
  expect(cutLine(panel)).toBe(panel.outline)
})

test('a notch wanted in too small an allowance is refused for that edge', () => {
  const options = { ...handling(5, 'notch'), allowances: { bottom: 5, right: 5, top: 1.4, left: 5 } }
  const problems = refusalsOf(band(), options)
  expect(problems).toMatchObject([{ code: 'notch_needs_allowance', field: 'tin.allowance.top', value: '1.4 mm' }])
  expect(problems[0]?.limit).toMatch(/1\.5 mm or more/)
  expect(refusalsOf(band(), handling(1.5, 'notch'))).toEqual([])
})

test('a seam too near the corner for a notch is refused, and marked in the waste without a word', () => {
  expect(refusalsOf(band(0.4), handling(5, 'notch'))).toMatchObject([
    { code: 'notch_needs_room', field: 'tin.overlap' },
    { code: 'notch_needs_room', field: 'tin.overlap' },
  ])
  const panel = panelOf(band(0.4), handling(5, 'waste'))
  const [bottom] = panel.ticks.filter((tick) => tick.role === 'seam')
  expect(bottom && distance(bottom.at, { x: 150, y: -52.5 })).toBeLessThan(1e-9)
})
