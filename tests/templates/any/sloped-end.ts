import fc from 'fast-check'
import { ownShape } from '../../../src/job/own-shape.ts'
import type { Template } from '../../../src/panel/template.ts'
import { type Measured, mm, thin } from '../measures.ts'

const file = '../../../samples/shapes/sloped-end/template.mjs'
const template: Template = ownShape((await import(file)).default, [])

/** The shape of the tool library's own that comes as a sample. */
export const any: fc.Arbitrary<Measured> = fc
  .record({ width: mm(80, 800), front: mm(60, 400), rise: mm(-0.9, 0.9) })
  .map(({ width, front, rise }) => {
    const back = Math.max(60, front + rise * width)
    return { template, values: { width, front, back }, facts: thin }
  })
