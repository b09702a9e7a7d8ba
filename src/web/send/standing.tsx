import { useEffect, useRef } from 'preact/hooks'
import type { Sending } from './order.ts'
import type { Run, RunNews } from './run.ts'

interface StandingProps {
  readonly news: RunNews
  readonly sending: Sending
  /** was it begun here, by a button that is gone now? Then it takes the focus */
  readonly isBegun?: boolean
  /** looked at when a button is pressed, as it may come after the first news */
  readonly run: { readonly current?: Run | undefined }
}

/** What the machine is doing, how far it has come, and what a person can do about it. */
export function Standing({ news: { progress, ended, isLost }, sending, isBegun = false, run }: StandingProps) {
  const { state, down, ofDown, left } = progress
  const own = useRef<HTMLDivElement>(null)
  useEffect(() => {
    if (isBegun) own.current?.focus()
  }, [ended === undefined])
  const tell = (wish: Parameters<Run['tell']>[0]) => () => run.current?.tell(wish)
  if (ended) {
    return (
      <div class="standing" role="status" ref={own} tabIndex={-1}>
        {ended.words.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </div>
    )
  }
  return (
    <div class="standing" ref={own} tabIndex={-1}>
      {isLost && (
        <p role="alert" class="refusal">
          midtick open does not answer, so nothing is known of the run. Look at the machine; its own switch stops it.
        </p>
      )}
      <p role="status" class="lead">
        {isLost ? 'Last heard: ' : ''}
        {wordsOf(progress)}
      </p>
      <progress max={ofDown || 1} value={down} aria-label="Cut so far">
        {Math.round((100 * down) / (ofDown || 1))} %
      </progress>
      <p class="soft">
        {(down / 1000).toFixed(2)} of {(ofDown / 1000).toFixed(2)} m, about {sending.timeWords(left)} left by the
        estimate
      </p>
      <div class="row">
        {state === 'paused' || state === 'pausing' ? (
          <button type="button" class="main" onClick={tell('resume')} disabled={state === 'pausing'}>
            Go on
          </button>
        ) : (
          <button type="button" onClick={tell('pause')} disabled={state === 'stopping'}>
            Pause
          </button>
        )}
        {state === 'stopping' ? (
          <button type="button" class="stop" onClick={tell('leave')}>
            Leave at once
          </button>
        ) : (
          <button type="button" class="stop" onClick={tell('stop')}>
            Stop
          </button>
        )}
      </div>
    </div>
  )
}

function wordsOf({ state, under }: RunNews['progress']): string {
  const now = under ?? 'once round the job, tool up'
  const words: Readonly<Record<RunNews['progress']['state'], string>> = {
    opening: 'Asking the machine.',
    sending: `Under the tool: ${now}.`,
    pausing: `Pausing in ${now}.`,
    paused: `Paused in ${now}; the tool is up.`,
    stopping: `Stopping in ${now}: the tool is lifted and parked.`,
    finishing: `All is sent, and no stop can reach it: ${now}.`,
    ended: '',
  }
  return words[state]
}
