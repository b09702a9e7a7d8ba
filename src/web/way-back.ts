import { batch, effect } from '@preact/signals'
import { type Stage, sending, stage } from './state.ts'

/** What of the page a step of the browser's history holds. */
interface Place {
  readonly stage: Stage
  readonly sending: string | undefined
}

const now = (): Place => ({ stage: stage.value, sending: sending.value })
const isHere = (place: Place | null) => place?.stage === stage.peek() && place.sending === sending.peek()

/** Makes each stage a step of the browser's history, so that Back leads to the stage before and not out of the page. */
export function keepWayBack(): void {
  history.replaceState(now(), '')
  effect(() => {
    const place = now()
    if (!isHere(history.state as Place | null)) history.pushState(place, '')
  })
  addEventListener('popstate', ({ state }: PopStateEvent) => {
    const place = state as Place | null
    // a step that a link within the page has made
    if (!place?.stage) history.replaceState(now(), '')
    else
      batch(() => {
        stage.value = place.stage
        sending.value = place.sending
      })
  })
}
