import { expect, test } from 'vitest'
import { begin, change, redo, undo } from '../../src/web/history.ts'

test('typing in one field is one step back; a rest or another field begins the next', () => {
  let h = begin('a')
  h = change(h, 'b', 'girth', 0)
  h = change(h, 'c', 'girth', 500)
  h = change(h, 'd', 'height', 600)
  h = change(h, 'e', 'height', 9000)
  expect(['d', 'c', 'a', 'a']).toEqual([(h = undo(h)).now, (h = undo(h)).now, (h = undo(h)).now, (h = undo(h)).now])
  expect(['c', 'd', 'e', 'e']).toEqual([(h = redo(h)).now, (h = redo(h)).now, (h = redo(h)).now, (h = redo(h)).now])
})

test('a change after an undo drops what was undone; the same text is no change', () => {
  let h = undo(change(begin('a'), 'b', 'x', 0))
  h = change(h, 'c', 'x', 1)
  expect(redo(h).now).toBe('c')
  expect(change(h, 'c', 'x', 2)).toBe(h)
})
