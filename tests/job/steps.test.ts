import { describe, expect, test } from 'vitest'
import { applySteps } from '../../src/job/steps.ts'

const applying = (hasSlit: boolean, material: 'paper' | 'plastic', thickness = 0.1) =>
  applySteps(hasSlit, { material, thickness })
    .find((step) => step.heading === 'Apply')
    ?.lines.join(' ') ?? ''

describe('the steps of applying', () => {
  test('say how deep the slitter may go, where to try it, and whose word comes first', () => {
    const words = applying(true, 'paper')
    expect(words).toContain('no deeper than the 0.1 mm paper liner; try on an offcut of the same film')
    expect(words).toContain("maker's data sheet for the film comes first")
    expect(words).toContain('never film up')
    expect(words).not.toContain('plastic')
  })

  test('say of a plastic liner that a scratch is not enough', () => {
    const words = applying(true, 'plastic', 0.075)
    expect(words).toContain('no deeper than the 0.075 mm plastic liner')
    expect(words).toContain('does not tear along a scratch')
    expect(words).toContain('needs a full cut of the liner')
  })

  test('say nothing of a slitter where there is no slit', () => {
    for (const material of ['paper', 'plastic'] as const) {
      expect(applying(false, material)).toContain('No slit is asked for')
      expect(applying(false, material)).not.toContain('slitter')
    }
    expect(applying(false, 'plastic')).toContain('does not tear along the fold')
  })
})
