import type { Course, LinkAddress, Progress, SendPlan } from '../../job/send-run.ts'
import type { Link } from '../../link/link.ts'

/** How a run stands. */
export interface RunNews {
  readonly progress: Progress
  /** set while the server that sends it does not answer */
  readonly isLost?: true
  readonly ended?: {
    readonly words: readonly string[]
    /** where a new run goes on: a piece, or a place in it */
    readonly goOn: string | undefined
  }
}

/** A run that is under way. */
export interface Run {
  readonly tell: (wish: 'pause' | 'resume' | 'stop' | 'leave') => void
}

export interface RunOrder {
  readonly plan: SendPlan
  readonly course: Course
  readonly address: LinkAddress
}

/** ms between looks at the progress. */
const lookEvery = 200

/** Sends over a link that this page itself has opened. */
export async function runHere(link: Link, order: RunOrder, onNews: (news: RunNews) => void): Promise<Run> {
  const [{ accountOf, endingWords, progressOf }, { runSend }] = await Promise.all([
    import('../../job/send-run.ts'),
    import('../../link/run-send.ts'),
  ])
  const running = runSend(link, order)
  const look = () => onNews({ progress: progressOf(running.state(), running.now()) })
  look()
  const timer = setInterval(look, lookEvery)
  void running.finished.then(({ sender, note }) => {
    clearInterval(timer)
    const { goOn, underWay } = accountOf(sender)
    const from = sender.outcome?.how === 'done' ? undefined : (goOn ?? underWay?.first.number.toString())
    const words = endingWords(sender, running.now(), (place) => `begin with ${place}`)
    onNews({
      progress: progressOf(sender, running.now()),
      ended: { words: note === undefined ? words : [...words, note], goOn: from },
    })
  })
  return { tell: running.tell }
}
