import { expect, test } from 'vitest'
import { crc32 } from '../../src/file/crc32.ts'

const of = (text: string) => crc32(new TextEncoder().encode(text))

test('the nine digits have the check value that is published for CRC-32, and nothing has 0', () => {
  expect(of('123456789')).toBe('cbf43926')
  expect(of('')).toBe('00000000')
})

test('the empty end chunk of every PNG file ends with ae 42 60 82', () => {
  expect(of('IEND')).toBe('ae426082')
})

test('one digit changed, or two changed over, is another checksum', () => {
  const plain = of('IN;SP1;PU0,0;PD400,0;PU;')
  expect(of('IN;SP1;PU0,0;PD401,0;PU;')).not.toBe(plain)
  expect(of('IN;SP1;PU0,0;PD040,0;PU;')).not.toBe(plain)
})
