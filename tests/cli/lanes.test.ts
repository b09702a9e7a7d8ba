import { expect, test } from 'vitest'
import { type SearchOrder, searchLanes } from '../../src/cli/lanes.ts'
import { layoutRequest } from '../../src/job/preview.ts'
import { jobOf } from '../job/jobs.ts'

const order = async (more: Partial<SearchOrder>): Promise<SearchOrder> => {
  const strip = ['name: strip, shape: flat-panel, width: 200, height: 500']
  const request = await layoutRequest(jobOf(strip))
  if (!request) throw new Error('a job that cannot be laid out')
  return {
    request,
    seed: 3,
    rounds: 2000,
    seeds: undefined,
    seconds: 600,
    lanes: 1,
    onProgress: () => undefined,
    signal: new AbortController().signal,
    ...more,
  }
}

test('a search for a time ends before it where no layout can take less', { timeout: 60_000 }, async () => {
  const found = await searchLanes(await order({}))
  expect(found.seed).toBe(3)
  expect(found.laid.sheets).toHaveLength(1)
})

test('a search from some seeds looks at each of them, so that every computer takes the same one', async () => {
  const seen = new Set<number>()
  await searchLanes(await order({ seeds: 3, onProgress: ({ seed }) => seen.add(seed) }))
  expect([...seen]).toEqual([3, 4, 5])
})
