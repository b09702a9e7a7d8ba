import type { History, JobFile } from './history.ts'
import type { Stage } from './state.ts'

/** What a visit leaves behind in the browser, so that a reload loses nothing. */
export interface Kept {
  readonly history: History
  readonly stage: Stage
  readonly chosen: number
  readonly jobFiles: readonly JobFile[]
}

const key = 'midtick'
/** Steps to undo that outlast a reload. */
const mostSteps = 40

/** What this tab left behind; a new tab begins with what the last one that was open did. */
export function lastVisit(): Kept | undefined {
  try {
    const kept = JSON.parse(sessionStorage.getItem(key) ?? localStorage.getItem(key) ?? 'null') as Kept | null
    return typeof kept?.history?.now?.text === 'string' && Array.isArray(kept.jobFiles) ? kept : undefined
  } catch {
    return undefined
  }
}

let waiting: Kept | undefined
let timer: ReturnType<typeof setTimeout> | undefined

/** Keeps it at the next quiet moment, and at the latest when the page goes. */
export function remember(kept: Kept): void {
  waiting = kept
  timer ??= setTimeout(write, 150)
}

function write(): void {
  clearTimeout(timer)
  timer = undefined
  if (!waiting) return
  const { past, now, future } = waiting.history
  const history: History = { past: past.slice(-mostSteps), now, future: future.slice(0, mostSteps), last: undefined }
  const kept = JSON.stringify({ ...waiting, history })
  for (const storage of [() => sessionStorage, () => localStorage]) {
    try {
      storage().setItem(key, kept)
    } catch {
      // Full or forbidden: the job still stands on the page, and can be saved to a file.
    }
  }
  waiting = undefined
}

addEventListener('pagehide', write)
addEventListener('visibilitychange', write)

const store = 'files'

function database(): Promise<IDBDatabase> {
  return new Promise((done, fail) => {
    const open = indexedDB.open(key, 1)
    open.onupgradeneeded = () => open.result.createObjectStore(store)
    open.onsuccess = () => done(open.result)
    open.onerror = () => fail(open.error)
  })
}

/** Files of the person's own that were chosen before, by name. */
export async function keptFiles(): Promise<[string, Uint8Array][]> {
  try {
    const all = (await database()).transaction(store).objectStore(store)
    const [names, contents] = await Promise.all([settled(all.getAllKeys()), settled(all.getAll())])
    return names.map((name, i) => [String(name), contents[i] as Uint8Array])
  } catch {
    return []
  }
}

export async function keepForLater(name: string, bytes: Uint8Array): Promise<void> {
  try {
    await settled((await database()).transaction(store, 'readwrite').objectStore(store).put(bytes, name))
  } catch {
    // It is there for this visit.
  }
}

function settled<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((done, fail) => {
    request.onsuccess = () => done(request.result)
    request.onerror = () => fail(request.error)
  })
}
