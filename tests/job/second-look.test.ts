import { expect, test } from 'vitest'
import { previewObject } from '../../src/job/preview.ts'

const room = { width: 100, height: 70 }
const band = (unit: string, measures: Readonly<Record<string, unknown>>) =>
  previewObject(
    { version: 1, title: 'Tins', unit, objects: [{ name: 'tin', shape: 'straight-band', ...measures }] },
    0,
    { room, lists: false },
  )

test('a list for marking out by hand is worked out where it is asked for', async () => {
  const tin = { name: 'tin', shape: 'straight-band', girth: 314, height: 180 }
  const listed = async (lists: boolean) => {
    const { panels = [] } = await previewObject({ version: 1, title: 'Tins', unit: 'mm', objects: [tin] }, 0, {
      room,
      lists,
    })
    return panels.map(({ markOut }) => markOut?.lines[1])
  }
  expect(await listed(false)).toEqual([undefined])
  expect(await listed(true)).toEqual([expect.stringMatching(/^Mark point 2 on the line, /)])
})

test('a girth is told as a diameter too, which shows one that was typed in its place', async () => {
  // 314.16 mm round is 100 mm across
  expect((await band('mm', { girth: 314.16, height: 180 })).asides).toEqual({ girth: '100 mm across, if it is round' })
  expect((await band('mm', { diameter: 100, height: 180 })).asides).toEqual({})
})
