import { useSignalEffect } from '@preact/signals'
import { useRef } from 'preact/hooks'
import { isMissing } from './fields/said.ts'
import { notice, objectProblems } from './state.ts'

/** Says notices and refusals to whoever listens, and shows notices for a while. */
export function Voice() {
  const spoken = useRef<HTMLDivElement>(null)
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined)
  useSignalEffect(() => {
    const words = objectProblems.value.filter((p) => !isMissing(p)).map((p) => p.text)
    clearTimeout(timer.current)
    // typing is not interrupted
    timer.current = setTimeout(() => {
      if (spoken.current) spoken.current.textContent = words.join(' ')
    }, 700)
  })
  return (
    <>
      <div ref={spoken} class="unseen" role="status" aria-live="polite" id="refusals" />
      <div class={`notice ${notice.value ? 'on' : ''}`} role="status" aria-live="polite">
        {notice.value}
      </div>
    </>
  )
}
