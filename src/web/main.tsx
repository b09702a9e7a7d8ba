import { render } from 'preact'
import { App } from './app.tsx'
import { warm } from './ask.ts'
import { start } from './state.ts'
import './style.css'

const page = document.getElementById('page')
if (page) render(<App />, page)

await start()
if (import.meta.env.PROD && 'serviceWorker' in navigator && !new URLSearchParams(location.search).has('token')) {
  await navigator.serviceWorker.register('./offline.js').catch(() => undefined)
}
const quiet = globalThis.requestIdleCallback ?? ((run: () => void) => setTimeout(run, 500))
quiet(() => void warm())
