import type {
  BladeWay,
  CatalogueEntry,
  FileToSend,
  JobPreview,
  MadeFiles,
  ObjectPreview,
  ObjectView,
  PlainJob,
  WantedSpot,
} from '../job/preview-data.ts'
import type { Answer, Ask, Question } from './compute.ts'

/** Why something was not worked out: the person or a newer question ended it. */
export class BrokenOff extends Error {}

/** A worker of its own, from the first question on, with what was asked of it. */
function asker() {
  let worker: Worker | undefined
  let count = 0
  const waiting = new Map<number, { done: (got: unknown) => void; fail: (error: Error) => void }>()
  /** What a worker in place of this one must be told first. */
  const told = new Map<string, Ask>()
  const end = (why: Error) => {
    worker?.terminate()
    worker = undefined
    const lost = [...waiting.values()]
    waiting.clear()
    for (const { fail } of lost) fail(why)
  }
  const start = () => {
    const own = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' })
    own.addEventListener('message', ({ data }: MessageEvent<Answer>) => {
      const asked = waiting.get(data.id)
      waiting.delete(data.id)
      if ('got' in data) asked?.done(data.got)
      else asked?.fail(new Error(data.failed))
    })
    own.addEventListener('error', (event) => {
      event.preventDefault()
      if (own === worker) end(new Error('a part of this page cannot be loaded'))
    })
    for (const what of told.values()) own.postMessage({ id: ++count, ask: what } satisfies Question)
    return own
  }
  const ask = <T>(what: Ask): Promise<T> => {
    worker ??= start()
    if (what.what === 'serve') told.set('', what)
    if (what.what === 'keep') told.set(what.name, what)
    const question: Question = { id: ++count, ask: what }
    worker.postMessage(question)
    return new Promise((done, fail) => {
      waiting.set(question.id, { done: (got) => done(got as T), fail })
    })
  }
  return { ask, breakOff: () => end(new BrokenOff()) }
}

/** For what must follow a key at once. */
const { ask } = asker()
/** For the job as a whole, which may take a while. */
const { ask: askWhole, breakOff } = asker()
/** Ends whatever of the whole job is being worked out. */
export const breakOffWhole = breakOff
const askBoth = async <T>(what: Ask): Promise<T> => {
  const [one] = await Promise.all([ask<T>(what), askWhole<T>(what)])
  return one
}

/** Work on what is no longer asked for is ended after this, ms. */
export const patience = 2000

interface Telling<A> {
  /** is told what is being worked out, and undefined when it is over */
  readonly working?: (args: A | undefined) => void
  readonly fail: (why: string) => void
  /** ends what is being worked out, where it is another thing than what is asked for now */
  readonly breakOff?: (args: A, now: A) => unknown
}

/** Of several asked while the worker is busy, only the last is done; the others never come back. */
function latest<A extends readonly unknown[], T>(
  run: (...args: A) => Promise<T>,
  take: (got: T, ...args: A) => void,
  { working, fail, breakOff }: Telling<A>,
) {
  let begun: { readonly args: A; readonly at: number } | undefined
  let next: A | undefined
  let timer: ReturnType<typeof setTimeout> | undefined
  const start = async (args: A) => {
    begun = { args, at: performance.now() }
    working?.(args)
    try {
      take(await run(...args), ...args)
    } catch (error) {
      if (!(error instanceof BrokenOff)) fail(error instanceof Error ? error.message : String(error))
    } finally {
      begun = undefined
      clearTimeout(timer)
      timer = undefined
      working?.(undefined)
      const following = next
      next = undefined
      if (following) void start(following)
    }
  }
  return (...args: A) => {
    if (begun === undefined) {
      void start(args)
      return
    }
    next = args
    const { args: old, at } = begun
    const end = () => {
      timer = undefined
      breakOff?.(old, next ?? old)
    }
    timer ??= setTimeout(end, Math.max(0, at + patience - performance.now()))
  }
}

export const askCatalogue = () => ask<CatalogueEntry[]>({ what: 'catalogue' })
/** What a search for a better layout begins with, to be handed on as it is. */
export const askRequest = (text: string) => askWhole<unknown>({ what: 'request', text })
/** The place on the film that is nearest to one that a person wants. */
export const askSpot = (text: string, wanted: WantedSpot) => askWhole<WantedSpot>({ what: 'spot', text, wanted })
/** How a job would be laid out, without taking it for the one at hand. */
export const askLayout = (text: string) => askWhole<JobPreview>({ what: 'job', text, withSheets: true })
export const askBlade = (text: string, sheet: number) =>
  askWhole<{ readonly film: BladeWay; readonly liner: BladeWay } | undefined>({ what: 'blade', text, sheet })
export const askCheck = (name: string, bytes: Uint8Array, report: string) =>
  askWhole<FileToSend | { readonly problems: readonly string[] }>({ what: 'check', name, bytes, report })
export const askFiles = (text: string) => askWhole<MadeFiles>({ what: 'files', text })
export const keepFile = (name: string, bytes: Uint8Array) => askBoth<true>({ what: 'keep', name, bytes })
/** Takes the shop's own shapes from the local server; what comes back is told to the person. */
export const askOwn = (base: string) => askBoth<string[]>({ what: 'serve', base })
export const warm = () => askWhole<true>({ what: 'warm' })

export const objectAsker = (
  take: (got: ObjectPreview, job: PlainJob, index: number) => void,
  fail: (why: string) => void,
) =>
  latest(
    (job: PlainJob, index: number, view: ObjectView) => ask<ObjectPreview>({ what: 'object', job, index, view }),
    take,
    {
      fail,
    },
  )

export const jobAsker = (
  take: (got: JobPreview, text: string, withSheets: boolean) => void,
  telling: Omit<Telling<readonly [string, boolean]>, 'breakOff'>,
) =>
  latest((text: string, withSheets: boolean) => askWhole<JobPreview>({ what: 'job', text, withSheets }), take, {
    ...telling,
    breakOff: ([old], [now]) => old !== now && breakOff(),
  })
