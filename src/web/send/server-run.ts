import type { Progress } from '../../job/send-run.ts'
import type { Run, RunNews } from './run.ts'

/** What the local server is asked to send. */
export interface ServerOrder {
  readonly name: string
  readonly bytes: Uint8Array
  readonly report: string
  readonly side: 'film' | 'liner'
  readonly to: string
  readonly from: string
  readonly frame: boolean
}

const post = (path: string, body: unknown) =>
  fetch(path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) })

/** Links that the server's computer has now, as they are written. */
export async function linksThere(): Promise<readonly string[]> {
  try {
    const answer = await fetch('./api/links')
    const { links } = (answer.ok ? await answer.json() : { links: [] }) as {
      readonly links: readonly { readonly to: string }[]
    }
    return links.map(({ to }) => to)
  } catch {
    return []
  }
}

/** Sends through midtick open, where the run goes on even when this page is closed. Throws an Error that says why not. */
export async function runThere(order: ServerOrder, onNews: (news: RunNews) => void): Promise<Run> {
  const { bytes, ...rest } = order
  const hpgl = Array.from(bytes, (byte) => String.fromCharCode(byte)).join('')
  const answer = await post('./api/send', { ...rest, hpgl }).catch(() => undefined)
  if (!answer) throw new Error('midtick open has ended; start it again')
  if (!answer.ok) {
    const { error } = (await answer.json()) as { readonly error?: string }
    throw new Error(error ?? `the server answered ${answer.status}`)
  }
  return listen(onNews)
}

/** The run that midtick open has under way, if there is one: this page may have been closed and opened again. */
export function runUnderWay(onNews: (news: RunNews) => void): { readonly run: Run; readonly leave: () => void } {
  let isUnderWay = false
  const run = listen((news) => {
    isUnderWay ||= !news.ended
    if (isUnderWay) onNews(news)
  })
  return { run, leave: run.leave }
}

/** Listens to the server's run until its end. */
function listen(onNews: (news: RunNews) => void): Run & { readonly leave: () => void } {
  const events = new EventSource('./api/send/events')
  let progress: Progress | undefined
  events.addEventListener('progress', ({ data }: MessageEvent<string>) => {
    progress = JSON.parse(data) as Progress
    onNews({ progress })
  })
  const end = ({ data }: MessageEvent<string>) => {
    const ended = JSON.parse(data) as { words: string[]; goOn?: string; underWay?: number; how: string } | null
    events.close()
    const from = ended?.how === 'done' ? undefined : (ended?.goOn ?? ended?.underWay?.toString())
    const words = ended?.words ?? ['midtick open knows of no run: it was ended and started again. Look at the machine.']
    onNews({ progress: progress ?? nothingYet, ended: { words, goOn: from } })
  }
  events.addEventListener('ended', end)
  // a run that ended before it was listened to
  events.addEventListener('idle', end)
  // it goes on asking by itself
  events.addEventListener('error', () => progress && onNews({ progress, isLost: true }))
  return { tell: (wish) => void post(`./api/send/${wish}`, {}).catch(() => undefined), leave: () => events.close() }
}

const nothingYet: Progress = {
  state: 'ended',
  piece: 1,
  pieces: 0,
  name: undefined,
  down: 0,
  ofDown: 0,
  left: 0,
  sent: 0,
  ofSent: 0,
}
