import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { Worker } from 'node:worker_threads'
import type { Found, Progress } from '../job/search.ts'

type Request = Parameters<typeof import('../job/search.ts').search>[0]

/** What a lane is started with. */
export interface LaneOrder {
  readonly request: Request
  readonly rounds: number
  /** one whole number, which is not 0 once the search shall end */
  readonly stop: SharedArrayBuffer
}

/** What a lane says. */
export type LaneWord = { readonly progress: Progress } | { readonly found: Found }

export interface SearchOrder {
  readonly request: Request
  readonly seed: number
  /** of each seed */
  readonly rounds: number
  /** how many seeds are tried; without it as many as there is time for */
  readonly seeds: number | undefined
  readonly seconds: number
  /** how many seeds are searched from at once */
  readonly lanes: number
  readonly onProgress: (progress: Progress, seconds: number) => void
  /** ends the search early; the best so far is kept */
  readonly signal: AbortSignal
}

/** The longest that a timer counts, ms. */
const longest = 2 ** 31 - 1

/** Searches from several seeds at once, each in a thread of its own, and gives the best that was found. */
export async function searchLanes(order: SearchOrder): Promise<Found> {
  const file = new URL('./layout-worker.js', import.meta.url)
  if (order.lanes > 1 && existsSync(fileURLToPath(file))) return threaded(order, file)
  return here(order)
}

/** Where no threads are to be had: one seed after the other. */
async function here({ request, seed, rounds, seeds, seconds, onProgress, signal }: SearchOrder): Promise<Found> {
  const { search, foundBeats, isPerfectFind } = await import('../job/search.ts')
  const start = Date.now()
  const spent = () => (Date.now() - start) / 1000
  const isOver = () => signal.aborted || spent() >= seconds
  let best: Found | undefined
  for (let i = 0; i < (seeds ?? Infinity); i++) {
    const found = search(request, seed + i, rounds, (progress) => {
      onProgress(progress, spent())
      return isOver()
    })
    if (foundBeats(found, best)) best = found
    // an interrupt comes in between
    await new Promise((resolve) => setImmediate(resolve))
    if (isOver() || (seeds === undefined && isPerfectFind(found))) break
  }
  if (!best) throw new RangeError('a search from no seed')
  return best
}

async function threaded(order: SearchOrder, file: URL): Promise<Found> {
  const { request, seed, rounds, seeds = Infinity, seconds, lanes, onProgress, signal } = order
  const { foundBeats, isPerfectFind } = await import('../job/search.ts')
  const stop = new SharedArrayBuffer(4)
  const start = Date.now()
  const end = () => {
    Atomics.store(new Int32Array(stop), 0, 1)
  }
  const timer = Number.isFinite(seconds) ? setTimeout(end, Math.min(seconds * 1000, longest)) : undefined
  signal.addEventListener('abort', end)
  let next = seed
  let best: Found | undefined
  const isOver = () => Atomics.load(new Int32Array(stop), 0) !== 0 || next >= seed + seeds
  const lane = () =>
    new Promise<void>((resolve, reject) => {
      const worker = new Worker(file, { workerData: { request, rounds, stop } satisfies LaneOrder })
      const give = () => {
        worker.postMessage(next)
        next += 1
      }
      worker.on('error', reject)
      worker.on('message', (word: LaneWord) => {
        if ('progress' in word) {
          onProgress(word.progress, (Date.now() - start) / 1000)
          return
        }
        if (foundBeats(word.found, best)) best = word.found
        // As many seeds as were asked for are looked at whatever is quickest, so that the same one is taken every time.
        if (order.seeds === undefined && isPerfectFind(word.found)) end()
        if (!isOver()) give()
        else worker.terminate().then(() => resolve(), reject)
      })
      give()
    })
  try {
    await Promise.all(Array.from({ length: Math.min(lanes, seeds) }, lane))
  } finally {
    clearTimeout(timer)
    end()
    signal.removeEventListener('abort', end)
  }
  if (!best) throw new RangeError('a search from no seed')
  return best
}
