import { expect, test } from 'vitest'
import { begin, change, redo, turnTo, undo } from '../../src/web/history.ts'

const first = begin({ text: 'a', file: 0 })

test('typing in one field is one step back; a rest or another field begins the next', () => {
  let h = change(first, 'b', 'girth', 0)
  h = change(h, 'c', 'girth', 500)
  h = change(h, 'd', 'height', 600)
  h = change(h, 'e', 'height', 9000)
  const back = [undo(h)]
  for (let i = 0; i < 3; i++) back.push(undo(back.at(-1) ?? h))
  expect(back.map(({ now }) => now.text)).toEqual(['d', 'c', 'a', 'a'])
  const on = [redo(back.at(-1) ?? h)]
  for (let i = 0; i < 3; i++) on.push(redo(on.at(-1) ?? h))
  expect(on.map(({ now }) => now.text)).toEqual(['c', 'd', 'e', 'e'])
})

test('a change after an undo drops what was undone; the same text is no change', () => {
  let h = undo(change(first, 'b', 'x', 0))
  h = change(h, 'c', 'x', 1)
  expect(redo(h).now.text).toBe('c')
  expect(change(h, 'c', 'x', 2)).toBe(h)
  // a change without a place is a step of its own
  expect(undo(change(change(first, 'b', undefined, 0), 'c', undefined, 1)).now.text).toBe('b')
})

test('another job is a step of its own, and undo leads back to the first one and its file', () => {
  let h = change(first, 'b', 'x', 0)
  h = turnTo(h, { text: 'other', file: 1 })
  h = change(h, 'other, changed', 'x', 1)
  expect(h.now.file).toBe(1)
  expect(undo(h).now).toEqual({ text: 'other', file: 1 })
  expect(undo(undo(h)).now).toEqual({ text: 'b', file: 0 })
  expect(redo(undo(undo(h))).now).toEqual({ text: 'other', file: 1 })
})
