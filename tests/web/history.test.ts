import { expect, test } from 'vitest'
import { begin, change, redo, undo } from '../../src/web/history.ts'

test('typing in one field is one step back; a rest or another field begins the next', () => {
  let h = begin('a')
  h = change(h, 'b', 'girth', 0)
  h = change(h, 'c', 'girth', 500)
  h = change(h, 'd', 'height', 600)
  h = change(h, 'e', 'height', 9000)
  const back = [undo(h)]
  for (let i = 0; i < 3; i++) back.push(undo(back.at(-1) ?? h))
  expect(back.map(({ now }) => now)).toEqual(['d', 'c', 'a', 'a'])
  const on = [redo(back.at(-1) ?? h)]
  for (let i = 0; i < 3; i++) on.push(redo(on.at(-1) ?? h))
  expect(on.map(({ now }) => now)).toEqual(['c', 'd', 'e', 'e'])
})

test('a change after an undo drops what was undone; the same text is no change', () => {
  let h = undo(change(begin('a'), 'b', 'x', 0))
  h = change(h, 'c', 'x', 1)
  expect(redo(h).now).toBe('c')
  expect(change(h, 'c', 'x', 2)).toBe(h)
})
