import { useEffect, useState } from 'preact/hooks'
import { failure, goOn, halt, halted, hasServer, text, working } from './state.ts'

/** Work that is done sooner needs no sign, ms. */
const soon = 600

interface AtWorkProps {
  readonly what: 'film' | 'files'
  readonly words: string
  /** beside what is shown, nothing moves */
  readonly beside?: boolean
}

/** That something is being worked out, for how long, and the way out of it; or why it is not. */
export function AtWork({ what, words, beside = false }: AtWorkProps) {
  if (failure.value?.of === text.value) return <Failed why={failure.value.why} />
  if (halted.value === text.value) return <Halted />
  return working.value === what ? <TakesLong words={words} beside={beside} onStop={halt} /> : null
}

function Failed({ why }: { readonly why: string }) {
  return (
    <div role="alert">
      <p class="refusal">
        This could not be worked out: {why}. Look whether{' '}
        {hasServer.value ? 'midtick open still runs' : 'the network is there'}; what you typed is kept in this browser.
      </p>
      <button type="button" onClick={goOn}>
        Try again
      </button>
    </div>
  )
}

function Halted() {
  return (
    <div class="waiting" role="status">
      <p>Stopped before its end. Fewer copies or smaller jobs take less time.</p>
      <button type="button" onClick={goOn}>
        Work it out after all
      </button>
    </div>
  )
}

interface TakesLongProps extends Pick<AtWorkProps, 'words' | 'beside'> {
  readonly onStop: () => void
}

/** What is being done and for how long, once it takes longer than a moment, and a button that ends it. */
export function TakesLong({ words, beside = false, onStop }: TakesLongProps) {
  const [taken, setTaken] = useState(0)
  useEffect(() => {
    const begun = performance.now()
    const timer = setInterval(() => setTaken(performance.now() - begun), 200)
    return () => clearInterval(timer)
  }, [])
  if (taken < soon) return null
  return (
    <div class={`waiting ${beside ? 'beside' : ''}`}>
      <p>
        <span role="status">{words}</span> <span aria-hidden="true">{Math.floor(taken / 1000)} s</span>
      </p>
      <progress aria-label={words} />
      <button type="button" onClick={onStop}>
        Stop it
      </button>
    </div>
  )
}
