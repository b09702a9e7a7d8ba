import type {
  BladeWay,
  CatalogueEntry,
  JobPreview,
  MadeFiles,
  ObjectPreview,
  PlainJob,
  Room,
} from '../job/preview-data.ts'
import type { SendCheck } from '../job/send-run.ts'
import type { Answer, Ask, Question } from './compute.ts'

/** A worker of its own, from the first question on, with what was asked of it. */
function asker() {
  let worker: Worker | undefined
  let count = 0
  const waiting = new Map<number, { done: (got: unknown) => void; fail: (error: Error) => void }>()
  const start = () => {
    const own = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' })
    own.addEventListener('message', ({ data }: MessageEvent<Answer>) => {
      const asked = waiting.get(data.id)
      waiting.delete(data.id)
      if ('got' in data) asked?.done(data.got)
      else asked?.fail(new Error(data.failed))
    })
    return own
  }
  return <T>(what: Ask): Promise<T> => {
    worker ??= start()
    const question: Question = { id: ++count, ask: what }
    worker.postMessage(question)
    return new Promise((done, fail) => {
      waiting.set(question.id, { done: (got) => done(got as T), fail })
    })
  }
}

/** For what must follow a key at once. */
const ask = asker()
/** For the job as a whole, which may take a while. */
const askWhole = asker()
const askBoth = async <T>(what: Ask): Promise<T> => {
  const [one] = await Promise.all([ask<T>(what), askWhole<T>(what)])
  return one
}

/** Of several asked while the worker is busy, only the last is done; the others never come back. */
function latest<A extends readonly unknown[], T>(run: (...args: A) => Promise<T>, take: (got: T, ...args: A) => void) {
  let busy = false
  let next: A | undefined
  const start = async (args: A) => {
    busy = true
    try {
      take(await run(...args), ...args)
    } finally {
      busy = false
      const following = next
      next = undefined
      if (following) void start(following)
    }
  }
  return (...args: A) => {
    if (busy) next = args
    else void start(args)
  }
}

export const askCatalogue = () => ask<CatalogueEntry[]>({ what: 'catalogue' })
/** What a search for a better layout begins with, to be handed on as it is. */
export const askRequest = (text: string) => askWhole<unknown>({ what: 'request', text })
export const askBlade = (text: string, sheet: number) =>
  askWhole<{ readonly film: BladeWay; readonly liner: BladeWay } | undefined>({ what: 'blade', text, sheet })
export const askCheck = (name: string, bytes: Uint8Array, report: string) =>
  askWhole<SendCheck | { readonly problems: readonly string[] }>({ what: 'check', name, bytes, report })
export const askFiles = (text: string) => askWhole<MadeFiles>({ what: 'files', text })
export const keepFile = (name: string, bytes: Uint8Array) => askBoth<true>({ what: 'keep', name, bytes })
/** Takes the shop's own shapes from the local server; what comes back is told to the person. */
export const askOwn = (base: string) => askBoth<string[]>({ what: 'serve', base })
export const warm = () => askWhole<true>({ what: 'warm' })

export const objectAsker = (take: (got: ObjectPreview, job: PlainJob, index: number) => void) =>
  latest((job: PlainJob, index: number, room: Room) => ask<ObjectPreview>({ what: 'object', job, index, room }), take)

export const jobAsker = (take: (got: JobPreview) => void) =>
  latest((text: string, withSheets: boolean) => askWhole<JobPreview>({ what: 'job', text, withSheets }), take)
