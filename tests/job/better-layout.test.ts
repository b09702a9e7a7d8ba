import { expect, test } from 'vitest'
import { beats } from '../../src/job/better-layout.ts'

const layout = { seed: 3, isWhole: true, paid: 500_000, sheets: 2 }

test.each([
  ['one that lays everything, whatever it takes', { paid: 900_000, sheets: 9, seed: 9 }, { isWhole: false }],
  ['less new film, though in more sheets', { paid: 499_998, sheets: 9, seed: 9 }, {}],
  ['fewer sheets of film that is less than 1 mm^2 apart', { paid: 500_000.9, sheets: 1, seed: 9 }, {}],
  ['the lower seed of two that are the same otherwise', { seed: 2 }, {}],
])('better is %s', (_, better, worse) => {
  const [a, b] = [
    { ...layout, ...better },
    { ...layout, ...worse },
  ]
  expect(beats(a, b)).toBe(true)
  expect(beats(b, a)).toBe(false)
})

test('any layout is better than none, and none is better than itself', () => {
  expect(beats(layout, undefined)).toBe(true)
  expect(beats(layout, layout)).toBe(false)
})
