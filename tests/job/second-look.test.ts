import { expect, test } from 'vitest'
import { previewObject } from '../../src/job/preview.ts'

const room = { width: 100, height: 70 }
const band = (unit: string, measures: Readonly<Record<string, unknown>>) =>
  previewObject(
    { version: 1, title: 'Tins', unit, objects: [{ name: 'tin', shape: 'straight-band', ...measures }] },
    0,
    room,
  )

test('bare millimetres typed while the job is in another unit are doubted, with the unit that they may be in', async () => {
  // 534 mm by 180 mm is a paint tin; 534 in are 13.6 m
  const { unitDoubt, problems } = await band('in', { girth: 534, height: 180 })
  expect(problems).toEqual([])
  expect(unitDoubt).toEqual({ words: expect.stringContaining('Bare numbers are read as in.'), unit: 'mm' })
  expect((await band('cm', { girth: [534, 535], height: 18 })).unitDoubt?.unit).toBe('mm')
  expect((await band('m', { girth: '20', height: '0.9' })).unitDoubt?.unit).toBe('cm')
})

test('a panel of a usual size is not doubted, nor one whose measures carry their unit', async () => {
  expect((await band('mm', { girth: 534, height: 180 })).unitDoubt).toBeUndefined()
  expect((await band('in', { girth: '21 1/32', height: '7 3/32' })).unitDoubt).toBeUndefined()
  expect((await band('in', { girth: '12 m', height: '50 cm' })).unitDoubt).toBeUndefined()
  // nothing smaller than mm is meant by anybody
  expect((await band('mm', { girth: 12000, height: 500 })).unitDoubt?.unit).toBeUndefined()
})

test('a girth is told as a diameter too, which shows one that was typed in its place', async () => {
  // 314.16 mm round is 100 mm across
  expect((await band('mm', { girth: 314.16, height: 180 })).asides).toEqual({ girth: '100 mm across, if it is round' })
  expect((await band('mm', { diameter: 100, height: 180 })).asides).toEqual({})
})
