import type { LinkAddress } from '../machine/link-address.ts'
import type { SendPlan } from '../machine/send/plan.ts'
import type { Course } from '../machine/send/resume.ts'
import { type SendEvent, type Sender, sender, step } from '../machine/send/sender.ts'
import { type Link, messageOf } from './link.ts'

/** A run that is under way. */
export interface Running {
  readonly state: () => Sender
  /** s on the clock of the run's states */
  readonly now: () => number
  readonly tell: (kind: 'pause' | 'resume' | 'stop' | 'leave') => void
  /** how it ended, and what the link said then */
  readonly finished: Promise<{ readonly sender: Sender; readonly note: string | undefined }>
}

/** Longest timer of the platform, ms. */
const longestTimer = 2 ** 31 - 1

/** Sends over an open link, which is closed at the end. `onChange` is called after whatever happens. */
export function runSend(
  link: Link,
  { plan, course, address }: { readonly plan: SendPlan; readonly course: Course; readonly address: LinkAddress },
  onChange: (state: Sender) => void = () => undefined,
): Running {
  const now = () => performance.now() / 1000
  const { handshake, block, setUp, buffer, answers, patience, ahead, kind } = address
  let state = sender(
    {
      plan,
      course,
      handshake: { kind: handshake, block },
      setUp: setUp && link.answers,
      buffer,
      answers: link.answers ? answers : [],
      asksLine: kind === 'serial' || handshake !== 'none',
      drains: link.drains,
      patience,
      ahead,
    },
    now(),
  )
  let timer: ReturnType<typeof setTimeout> | undefined
  let ended: (result: { sender: Sender; note: string | undefined }) => void = () => undefined
  const finished = new Promise<{ sender: Sender; note: string | undefined }>((resolve) => {
    ended = resolve
  })
  const close = async () => {
    clearTimeout(timer)
    const how = state.outcome?.how
    if (how !== 'done' && how !== 'stopped') {
      await link.abandon().catch(() => undefined)
      return ended({ sender: state, note: undefined })
    }
    if (how === 'stopped' && (address.kind === 'queue' || address.kind === 'file')) {
      await link.abandon().catch(() => undefined)
      return ended({ sender: state, note: 'Nothing of it was handed over.' })
    }
    try {
      ended({ sender: state, note: await link.finish() })
    } catch (error) {
      const outcome = { how: 'broken' as const, detail: messageOf(error) }
      ended({ sender: { ...state, outcome, confirmed: false }, note: undefined })
    }
  }
  const tell = (event: SendEvent) => {
    if (state.phase === 'ended') return
    const done = step(state, event, now())
    state = done.sender
    clearTimeout(timer)
    if (state.phase === 'ended') void close()
    else if (done.wake !== undefined) {
      const ms = Math.min(longestTimer, Math.max(1, Math.ceil((done.wake - now()) * 1000)))
      timer = setTimeout(() => tell({ kind: 'time' }), ms)
    }
    if (done.write) link.write(done.write).then(() => tell({ kind: 'written' }))
    onChange(state)
  }
  link.listen({
    heard: (bytes) => tell({ kind: 'heard', bytes }),
    broken: (why) => tell({ kind: 'broken', why }),
  })
  tell({ kind: 'time' })
  return { state: () => state, now, tell: (kind) => tell({ kind }), finished }
}
