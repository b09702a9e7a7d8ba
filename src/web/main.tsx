import { render } from 'preact'
import { App } from './app.tsx'
import { warm } from './ask.ts'
import { listenToAll } from './shortcuts.ts'
import { start } from './state.ts'
import { keepWayBack } from './way-back.ts'
import './style.css'

const page = document.getElementById('page')
if (page) render(<App />, page)
listenToAll()
keepWayBack()

const isServed = await start()
// what a local server gives out is its own to keep
if (import.meta.env.PROD && 'serviceWorker' in navigator && !isServed) {
  await navigator.serviceWorker.register('./offline.js').catch(() => undefined)
}
const quiet = globalThis.requestIdleCallback ?? ((run: () => void) => setTimeout(run, 500))
// what does not come now is asked for again when it is wanted
quiet(() => void warm().catch(() => undefined))
