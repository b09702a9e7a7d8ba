import { useEffect, useRef, useState } from 'preact/hooks'
import { hasServer } from '../state.ts'
import type { Sending } from './order.ts'
import type { Run, RunNews } from './run.ts'
import { runUnderWay } from './server-run.ts'
import { Standing } from './standing.tsx'

/** A run that midtick open had under way before this page looked: how it stands, and the buttons for it. */
export function UnderWay() {
  const [news, setNews] = useState<RunNews>()
  const [sending, setSending] = useState<Sending>()
  const run = useRef<Run>(undefined)
  const isServed = hasServer.value
  useEffect(() => {
    if (!isServed) return
    const { run: own, leave } = runUnderWay((now) => {
      setNews(now)
      void import('../../job/send-run.ts').then(setSending)
    })
    run.current = own
    return leave
  }, [isServed])
  if (!news || !sending) return null
  return (
    <section class="under-way" aria-label="Being sent now">
      <p>
        <strong>{news.ended ? `What was sent of ${news.file}` : `${news.file} is being sent`}</strong>
      </p>
      <Standing news={news} sending={sending} run={run} />
    </section>
  )
}
