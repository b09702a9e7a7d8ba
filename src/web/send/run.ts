import type { Course, LinkAddress, SendPlan, RunNews as SentNews } from '../../job/send-run.ts'
import type { Link } from '../../link/link.ts'

/** How a run stands. */
export interface RunNews extends SentNews {
  /** name of the file that it sends */
  readonly file: string
  /** set while the server that sends it does not answer */
  readonly isLost?: true
}

/** A run that is under way. */
export interface Run {
  readonly tell: (wish: 'pause' | 'resume' | 'stop' | 'leave') => void
}

export interface RunOrder {
  readonly file: string
  readonly plan: SendPlan
  readonly course: Course
  readonly address: LinkAddress
}

/** ms between looks at the progress. */
const lookEvery = 200

/** How the last run that this page itself has sent and that cut something ended. */
let lastHere: RunNews | undefined
export const lastRunHere = (): RunNews | undefined => lastHere

/** Sends over a link that this page itself has opened; `before` is how the run that it goes on from ended. */
export async function runHere(
  link: Link,
  order: RunOrder,
  before: RunNews | undefined,
  onNews: (news: RunNews) => void,
): Promise<Run> {
  const [{ endingOf, newsOf }, { runSend }] = await Promise.all([
    import('../../job/send-run.ts'),
    import('../../link/run-send.ts'),
  ])
  const running = runSend(link, order)
  const { file } = order
  const look = () => onNews({ ...newsOf(running.state(), running.now(), before), file })
  look()
  const timer = setInterval(look, lookEvery)
  void running.finished.then(({ sender, note }) => {
    clearInterval(timer)
    const ended = endingOf(sender, running.now(), (place) => `begin with ${place}`, note)
    const news = { ...newsOf(sender, running.now(), before), ended, file }
    if (order.plan.lines.length > 0) lastHere = news
    onNews(news)
  })
  return { tell: running.tell }
}
