import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { rectangle } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { boxSleeve } from '../../templates/box-sleeve/template.ts'
import { any } from './any/box-sleeve.ts'
import { panelsOf, plainOptions, say, thin, unopened } from './measures.ts'

const box = {
  length: 300,
  width: 200,
  height: 140,
  radius: 25,
  girth: undefined as number | undefined,
  cover: 'all round',
  seam: 'middle of the back',
  overlap: undefined as number | undefined,
  middles: 'no',
  lid: 'no',
  base: 'no',
  ...unopened,
}
const developed = (values: object = {}, facts = thin) => boxSleeve.develop({ ...box, ...values }, facts, say)
const sleeveOf = (values: object = {}, facts = thin): Development =>
  developed(values, facts)[0] ?? expect.fail('no sleeve')
const girth = (sleeve: Development) => pathLength(sleeve.edges[0]?.path ?? expect.fail('no bottom edge'))
/** mm of film from the left edge to each fold or place, by the code of its mark. */
const ticksOf = (sleeve: Development): Record<string, number> =>
  Object.fromEntries(
    (sleeve.tickLines ?? []).map(({ mark, line }) => [mark, line.from.x - (sleeve.edges[0]?.path.start.x ?? 0)]),
  )
const problems = (values: object) =>
  boxSleeve.check({ ...box, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

test('a box of 300 x 200 mm with corners of 25 mm is 957.079633 mm round (2(a+b) - (8 - 2 pi) r)', () => {
  expect(girth(sleeveOf())).toBeCloseTo(957.079633, 6)
  expect(girth(sleeveOf({ radius: 0 }))).toBeCloseTo(1000, 9)
})

test('a convex girth grows by pi t on the middle of a film of t, with corners of any radius', () => {
  // Section "any convex girth grows by 2 pi t" of the parallel curve: 0.08 mm on its middle is 0.251327 mm.
  for (const radius of [0, 25, 100]) {
    const film = girth(sleeveOf({ radius }, { filmThickness: 0.08, tapeThickness: 0 }))
    expect(film - girth(sleeveOf({ radius }))).toBeCloseTo(0.251327, 6)
  }
})

test('folds stand where each face begins: at a sharp edge, or at the middle of the arc', () => {
  // From the middle of the back to the right: half the back, the left side, the front, the right side.
  const sharp = ticksOf(sleeveOf({ radius: 0 }))
  expect(sharp).toEqual({
    'corner back left': expect.closeTo(150, 9),
    'corner front left': expect.closeTo(350, 9),
    'corner front right': expect.closeTo(650, 9),
    'corner back right': expect.closeTo(850, 9),
  })
  // Half the flat of the back 125 mm and half an arc of 25 pi / 2 mm; the next fold a flat of 150 mm and an arc on.
  const arc = (25 * Math.PI) / 2
  const round = ticksOf(sleeveOf())
  expect(round['corner back left']).toBeCloseTo(125 + arc / 2, 9)
  expect(round['corner front left']).toBeCloseTo(125 + arc + 150 + arc / 2, 9)
})

test('the middle of each face has its ticks when asked for, except under the hinge', () => {
  expect(ticksOf(sleeveOf({ radius: 0, middles: 'yes' }))).toMatchObject({
    'middle left': expect.closeTo(250, 9),
    'middle right': expect.closeTo(750, 9),
  })
  expect(Object.keys(ticksOf(sleeveOf({ middles: 'yes' })))).not.toContain('middle front')
  expect(sleeveOf().marks.map(({ text }) => text)).toContainEqual(
    expect.stringMatching(/round from the seam line, to the right, at the top edge: the middle of the front\./),
  )
})

test('each fold says which corner it meets and how far round that is by tape', () => {
  const text = (values: object, facts = thin) =>
    sleeveOf(values, facts).marks.find(({ code }) => code === 'corner front left')?.text
  expect(text({ radius: 0 })).toBe(
    'The two ticks corner front left meet the front left corner: 350 mm round from the seam line.',
  )
  // The film's own thickness does not count on the tape: a corner and a half of 25.3 mm, and 125 + 150 mm flat.
  const taped = text({}, { filmThickness: 0.4, tapeThickness: 0.6 })
  expect(taped).toContain('the front left corner, at the middle of its rounding')
  expect(Number(/: ([\d.]+) mm round/.exec(taped ?? '')?.[1])).toBeCloseTo(275 + 1.5 * (Math.PI / 2) * 25.3, 9)
})

test('a seam on a corner leaves the corner opposite to the hinge, and the sheet says so', () => {
  for (const [seam, opposite, others] of [
    ['front left', 'back right', ['corner front right', 'corner back left']],
    ['back right', 'front left', ['corner back left', 'corner front right']],
  ] as const) {
    const sleeve = sleeveOf({ seam })
    expect(Object.keys(ticksOf(sleeve))).toEqual(others)
    expect(sleeve.notes.join()).toContain(`The hinge falls on the ${opposite} corner`)
    expect(sleeve.marks[0]?.text).toContain(`stands on the ${seam} corner`)
  }
  expect(sleeveOf().notes).toEqual([])
})

test('a run of faces ends at the middle of the corner at each end', () => {
  const arc = (25 * Math.PI) / 2
  expect(girth(sleeveOf({ cover: 'front' }))).toBeCloseTo(250 + arc, 9)
  expect(girth(sleeveOf({ cover: 'left front right' }))).toBeCloseTo(150 + 250 + 150 + 3 * arc, 9)
  const sleeve = sleeveOf({ cover: 'left front right', radius: 0 })
  expect(ticksOf(sleeve)).toEqual({
    'corner front left': expect.closeTo(200, 9),
    'corner front right': expect.closeTo(500, 9),
  })
  expect(sleeve.edges.map(({ lap }) => lap)).toEqual([undefined, undefined, undefined, undefined])
  expect(sleeve.marks[0]?.text).toBe('The film begins on the back left corner and ends on the back right corner.')
})

test('faces of one run and the faces of the rest make up the girth', () => {
  const parts = (values: object) => girth(sleeveOf({ ...values, radius: 37 }, { filmThickness: 0.3, tapeThickness: 0 }))
  const whole = parts({})
  for (const [cover, rest] of [
    ['front', 'right back left'],
    ['front right', 'back left'],
    ['left', 'front right back'],
  ]) {
    expect(parts({ cover }) + parts({ cover: rest })).toBeCloseTo(whole, 9)
  }
})

test('an opening is found by the tape round the corners, and the film is as long as its own middle there', () => {
  // Right of the front left corner: half an arc, the front's flat of 250 mm, an arc, and half the right side's 150 mm.
  const way = (radius: number) => (radius * Math.PI) / 4 + 250 + (radius * Math.PI) / 2 + 75
  const opening = { shape: 'round', diameter: 20, radius: 0, fromLeft: way(25.3) - 10, fromBottom: 30 }
  const values = { seam: 'front left', openings: [opening] }
  const sleeve = sleeveOf(values, { filmThickness: 0.4, tapeThickness: 0.6 })
  const box = boundsOf([sleeve.holes[0]?.path ?? expect.fail('no opening')])
  const left = sleeve.edges[0]?.path.start ?? expect.fail('no edge')
  expect((box.low.x + box.high.x) / 2 - left.x).toBeCloseTo(way(25.2), 9)
  expect((box.low.y + box.high.y) / 2 - left.y).toBeCloseTo(40, 9)
})

test('lid and base have the area of the top, ab - (4 - pi) r^2, and go on after the sleeve', () => {
  const all = developed({ lid: 'yes', base: 'yes', openings: [] })
  expect(all.map(({ part }) => part)).toEqual(['sleeve', 'base', 'lid'])
  const [, base, lid] = panelsOf(all)
  for (const panel of [base, lid]) {
    expect(panel && signedArea(panel.bare)).toBeCloseTo(300 * 200 - (4 - Math.PI) * 625, 6)
  }
  expect(lid?.marks.map(({ code }) => code)).toEqual(['front', 'hinge bottom', 'hinge top'])
  expect(developed().map(({ part }) => part)).toEqual([undefined])
})

test('the sleeve of any box has the area of its sides, and its two upright edges are as long as each other', () => {
  let seen = 0
  fc.assert(
    fc.property(any, ({ template, values }) => {
      const [sleeve] = template.develop(values, thin, say)
      if (!sleeve) return expect.fail('no sleeve')
      const [bottom, right, , left] = sleeve.edges.map(({ path }) => path)
      if (!bottom || !right || !left) return expect.fail('an edge is missing')
      expect(Math.abs(pathLength(right) - pathLength(left))).toBeLessThan(1e-9)
      if (values.cover !== 'all round') return
      seen++
      const [l, w, r] = [Number(values.length), Number(values.width), Number(values.radius)]
      const plan = pathLength(rectangle(point(0, 0), point(l, w), [r, r, r, r]))
      expect(pathLength(bottom) / plan).toBeCloseTo(1, 10)
    }),
    { numRuns: 100 },
  )
  expect(seen).toBeGreaterThan(20)
})

test('ticks stand at both edges of the cut panel, and the lap has its seam ticks', () => {
  const [panel] = panelsOf(developed({ overlap: 8 }), { ...plainOptions })
  if (!panel) return expect.fail('no panel')
  const folds = panel.ticks.filter(({ role }) => role === 'fold')
  expect(folds.map(({ mark }) => mark)).toContain('corner front right top')
  expect(folds).toHaveLength(8)
  expect(panel.ticks.filter(({ role }) => role === 'seam')).toHaveLength(2)
  const [a, b] = panel.outline.segments.map(({ to }) => to)
  expect(a && distance(panel.outline.start, a)).toBeCloseTo(957.079633 + 8, 6)
  expect(a && b && distance(a, b)).toBeCloseTo(142, 9)
})

test('the drawing shows the measures, the seam, and both ends of a run', () => {
  const words = (values: object) =>
    boxSleeve.sketch({ ...box, ...values }, say).items.flatMap((item) => (item.kind === 'words' ? [item.text] : []))
  expect(words({})).toEqual(expect.arrayContaining(['300 mm', '200 mm', '140 mm', 'radius 25 mm', 'seam']))
  expect(words({ cover: 'right back' })).toEqual(expect.arrayContaining(['film begins', 'film ends']))
})

test('corners that do not fit on a side are refused', () => {
  expect(problems({ radius: 100 })).toEqual([])
  const [problem, ...others] = problems({ radius: 101 })
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'radii_too_big', field: 'radius', value: '101 mm' })
  expect(problem?.text).toMatch(/half the smaller side is 100 mm.*two corners must fit on a side/)
})

test('a girth that the other measures cannot give is refused with the radius that would fit, or without one', () => {
  expect(problems({ girth: 958 })).toEqual([])
  // Sharp corners would be 1000 mm round: 10 mm too much radius is 17.2 mm of girth.
  const radius = problems({ girth: 1000 - 1.716815 * 15 })
  expect(radius).toMatchObject([{ code: 'contradiction', field: 'girth' }])
  expect(radius[0]?.text).toMatch(
    /length, width and radius give 957\.1 mm, which is 17\.2 mm less\. .*15\.0 mm would fit/,
  )
  expect(problems({ girth: 1040 })[0]?.text).toMatch(/No radius explains that\. Measure length, width again/)
  expect(problems({ girth: 700 })[0]?.text).toMatch(/No radius explains that\. Measure the girth again/)
  expect(sleeveOf({ girth: 958 }).notes[0]).toMatch(/is 0\.920\d* mm more than the other measures give/)
})

test('an overlap on a run of faces is refused', () => {
  expect(problems({ cover: 'front right', overlap: 6 })).toMatchObject([
    { code: 'overlap_on_part_wrap', field: 'overlap', value: '6 mm' },
  ])
  expect(problems({ overlap: 6 })).toEqual([])
})
