import type { OwnProfile } from '../job/machine-lookup.ts'
import {
  catalogueEntries,
  checkToSend,
  type Given,
  layoutRequest,
  machineLookup,
  makeFiles,
  nearestSpot,
  previewBlade,
  previewJob,
  previewObject,
  takeShape,
} from '../job/preview.ts'
import type { Answer, Ask, Question } from './compute.ts'

// What of a worker's surroundings is used here; the rest of the browser is no business of the computing rooms.
declare function addEventListener(what: 'message', take: (event: { readonly data: Question }) => void): void
declare function postMessage(reply: Answer): void

/** Files of the person's own that jobs name, such as fonts. */
const files = new Map<string, Uint8Array>()

/** Where the local server is, if one gave the page out; ends in /. */
let server: string | undefined

async function readFile(name: string): Promise<Uint8Array> {
  const bytes = files.get(name)
  if (bytes) return bytes
  if (server !== undefined) {
    const answer = await fetch(new URL(`api/file?name=${encodeURIComponent(name)}`, server))
    if (answer.ok) return new Uint8Array(await answer.arrayBuffer())
  }
  throw new Error('it has not been chosen on this page yet')
}

type Shapes = NonNullable<Given['own']>
let given: Given = { readFile, own: [] }

/** Loads the shop's own shapes from the server; a sentence for each that cannot be used. */
async function takeOwn(base: string): Promise<string[]> {
  server = base
  const answer = await fetch(new URL('api/shapes', base))
  if (!answer.ok) return []
  const { shapes, refused } = (await answer.json()) as { shapes: { name: string; module: string }[]; refused: string[] }
  const told = [...refused]
  const taken: Shapes[number][] = []
  for (const { name, module } of shapes) {
    try {
      const loaded = (await import(/* @vite-ignore */ new URL(module, base).href)) as { default?: unknown }
      taken.push(takeShape(loaded.default, taken))
    } catch (error) {
      told.push(`The shape in ${name} cannot be used: ${error instanceof Error ? error.message : String(error)}.`)
    }
  }
  given = { ...given, own: taken }
  await takeMachines()
  return told
}

/** The profiles as the server gave them last. */
let profiles = ''

/**
 * Takes the profiles beside the job from the server, as they are now: whoever corrects one finds it used. Where the
 * server is gone, those it gave last hold; where it cannot read them, no name finds a machine.
 */
async function takeMachines(): Promise<void> {
  if (server === undefined) return
  const answer = await fetch(new URL('api/machines', server)).catch(() => undefined)
  if (!answer) return
  const read = await answer.text()
  if (read === profiles) return
  profiles = read
  const got = JSON.parse(read) as OwnProfile[] | { readonly error: string }
  const findMachine = 'error' in got ? () => unreadable(got.error) : machineLookup(got)
  given = { ...given, findMachine }
}

const unreadable = (limit: string) => ({
  code: 'machine_unreadable',
  field: 'machine',
  value: 'the folder of machines',
  limit,
  cure: 'See to that folder.',
})

async function answer(ask: Exclude<Ask, { readonly what: 'serve' }>): Promise<unknown> {
  switch (ask.what) {
    case 'catalogue':
      return catalogueEntries(given.own)
    case 'object':
      return previewObject(ask.job, ask.index, ask.view, given)
    case 'job':
      return previewJob(ask.text, ask.withSheets, given)
    case 'request':
      return layoutRequest(ask.text, given)
    case 'blade':
      return previewBlade(ask.text, ask.sheet, given)
    case 'spot':
      return nearestSpot(ask.text, ask.wanted, given)
    case 'files':
      return makeFiles(ask.text, given)
    case 'check':
      return checkToSend(ask.name, ask.bytes, ask.report)
    case 'keep':
      files.set(ask.name, ask.bytes)
      // what was worked out without it counts no more
      given = { ...given }
      return true
    case 'warm':
      // Loads what is loaded when wanted, so that it is there when the network is not.
      await makeFiles('version: 1\ntitle: a\nobjects: [{ name: a, shape: flat-panel, width: 50, height: 50 }]\n')
      return true
  }
}

/** Before these the machines are looked at again; one object is drawn at every key, with those known. */
const wholeJob: ReadonlySet<Ask['what']> = new Set(['job', 'request', 'blade', 'files'])

/** What the server gives comes before whatever is asked after it. */
let ready: Promise<unknown> = Promise.resolve()

addEventListener('message', async ({ data }) => {
  const { id, ask } = data
  const send = (reply: Answer) => postMessage(reply)
  try {
    if (ask.what === 'serve') {
      const taken = takeOwn(ask.base)
      ready = taken.catch(() => undefined)
      send({ id, got: await taken })
      return
    }
    await ready
    if (wholeJob.has(ask.what)) await takeMachines()
    send({ id, got: await answer(ask) })
  } catch (error) {
    send({ id, failed: error instanceof Error ? error.message : String(error) })
  }
})
