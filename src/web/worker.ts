import { catalogueEntries, makeFiles, previewJob, previewObject } from '../job/preview.ts'
import type { Answer, Ask, Question } from './compute.ts'

// What of a worker's surroundings is used here; the rest of the browser is no business of the computing rooms.
declare function addEventListener(what: 'message', take: (event: { readonly data: Question }) => void): void
declare function postMessage(reply: Answer): void

/** Files of the person's own that jobs name, such as fonts. */
const files = new Map<string, Uint8Array>()

async function readFile(name: string): Promise<Uint8Array> {
  const bytes = files.get(name)
  if (!bytes) throw new Error('it has not been chosen on this page yet')
  return bytes
}

async function answer(ask: Ask): Promise<unknown> {
  switch (ask.what) {
    case 'catalogue':
      return catalogueEntries()
    case 'object':
      return previewObject(ask.text, ask.index, ask.room, readFile)
    case 'job':
      return previewJob(ask.text, ask.withSheets, readFile)
    case 'files':
      return makeFiles(ask.text, readFile)
    case 'keep':
      files.set(ask.name, ask.bytes)
      return true
    case 'warm':
      // Loads what is loaded when wanted, so that it is there when the network is not.
      await makeFiles('version: 1\ntitle: a\nobjects: [{ name: a, shape: flat-panel, width: 50, height: 50 }]\n')
      await catalogueEntries()
      return true
  }
}

addEventListener('message', async ({ data }) => {
  const { id, ask } = data
  const send = (reply: Answer) => postMessage(reply)
  try {
    send({ id, got: await answer(ask) })
  } catch (error) {
    send({ id, failed: error instanceof Error ? error.message : String(error) })
  }
})
