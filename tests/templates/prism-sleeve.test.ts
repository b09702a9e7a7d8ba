import fc from 'fast-check'
import { expect, test } from 'vitest'
import { pathLength } from '../../src/geometry/length.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { prismSleeve } from '../../templates/prism-sleeve/template.ts'
import { any } from './any/prism-sleeve.ts'
import { panelsOf, say, thin, unopened } from './measures.ts'

const hexagon = {
  sides: 6,
  side: 40 as number | undefined,
  acrossFlats: undefined as number | undefined,
  height: 90,
  radius: 0,
  girth: undefined as number | undefined,
  covered: undefined as number | undefined,
  seam: 'corner',
  overlap: undefined as number | undefined,
  middles: 'no',
  ...unopened,
}
const sleeveOf = (values: object = {}, facts = thin): Development =>
  prismSleeve.develop({ ...hexagon, ...values }, facts, say)[0] ?? expect.fail('no sleeve')
const girth = (sleeve: Development) => pathLength(sleeve.edges[0]?.path ?? expect.fail('no bottom edge'))
const ticksOf = (sleeve: Development) =>
  (sleeve.tickLines ?? []).map(({ mark, line }) => [mark, line.from.x - (sleeve.edges[0]?.path.start.x ?? 0)] as const)
const problems = (values: object) =>
  prismSleeve.check({ ...hexagon, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

test('a hexagon of 40 mm is 240 mm round, 236.774910 with corners of 5 mm; an octagon of 30 with 4 is 238.623073', () => {
  // n (a - 2 r tan(pi/n)) + 2 pi r
  expect(girth(sleeveOf())).toBeCloseTo(240, 9)
  expect(girth(sleeveOf({ radius: 5 }))).toBeCloseTo(236.77491, 6)
  expect(girth(sleeveOf({ sides: 8, side: 30, radius: 4 }))).toBeCloseTo(238.623073, 6)
})

test('a film of 0.08 mm makes any of them 0.251327 mm longer', () => {
  for (const values of [{}, { radius: 5 }, { sides: 3 }, { sides: 12, radius: 30 }]) {
    const film = girth(sleeveOf(values, { filmThickness: 0.08, tapeThickness: 0.3 }))
    expect(film - girth(sleeveOf(values))).toBeCloseTo(0.251327, 6)
  }
})

test('folds stand a sixth of the girth apart, the seam on one corner and the hinge on the one opposite', () => {
  const sixth = 236.77491 / 6
  const ticks = ticksOf(sleeveOf({ radius: 5 }))
  expect(ticks.map(([mark]) => mark)).toEqual(['corner 1', 'corner 2', 'corner 4', 'corner 5'])
  for (const [i, share] of [1, 2, 4, 5].entries()) expect(ticks[i]?.[1]).toBeCloseTo(share * sixth, 5)
  expect(sleeveOf({ radius: 5 }).notes[0]).toMatch(/^The hinge falls on corner 3\./)
})

test('a seam at the middle of a side leaves every corner its ticks, and the hinge a flat side', () => {
  const sleeve = sleeveOf({ seam: 'middle of a side', middles: 'yes' })
  expect(ticksOf(sleeve)).toEqual([
    ['corner 1', expect.closeTo(20, 9)],
    ['middle side 2', expect.closeTo(40, 9)],
    ['corner 2', expect.closeTo(60, 9)],
    ['middle side 3', expect.closeTo(80, 9)],
    ['corner 3', expect.closeTo(100, 9)],
    ['corner 4', expect.closeTo(140, 9)],
    ['middle side 5', expect.closeTo(160, 9)],
    ['corner 5', expect.closeTo(180, 9)],
    ['middle side 6', expect.closeTo(200, 9)],
    ['corner 6', expect.closeTo(220, 9)],
  ])
  expect(sleeve.notes).toEqual([])
  expect(sleeve.marks.find(({ code }) => code === 'hinge top')?.text).toMatch(
    / 120(\.0+1?)? mm .*the middle of side 4\.$/,
  )
})

test('a part wrap runs from corner to corner', () => {
  expect(girth(sleeveOf({ covered: 4 }))).toBeCloseTo(160, 9)
  // Four sixths of the rounded girth too, for both ends stand at the middle of an arc.
  expect(girth(sleeveOf({ covered: 4, radius: 5 }))).toBeCloseTo((236.77491 * 4) / 6, 5)
  expect(sleeveOf({ covered: 4 }).edges.every(({ lap }) => lap === undefined)).toBe(true)
  expect(ticksOf(sleeveOf({ covered: 3 })).map(([mark]) => mark)).toEqual(['corner 1', 'corner 2'])
})

test('across flats gives the same as the side: a hexagon is sqrt 3 sides across', () => {
  const across = { side: undefined, acrossFlats: 40 * Math.sqrt(3), radius: 5 }
  expect(girth(sleeveOf(across))).toBeCloseTo(236.77491, 6)
})

test('any sleeve is as long as its plan is round, by the formula of Cauchy', () => {
  let seen = 0
  fc.assert(
    fc.property(any, ({ template, values }) => {
      if (values.covered !== undefined) return
      seen++
      const [sleeve] = template.develop(values, thin, say)
      const n = Number(values.sides)
      const r = Number(values.radius)
      const apothem =
        values.side === undefined ? Number(values.acrossFlats) / 2 : Number(values.side) / (2 * Math.tan(Math.PI / n))
      // Cauchy: the girth of a convex plan is the sum over a full turn of how far it reaches in each direction. That
      // is r more than a sharp polygon of the apothem less r, whose reach goes up evenly from face to corner.
      const step = Math.PI / n
      const reach = (angle: number) => ((apothem - r) / Math.cos(step)) * Math.cos(step - angle) + r
      let sum = 0
      for (let k = 0; k < 100; k++) {
        const [a, b] = [(step * k) / 100, (step * (k + 1)) / 100]
        sum += ((b - a) / 6) * (reach(a) + 4 * reach((a + b) / 2) + reach(b))
      }
      expect((2 * n * sum) / girth(sleeve ?? expect.fail('no sleeve'))).toBeCloseTo(1, 9)
    }),
    { numRuns: 60 },
  )
  expect(seen).toBeGreaterThan(10)
})

test('both edges of the cut panel carry each fold', () => {
  const [panel] = panelsOf([sleeveOf({ radius: 5, seam: 'middle of a side' })])
  const folds = panel?.ticks.filter(({ role }) => role === 'fold').map(({ mark, edge }) => `${mark}, ${edge}`)
  expect(folds).toHaveLength(12)
  expect(folds).toContain('corner 6 top, top')
})

test('the drawing shows the measures that were given', () => {
  const words = (values: object) =>
    prismSleeve
      .sketch({ ...hexagon, ...values }, say)
      .items.flatMap((item) => (item.kind === 'words' ? [item.text] : []))
  expect(words({ girth: 241 })).toEqual(expect.arrayContaining(['40 mm', '90 mm', 'girth 241 mm', 'seam']))
  expect(words({ side: undefined, acrossFlats: 70, covered: 2 })).toEqual(
    expect.arrayContaining(['across flats 70 mm', 'film begins', 'film ends']),
  )
})

test('one of side and acrossFlats is wanted, and an odd number of sides has nothing across', () => {
  expect(problems({ side: undefined })).toMatchObject([{ code: 'missing', field: 'side' }])
  expect(problems({ acrossFlats: 69 })).toMatchObject([{ code: 'contradiction', field: 'acrossFlats' }])
  const odd = problems({ sides: 5, side: undefined, acrossFlats: 69 })
  expect(odd).toMatchObject([{ code: 'no_opposite_side', field: 'acrossFlats', value: '69 mm with 5 sides' }])
  expect(odd[0]?.text).toMatch(/only where the number of sides is even\. Measure one side/)
})

test('a radius that leaves no side, and more sides than there are, are refused', () => {
  // The circle inside a hexagon of 40 mm has a radius of 20 sqrt 3 = 34.64 mm.
  expect(problems({ radius: 34.6 })).toEqual([])
  const [round] = problems({ radius: 34.7 })
  expect(round).toMatchObject({ code: 'radii_too_big', field: 'radius' })
  expect(round?.text).toMatch(/the most is 34\.6 mm/)
  expect(problems({ covered: 5 })).toEqual([])
  expect(problems({ covered: 6 })).toMatchObject([{ code: 'too_many_sides', field: 'covered', value: '6' }])
  expect(problems({ covered: 2, overlap: 6 })).toMatchObject([{ code: 'overlap_on_part_wrap', field: 'overlap' }])
})

test('a girth that side and radius cannot give is refused with the size of the contradiction', () => {
  expect(problems({ girth: 241 })).toEqual([])
  // A hexagon loses 12 tan 30 - 2 pi = 0.645 mm a mm of radius: 6.5 mm less is 10.08 mm of radius.
  const [problem] = problems({ girth: 233.5 })
  expect(problem).toMatchObject({ code: 'contradiction', field: 'girth', value: '233.5 mm' })
  expect(problem?.text).toMatch(/side and radius give 240\.0 mm, which is 6\.5 mm more\..*: 10\.1 mm would fit/)
  expect(problems({ girth: 250 })[0]?.text).toMatch(/10\.0 mm less\. No radius explains that\. Measure side again/)
})
