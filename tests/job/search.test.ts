import { describe, expect, test } from 'vitest'
import { isLeastFilm } from '../../src/job/better-layout.ts'
import { layoutRequest } from '../../src/job/preview.ts'
import type { SearchNews } from '../../src/job/preview-data.ts'
import { isPerfectFind, search } from '../../src/job/search.ts'
import { searchLane } from '../../src/job/search-preview.ts'
import { jobOf } from './jobs.ts'

async function requestOf(objects: readonly string[], head = '') {
  const request = await layoutRequest(jobOf(objects, head))
  if (!request) throw new Error('a job that cannot be laid out')
  return request
}

/** A piece alone takes its own length of the roll, which is the least that there can be. */
const strip = ['name: strip, shape: flat-panel, width: 200, height: 500']
/** Discs always leave room between them. */
const lids = ['name: lid, shape: disc, diameter: 98, copies: 9']

describe('a search for less film', () => {
  test('ends by itself where no layout can take less', async () => {
    let told = 0
    const found = search(await requestOf(strip), 1, 1e6, () => ++told > 5000)
    expect(found.laid.problems).toEqual([])
    expect(isPerfectFind(found)).toBe(true)
    expect(told).toBeLessThan(5000)
    expect(found.rounds).toBeLessThan(20)
  })

  test('goes on where there may be a better one, for as long as it is let', async () => {
    const found = search(await requestOf(lids), 1, 3, () => false)
    expect(found.rounds).toBe(3)
    expect(isPerfectFind(found)).toBe(false)
  })

  test('tells the page of its end, with the layout before it', async () => {
    const all: SearchNews[] = []
    searchLane(await requestOf(strip), 7, (news) => all.push(news))
    const last = all.at(-1)
    expect(last).toMatchObject({ seed: 7, isOver: true })
    expect(all.filter(({ found }) => found)).not.toEqual([])
    expect(isLeastFilm(last?.paid ?? 0, last?.atLeast ?? 0)).toBe(true)
    expect(all.filter(({ isOver }) => isOver)).toHaveLength(1)
  })

  test.each([
    [100, 100, true],
    [100.04, 100, true],
    [100.06, 100, false],
    [1, 0, false],
  ])('%d mm² of film, of at least %d, is the least: %s', (paid, atLeast, is) => {
    expect(isLeastFilm(paid, atLeast)).toBe(is)
  })
})
