import fc from 'fast-check'
import { expect, test } from 'vitest'
import { utf8Text } from '../../src/measure/utf8-text.ts'

test('text in UTF-8 is read, without a byte-order mark', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), (text) => {
      const plain = text.replace(/^\ufeff/, '').replace(/\p{Cs}/gu, '')
      expect(utf8Text(new TextEncoder().encode(`\ufeff${plain}`))).toEqual({ text: plain })
    }),
  )
})

test('text in another encoding is not, and the first line that is wrong is told', () => {
  const latin = (text: string) => Uint8Array.from(text, (letter) => letter.charCodeAt(0))
  expect(utf8Text(latin('title: T\u00fcre\n'))).toEqual({ line: 1 })
  expect(utf8Text(latin('version: 1\r\n\r\ntitle: a\r\nname: T\u00fcre'))).toEqual({ line: 4 })
  // UTF-16 with its mark
  expect(utf8Text(latin('\u00ff\u00fea\u0000'))).toEqual({ line: 1 })
})
