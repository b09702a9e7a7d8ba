import { parentPort, workerData } from 'node:worker_threads'
import { search } from '../job/search.ts'
import type { LaneOrder, LaneWord } from './lanes.ts'

/** One lane: searches from the seeds that it is given, until it is told to stop. */
const { request, rounds, stop } = workerData as LaneOrder
const stopped = new Int32Array(stop)
const isStopped = () => Atomics.load(stopped, 0) !== 0
const say = (word: LaneWord) => parentPort?.postMessage(word)

parentPort?.on('message', (seed: number) => {
  let told = 0
  const found = search(request, seed, rounds, (progress) => {
    const now = Date.now()
    if (now - told > 100) say({ progress })
    if (now - told > 100) told = now
    return isStopped()
  })
  say({ found })
})
