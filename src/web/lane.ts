import { searchLane } from '../job/search-preview.ts'
import type { LaneOrder } from './compute.ts'

// What of a worker's surroundings is used here; the rest of the browser is no business of the computing rooms.
declare function addEventListener(what: 'message', take: (event: { readonly data: LaneOrder }) => void): void
declare function postMessage(news: Parameters<Parameters<typeof searchLane>[2]>[0]): void

/** News without a better layout is told at most this often, ms. */
const often = 150

/** Searches until nothing better can be found, or it is ended from outside. */
addEventListener('message', ({ data: { request, seed } }) => {
  let told = 0
  searchLane(request as Parameters<typeof searchLane>[0], seed, (news) => {
    const now = Date.now()
    if (!news.found && !news.isOver && now - told < often) return
    told = now
    postMessage(news)
  })
})
