import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { disc } from '../../templates/disc/template.ts'
import { outlineOf } from '../../templates/flat-face.ts'
import { any } from './any/disc.ts'
import { expectClosed, faceOf, roundLength } from './faces.ts'
import { mm, panelOf, plainOptions, say, thin, unopened } from './measures.ts'

const developed = (diameter: number, more: object = {}) =>
  faceOf(disc.develop({ diameter, ...unopened, ...more }, thin, say))

test('a disc of 168 mm is 168 pi mm round and 84^2 pi mm^2', () => {
  const face = developed(168)
  expectClosed(face)
  expect(roundLength(face)).toBeCloseTo(527.787566, 6)
  expect(signedArea(outlineOf(face.edges)) / (84 * 84 * Math.PI)).toBeCloseTo(1, 12)
  expect(face.marks.map(({ code }) => code)).toEqual(['hinge bottom', 'hinge top'])
  const [, top] = face.marks
  expect(Number(/Mark the object ([\d.]+) mm round/.exec(top?.text ?? '')?.[1])).toBeCloseTo(84 * Math.PI, 9)
})

test('a disc cut with an allowance all round is a disc that much bigger', () => {
  fc.assert(
    fc.property(any, mm(-6, 8), ({ values, facts }, allowance) => {
      const face = faceOf(disc.develop(values, facts, say))
      const panel = panelOf([face], { ...plainOptions, allowances: { other: allowance } })
      const radius = Number(values.diameter) / 2 + allowance
      expect(signedArea(panel.outline) / (radius * radius * Math.PI)).toBeCloseTo(1, 9)
      const { low, high } = boundsOf([panel.outline])
      for (const reach of [-low.x, -low.y, high.x, high.y]) expect(reach).toBeCloseTo(radius, 9)
      expect(panel.ticks.map((tick) => tick.edge)).toEqual(['bottom', 'top'])
      expect(panel.hinge).toEqual({
        from: { x: expect.closeTo(0, 9), y: expect.closeTo(-radius, 9) },
        to: { x: expect.closeTo(0, 9), y: expect.closeTo(radius, 9) },
      })
    }),
  )
})

test('openings are measured from straight-edges that touch the disc left and below', () => {
  const openings = [
    { shape: 'round', diameter: 40, width: undefined, height: undefined, radius: 0, fromLeft: 64, fromBottom: 30 },
  ]
  const [hole = expect.fail('no hole')] = developed(168, { openings }).holes
  const { low, high } = boundsOf([hole.path])
  expect([low.x, low.y, high.x, high.y].map((x) => Number(x.toFixed(9)))).toEqual([-20, -54, 20, -14])
})
