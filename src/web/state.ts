import shapes from 'virtual:catalogue'
import { batch, computed, effect, signal } from '@preact/signals'
import type {
  CatalogueEntry,
  JobPreview,
  MadeFiles,
  ObjectPreview,
  ObjectView,
  PlacedProblem,
  PlacedWarning,
  Room,
} from '../job/preview-data.ts'
import {
  askCatalogue,
  askFiles,
  askOwn,
  BrokenOff,
  breakOffWhole,
  jobAsker,
  keepFile,
  objectAsker,
  patience,
} from './ask.ts'
import { begin, change, type History, type JobFile, redo, turnTo, undo } from './history.ts'
import { append, emptyJob, freeName, type Key, readText, removeIn, setIn, type Value } from './job-text.ts'
import { type Kept, keptFiles, lastVisit, remember } from './keep.ts'
import { askServer, putJob, type ServedJob } from './server.ts'

/** The order of the work. */
export const stages = [
  { id: 'shape', title: 'Shape', asks: 'What is it?' },
  { id: 'measure', title: 'Measure', asks: 'What does the tape say?' },
  { id: 'panel', title: 'Panel', asks: 'The film, laid flat' },
  { id: 'film', title: 'Film', asks: 'Where it comes out of the film' },
  { id: 'files', title: 'Files', asks: 'Take it to the cutter, or to paper' },
] as const

export type Stage = (typeof stages)[number]['id']

const before: Kept | undefined = lastVisit()

const history = signal<History>(before ? { ...before.history, last: undefined } : begin({ text: emptyJob, file: 0 }))
export const text = computed(() => history.value.now.text)
/** The number of the file that the job at hand belongs to; undo can lead back to another one. */
export const fileNumber = computed(() => history.value.now.file)
export const raw = computed(() => readText(text.value))
export const stage = signal<Stage>(before?.stage ?? 'shape')
/** Name of the cut file that is being sent. */
export const sending = signal<string | undefined>(undefined)
/** The link that something was sent by last: most have one machine. */
export const lastLink = signal<string | undefined>(undefined)
export const chosen = signal(before?.chosen ?? 0)
/** The files of all jobs in the history, by their numbers. */
const jobFiles = signal<readonly JobFile[]>(before?.jobFiles ?? [{ name: undefined, savedText: emptyJob }])
const jobFile = computed(() => jobFiles.value[fileNumber.value])
export const fileName = computed(() => jobFile.value?.name)
export const unsaved = computed(() => text.value !== jobFile.value?.savedText)
export const catalogue = signal<readonly CatalogueEntry[]>(shapes)
/** Said once to whoever cannot see it, and shown for a while. */
export const notice = signal('')
/** Letter of the field that is pointed at, in the form or in the drawing. */
export const lit = signal<string | undefined>(undefined)
/** Drawings are asked for at the size that there is room for, mm. */
const room = signal<Room>(roomOf())

/** Words are set for a drawing of about 5 pixels a mm. */
function roomOf(): Room {
  const width = Math.max(60, Math.min(150, Math.round(innerWidth / 50) * 10))
  return { width, height: 0.7 * width }
}

addEventListener('resize', () => {
  const now = roomOf()
  if (now.width !== room.value.width) room.value = now
})

/** An object as it stands in the text, whatever it is. */
export interface RawObject {
  readonly name: string
  readonly shape: string
  readonly copies: number
  readonly values: Readonly<Record<string, unknown>>
}

export const objects = computed((): readonly RawObject[] => {
  const list = raw.value?.objects
  return (Array.isArray(list) ? list : []).map((object: unknown) => {
    const values = typeof object === 'object' && object !== null ? (object as Record<string, unknown>) : {}
    const copies = typeof values.copies === 'number' ? values.copies : 1
    return { name: String(values.name ?? ''), shape: String(values.shape ?? ''), copies, values }
  })
})

export const isEmpty = computed(() => objects.value.length === 0)

export const current = computed(() => objects.value[chosen.value])
export const entry = computed(() => catalogue.value.find(({ id }) => id === current.value?.shape))
export const title = computed(() => String(raw.value?.title ?? ''))
export const canUndo = computed(() => history.value.past.length > 0)
export const canRedo = computed(() => history.value.future.length > 0)
export const unit = computed(() => String(raw.value?.unit ?? 'mm'))

/** What the worker last said of the chosen object. */
export const object = signal<(ObjectPreview & { readonly index: number }) | undefined>(undefined)
/** The last of it that had panels, by the object's name and shape, to show while something is being typed. */
const complete = signal<{ readonly key: string; readonly preview: ObjectPreview } | undefined>(undefined)
export const job = signal<JobPreview | undefined>(undefined)
/** The last of it that could be laid out, to show while something stands in the way. */
export const laidOut = signal<JobPreview | undefined>(undefined)
export const files = signal<(MadeFiles & { readonly of: string }) | undefined>(undefined)

const keyOf = (o: RawObject | undefined) => `${o?.shape}`

export const shown = computed((): ObjectPreview | undefined => {
  const now = object.value
  if (now && now.index !== chosen.value) return undefined
  if (now?.panels) return now
  return complete.value?.key === `${chosen.value} ${keyOf(current.value)}` ? complete.value.preview : undefined
})
/** Is what is shown older than what is typed? */
export const stale = computed(() => shown.value !== undefined && shown.value !== object.value)

export const objectProblems = computed((): readonly PlacedProblem[] => {
  const own = object.value?.index === chosen.value ? object.value.problems : []
  const others = (job.value?.problems ?? []).filter((p) => p.object === chosen.value && p.code === 'same_name')
  return [...own, ...others]
})
export const jobProblems = computed((): readonly PlacedProblem[] => job.value?.problems ?? [])

/** What to look at again in the chosen object, and in the job as a whole. */
export const objectWarnings = computed((): readonly PlacedWarning[] =>
  object.value?.index === chosen.value ? object.value.warnings : [],
)
export const jobWarnings = computed((): readonly PlacedWarning[] => job.value?.warnings ?? [])

const laysOut = signal(false)
const makesFiles = signal(false)
/** What of the whole job is being worked out now. */
export const working = computed(() => (makesFiles.value ? 'files' : laysOut.value ? 'film' : undefined))
/** The job's text for which the person has ended the work. */
export const halted = signal<string | undefined>(undefined)
/** Why the page itself could not work something out, with the text that it was about. */
export const failure = signal<{ readonly of: string; readonly why: string } | undefined>(undefined)

const fail = (why: string) => {
  const isGone = /dynamically imported module|failed to fetch/i.test(why)
  const words = isGone ? 'a part of this page cannot be loaded' : why
  failure.value = { of: text.peek(), why: words }
}

const askObject = objectAsker((got, _, index) => {
  batch(() => {
    object.value = { ...got, index }
    if (got.panels) complete.value = { key: `${index} ${keyOf(objects.value[index])}`, preview: got }
  })
}, fail)
const askJob = jobAsker(
  (got) => {
    batch(() => {
      job.value = got
      if (got.sheets) laidOut.value = got
    })
  },
  {
    fail,
    working: (asked) => {
      laysOut.value = asked?.[1] === true
    },
  },
)
/** What of the job the chosen object's panels depend on. */
const alone = computed(() => raw.value && current.value && { ...raw.value, objects: [current.value.values] })

/** Where the film is laid out matters on two stages; working it out takes a while. */
const wantsSheets = computed(() => (stage.value === 'film' || stage.value === 'files') && halted.value !== text.value)

let jobTimer: ReturnType<typeof setTimeout> | undefined
/** The whole job waits for a pause in typing, so that the object at hand comes first; ms. */
const pause = 120

/** Is the list for marking a panel out by hand unfolded? */
export const listUnfolded = signal(false)
const wantsLists = computed(() => stage.value === 'panel' && listUnfolded.value)
const objectView = computed((): ObjectView => ({ room: room.value, lists: wantsLists.value }))

effect(() => {
  if (alone.value) askObject(alone.value, chosen.value, objectView.value)
})

effect(() => {
  const [own, withSheets] = [text.value, wantsSheets.value]
  clearTimeout(jobTimer)
  jobTimer = setTimeout(() => askJob(own, withSheets), pause)
})

let filesAsked: { readonly of: string; readonly at: number } | undefined
let filesTimer: ReturnType<typeof setTimeout> | undefined
/** What the worker knew when it was asked: files of the person's own that were given since count too. */
let given = 0
/** Makes all files of the job as it stands, once. */
async function makeAll(): Promise<void> {
  const [own, round] = [text.value, given]
  if (files.value?.of === own || halted.value === own) return
  if (filesAsked) {
    // what is made of an older text stands in the way
    if (filesAsked.of !== own) filesTimer ??= setTimeout(breakOffWhole, filesAsked.at + patience - performance.now())
    return
  }
  filesAsked = { of: own, at: performance.now() }
  makesFiles.value = true
  let isBroken = false
  try {
    const got = await askFiles(own)
    if (text.value === own && given === round) files.value = { ...got, of: own }
  } catch (error) {
    isBroken = error instanceof BrokenOff
    if (!isBroken) fail(error instanceof Error ? error.message : String(error))
  }
  clearTimeout(filesTimer)
  filesTimer = undefined
  filesAsked = undefined
  makesFiles.value = false
  // broken off for something else, they are still wanted
  if ((isBroken || text.value !== own || given !== round) && stage.value === 'files') await makeAll()
}

effect(() => {
  if (stage.value === 'files' && text.value !== '') void makeAll()
})

/** Ends what is being worked out of the whole job, until something is changed or it is asked for again. */
export function halt(): void {
  halted.value = text.value
  breakOffWhole()
}

export function goOn(): void {
  batch(() => {
    halted.value = undefined
    failure.value = undefined
  })
  // what it could not load it does not ask for again
  breakOffWhole()
  askAgain()
}

effect(() => {
  remember({
    history: history.value,
    stage: stage.value,
    chosen: chosen.value,
    jobFiles: jobFiles.value,
  })
})

/** Asks again for everything, after a file that the job names has been given. */
function askAgain(): void {
  given++
  files.value = undefined
  if (stage.value === 'files') void makeAll()
  if (alone.value) askObject(alone.value, chosen.value, objectView.value)
  askJob(text.value, wantsSheets.value)
}

export async function giveFile(name: string, bytes: Uint8Array): Promise<void> {
  await keepFile(name, bytes)
  askAgain()
}

/** The job file that the local server edits in place, if there is one, and its number here. */
const served = signal<(ServedJob & { readonly file: number }) | undefined>(undefined)
/** It, while its job is the one at hand; any other job has nothing to do with that file. */
export const servedHere = computed(() => (served.value?.file === fileNumber.value ? served.value : undefined))

/** Does midtick open stand behind this page? */
export const hasServer = signal(false)

/** Loads what the page needs beside itself. */
export async function start(): Promise<boolean> {
  const [found, kept] = await Promise.all([askServer(), keptFiles()])
  hasServer.value = found !== undefined
  if (found) {
    for (const refusal of await askOwn(new URL('./', location.href).href)) say(refusal)
    catalogue.value = await askCatalogue()
    if (found !== 'no job') takeServed(found)
  }
  for (const [name, bytes] of kept) await keepFile(name, bytes)
  if (found || kept.length > 0) askAgain()
  return found !== undefined
}

/** The file as it is on the disk, unless changes of this page to that very text were never saved. */
function takeServed(found: ServedJob): void {
  const mine = jobFile.value?.name === found.name && jobFile.value.savedText === found.text
  if (!mine) take(found.text, found.name)
  served.value = { ...found, file: fileNumber.value }
}

let saveTimer: ReturnType<typeof setTimeout> | undefined
/** A change goes to the disk after this pause, ms. */
const savePause = 400
/** What could not be written is tried again after this, ms. */
const saveAgain = 4000
/** Why the last change is not on the disk. */
export const unwritten = signal<string | undefined>(undefined)
let saving = false

effect(() => {
  const [own, now] = [servedHere.value, text.value]
  clearTimeout(saveTimer)
  if (own && !own.conflict && now !== own.text) saveTimer = setTimeout(() => void saveServed(), savePause)
})

/** Writes the job to the disk, where it must still be as it was read; `over` writes over whatever is there. */
export async function saveServed(over = false): Promise<void> {
  const own = servedHere.peek()
  if (!own || saving) return
  saving = true
  const now = text.peek()
  const answer = await putJob(now, over && own.conflict ? own.conflict.saved : own.saved)
  saving = false
  clearTimeout(saveTimer)
  unwritten.value = 'refused' in answer ? answer.refused : undefined
  if ('saved' in answer) {
    batch(() => {
      const { conflict: _, ...rest } = own
      served.value = { ...rest, text: now, saved: answer.saved }
      markSaved(own.file, own.name, now)
    })
  } else if ('conflict' in answer) served.value = { ...own, conflict: answer.conflict }
  else saveTimer = setTimeout(() => void saveServed(), saveAgain)
}

/** Takes what is on the disk in place of what is here; undo brings that back. */
export async function loadServed(): Promise<void> {
  const found = await askServer()
  if (!found || found === 'no job') return
  batch(() => {
    edit(found.text)
    markSaved(fileNumber.value, found.name, found.text)
    served.value = { ...found, file: fileNumber.value }
    keepChosen()
  })
}

/** Takes a text as the job's; `place` says what was changed, so that typing is one step to undo; without it, it is one. */
export function edit(now: string, place?: string): void {
  history.value = change(history.value, now, place, Date.now())
}

/** Sets a field of the job, with what is `beside` it in its table, or takes it alone out where there is no value. */
export function setJobField(path: readonly Key[], value: Value | undefined): void {
  const now = value === undefined || value === '' ? removeIn(text.value, path) : setIn(text.value, path, value)
  edit(now, path.join('.'))
}

export function goTo(next: Stage): void {
  batch(() => {
    stage.value = next
    sending.value = undefined
  })
}

export function choose(index: number): void {
  batch(() => {
    chosen.value = index
    lit.value = undefined
  })
}

export function addObject(shape: CatalogueEntry): void {
  const name = freeName(text.value, shape.title.toLowerCase())
  batch(() => {
    edit(append(text.value, ['objects'], { name, shape: shape.id }))
    chosen.value = objects.value.length - 1
    stage.value = 'measure'
  })
}

export function step(back: boolean): void {
  const next = back ? undo(history.value) : redo(history.value)
  if (next === history.value) return
  batch(() => {
    history.value = next
    keepChosen()
    say(back ? 'Undone.' : 'Done again.')
  })
}

const keepChosen = () => {
  chosen.value = Math.max(0, Math.min(chosen.value, objects.value.length - 1))
}

/** Notes that a job stands in a file. */
export function markSaved(number: number, name: string, savedText: string): void {
  jobFiles.value = jobFiles.value.map((old, i) => (i === number ? { name, savedText } : old))
}

/** Takes another job with a file of its own, which can be undone too. */
export function take(now: string, name: string | undefined): void {
  const { past, future } = history.value
  const isUntouched = text.value === emptyJob && past.length === 0 && future.length === 0
  batch(() => {
    const own = { text: now, file: jobFiles.value.length }
    jobFiles.value = [...jobFiles.value, { name, savedText: now }]
    laidOut.value = undefined
    history.value = isUntouched ? begin(own) : turnTo(history.value, own)
    chosen.value = 0
    stage.value = objects.value.length > 0 ? 'measure' : 'shape'
  })
}

let noticeTimer: ReturnType<typeof setTimeout> | undefined
export function say(words: string): void {
  notice.value = words
  clearTimeout(noticeTimer)
  noticeTimer = setTimeout(() => {
    notice.value = ''
  }, 6000)
}
