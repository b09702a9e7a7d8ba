import { notUtf8, utf8Text } from '../job/text.ts'
import { fileName, fileNumber, markSaved, raw, saveServed, say, servedHere, take, text, unsaved } from './state.ts'

/** What of the File System Access API is used, where a browser has it. */
interface FileHandle {
  readonly name: string
  getFile(): Promise<File>
  createWritable(): Promise<{ write(data: string): Promise<void>; close(): Promise<void> }>
}
interface Pickers {
  showOpenFilePicker?: (options: object) => Promise<FileHandle[]>
  showSaveFilePicker?: (options: object) => Promise<FileHandle>
}

const pickers = window as unknown as Pickers
const types = [{ description: 'Job', accept: { 'application/yaml': ['.yaml', '.yml'] } }]
/** Of files that were picked on this visit, by their numbers. */
const handles = new Map<number, FileHandle>()

const isAbort = (error: unknown) => error instanceof DOMException && error.name === 'AbortError'

/** A name for the job's file, from its title. */
function ownName(): string {
  const title = String(raw.value?.title ?? 'job')
  const plain = title
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '')
  return `${plain || 'job'}.yaml`
}

export async function openJob(): Promise<void> {
  if (!pickers.showOpenFilePicker) {
    const [file] = await pickFiles('.yaml,.yml,application/yaml')
    if (file) await takeFile(file)
    return
  }
  try {
    const [own] = await pickers.showOpenFilePicker({ types })
    if (!own) return
    if (await takeFile(await own.getFile())) handles.set(fileNumber.value, own)
  } catch (error) {
    if (!isAbort(error)) throw error
  }
}

/** Opens a job file; one that is no UTF-8 text is told of, and the job at hand stays. */
export async function takeFile(file: File): Promise<boolean> {
  const decoded = utf8Text(new Uint8Array(await file.arrayBuffer()))
  if ('line' in decoded) {
    say(`${file.name} ${notUtf8(decoded.line)}.`)
    return false
  }
  take(decoded.text, file.name)
  say(`${file.name} is open.`)
  return true
}

export async function saveJob(): Promise<void> {
  const own = text.value
  if (servedHere.value) {
    await saveServed()
    if (!unsaved.value) say(`${fileName.value} is saved.`)
    return
  }
  const number = fileNumber.value
  try {
    const suggestedName = fileName.value ?? ownName()
    const handle = handles.get(number) ?? (await pickers.showSaveFilePicker?.({ types, suggestedName }))
    if (handle) {
      const out = await handle.createWritable()
      await out.write(own)
      await out.close()
      handles.set(number, handle)
    } else downloadJob(suggestedName)
    const name = handle?.name ?? suggestedName
    markSaved(number, name, own)
    say(`${name} is saved.`)
  } catch (error) {
    if (!isAbort(error)) say(`It could not be saved: ${error instanceof Error ? error.message : String(error)}`)
  }
}

/** Hands the job over as it stands, whatever file it belongs to. */
export const downloadJob = (name: string) => download(name, new TextEncoder().encode(text.value), 'application/yaml')

/** Lets the person choose files; none where they think better of it. */
export function pickFiles(accept: string): Promise<readonly File[]> {
  const input = document.createElement('input')
  input.type = 'file'
  input.accept = accept
  return new Promise((done) => {
    input.addEventListener('change', () => done([...(input.files ?? [])]))
    input.addEventListener('cancel', () => done([]))
    input.click()
  })
}

const kinds: Readonly<Record<string, string>> = {
  pdf: 'application/pdf',
  svg: 'image/svg+xml',
  json: 'application/json',
  zip: 'application/zip',
}

function urlOf(name: string, bytes: Uint8Array, kind?: string): string {
  const type = kind ?? kinds[name.split('.').at(-1) ?? ''] ?? 'application/octet-stream'
  return URL.createObjectURL(new Blob([bytes as Uint8Array<ArrayBuffer>], { type }))
}

export function download(name: string, bytes: Uint8Array, kind?: string): void {
  const link = document.createElement('a')
  link.href = urlOf(name, bytes, kind)
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000)
}

/** Opens a file in a window of its own, to look at or to print. */
export function view(name: string, bytes: Uint8Array): void {
  const url = urlOf(name, bytes)
  window.open(url, '_blank', 'noopener')
  setTimeout(() => URL.revokeObjectURL(url), 600_000)
}
