import { openJob, saveJob, takeFile } from './files.ts'
import { step } from './state.ts'

/** Keys that work everywhere on the page, and files dropped anywhere on it. */
export function listenToAll(): void {
  addEventListener('keydown', onKey)
  addEventListener('dragover', (event) => event.preventDefault())
  addEventListener('drop', onDrop)
}

function onKey(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return
  const key = event.key.toLowerCase()
  const run = {
    z: () => step(!event.shiftKey),
    y: () => step(false),
    s: () => void saveJob(),
    o: () => void openJob(),
  }[key]
  if (!run) return
  event.preventDefault()
  run()
}

function onDrop(event: DragEvent): void {
  event.preventDefault()
  const file = [...(event.dataTransfer?.files ?? [])].find(({ name }) => /\.ya?ml$/.test(name))
  if (file) void takeFile(file)
}
