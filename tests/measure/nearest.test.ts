import fc from 'fast-check'
import { expect, test } from 'vitest'
import { nearestWord } from '../../src/measure/nearest.ts'

const known = ['name', 'shape', 'girth', 'diameter', 'height', 'gap', 'overlap']

test.each([
  ['girht', 'girth'],
  ['girt', 'girth'],
  ['heigth', 'height'],
  ['heihgt', 'height'],
  ['hight', 'height'],
  ['Diametre', 'diameter'],
  ['overlapp', 'overlap'],
  ['gpa', 'gap'],
  ['GIRTH', 'girth'],
])('%s is taken for %s', (word, meant) => {
  expect(nearestWord(word, known)).toBe(meant)
})

test.each(['', 'x', 'colour', 'tickle', 'gi'])('"%s" is taken for nothing known', (word) => {
  expect(nearestWord(word, known)).toBeUndefined()
})

test('the nearest is taken, and of equally near ones the first', () => {
  expect(nearestWord('tops', ['stop', 'topa', 'tops'])).toBe('tops')
  expect(nearestWord('lefts', ['lefta', 'leftb'])).toBe('lefta')
})

test('nothing is near where nothing is known', () => {
  expect(nearestWord('girth', [])).toBeUndefined()
})

test('a word of more than two letters with one left out is found again', () => {
  const word = fc.string({ unit: fc.constantFrom(...'abcdefgh'), minLength: 3, maxLength: 12 })
  fc.assert(
    fc.property(word, fc.nat(11), (whole, n) => {
      const at = n % whole.length
      expect(nearestWord(whole.slice(0, at) + whole.slice(at + 1), [whole])).toBe(whole)
    }),
  )
})

test('a very long word is passed over at once', () => {
  expect(nearestWord('g'.repeat(1_000_000), known)).toBeUndefined()
})
