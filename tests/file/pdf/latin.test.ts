import fc from 'fast-check'
import { expect, it } from 'vitest'
import { latin } from '../../../src/file/pdf/latin.ts'

it('leaves Latin-1 and the Windows extras as they are', () => {
  expect(latin('Façade · 30 × 40 mm ± 0.5° — “x” €…')).toBe('Façade · 30 × 40 mm ± 0.5° — “x” €…')
})

it('joins letters with marks that stand apart', () => {
  expect(latin('e\u0301')).toBe('é')
})

it('gives only characters that WinAnsiEncoding has (PDF 32000-1, annex D.2), whatever it is given', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      expect(latin(text)).toMatch(/^[\u0020-\u007e\u00a1-\u00ff€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]*$/)
    }),
  )
})
