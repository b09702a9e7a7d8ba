import { beats, isLeastFilm, type SeedJudged } from '../../job/better-layout.ts'
import type { SearchNews } from '../../job/preview-data.ts'
import { askRequest } from '../ask.ts'
import type { LaneOrder } from '../compute.ts'

export type Best = SearchNews & { readonly found: NonNullable<SearchNews['found']> }

/** How a search stands over all its seeds. */
export interface Standing {
  /** rounds of the seed that has come farthest */
  readonly round: number
  readonly atLeast: number
  readonly best: Best | undefined
  /** set when it has ended by itself */
  readonly end?: 'nothing less' | 'nothing more to try'
}

/** As many seeds as there are cores but one, which the page keeps for itself. */
const lanes = Math.max(1, Math.min(4, (navigator.hardwareConcurrency || 2) - 1))

export const judged = ({ seed, paid, found }: Best): SeedJudged => ({
  seed,
  isWhole: true,
  paid,
  sheets: found.sheets.length,
})

/** Looks for a layout that takes less film, from several seeds at once, until the function that is handed back is called. */
export async function startSearch(
  text: string,
  seed: number,
  tell: (standing: Standing) => void,
): Promise<(() => void) | undefined> {
  const request = await askRequest(text).catch(() => undefined)
  if (request === undefined) return undefined
  let standing: Standing = { round: 0, atLeast: 0, best: undefined }
  let running = lanes
  const workers = Array.from({ length: lanes }, (_, i) => {
    const worker = new Worker(new URL('../lane.ts', import.meta.url), { type: 'module' })
    worker.addEventListener('message', ({ data }: MessageEvent<SearchNews>) => {
      const { found } = data
      const own = found ? { ...data, found } : undefined
      standing = {
        round: Math.max(standing.round, data.round),
        atLeast: data.atLeast,
        best: own && beats(judged(own), standing.best && judged(standing.best)) ? own : standing.best,
      }
      if (data.isOver) {
        running--
        const { best } = standing
        const isLeast = best !== undefined && isLeastFilm(best.paid, data.atLeast)
        if (isLeast || running === 0) {
          standing = { ...standing, end: isLeast ? 'nothing less' : 'nothing more to try' }
          for (const each of workers) each.terminate()
        }
      }
      tell(standing)
    })
    const order: LaneOrder = { request, seed: seed + i }
    worker.postMessage(order)
    return worker
  })
  return () => {
    for (const worker of workers) worker.terminate()
  }
}
