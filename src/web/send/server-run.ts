import type { Run, RunNews } from './run.ts'

/** What the local server is asked to send. */
export interface ServerOrder {
  readonly name: string
  readonly bytes: Uint8Array
  readonly report: string
  readonly side: 'film' | 'liner'
  readonly to: string
  readonly from: string | undefined
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
  return listen((news) => news && onNews(news))
}

/**
 * The run that midtick open has under way, if there is one: this page may have been closed and opened again.
 * @param onPast is told once how the last run that cut something ended, where none is under way
 */
export function runUnderWay(
  onNews: (news: RunNews) => void,
  onPast: (news: RunNews) => void = () => undefined,
): { readonly run: Run; readonly leave: () => void } {
  let isUnderWay = false
  const run = listen((news, past) => {
    isUnderWay ||= news !== undefined && !news.ended
    if (isUnderWay && news) onNews(news)
    else if (past) onPast(past)
  })
  return { run, leave: run.leave }
}

/** Listens to the server's run until its end; where none is under way, to how the last one ended. */
function listen(onNews: (news: RunNews | undefined, past?: RunNews) => void): Run & { readonly leave: () => void } {
  const events = new EventSource('./api/send/events')
  let last: RunNews | undefined
  events.addEventListener('progress', ({ data }: MessageEvent<string>) => {
    last = JSON.parse(data) as RunNews
    onNews(last)
  })
  events.addEventListener('ended', ({ data }: MessageEvent<string>) => {
    events.close()
    onNews(JSON.parse(data) as RunNews)
  })
  // a run that ended before it was listened to, or none
  events.addEventListener('idle', ({ data }: MessageEvent<string>) => {
    events.close()
    const { ended, cut } = JSON.parse(data) as { readonly ended?: RunNews; readonly cut?: RunNews }
    onNews(ended ?? (last && { ...last, ended: unknownEnd }), cut)
  })
  // it goes on asking by itself
  events.addEventListener('error', () => last && onNews({ ...last, isLost: true }))
  return { tell: (wish) => void post(`./api/send/${wish}`, {}).catch(() => undefined), leave: () => events.close() }
}

const unknownEnd = {
  how: 'unknown',
  words: ['midtick open knows of no run: it was ended and started again. Look at the machine.'],
  goOn: undefined,
  lineAnew: undefined,
}
