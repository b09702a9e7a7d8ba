/** A job file that the local server edits in place. */
export interface ServedJob {
  readonly name: string
  /** as it is on the disk */
  readonly text: string
  /** what the next save is based on */
  readonly saved: string
  /** set where the file was changed by someone else; null where it is gone */
  readonly conflict?: { readonly saved: string | null; readonly why: string }
}

const isLocal = ['127.0.0.1', 'localhost', '[::1]'].includes(location.hostname)

/** Is the page given out by the local server, and with which job? A plain static host has no answer. */
export async function askServer(): Promise<ServedJob | 'no job' | undefined> {
  if (!isLocal) return undefined
  try {
    const answer = await fetch('./api/job', { headers: { Accept: 'application/json' } })
    if (!answer.ok || !answer.headers.get('Content-Type')?.includes('json')) return undefined
    const found = (await answer.json()) as ServedJob | null
    return found ? { name: found.name, text: found.text, saved: found.saved } : 'no job'
  } catch {
    return undefined
  }
}

type PutAnswer =
  | { readonly saved: string }
  | { readonly conflict: NonNullable<ServedJob['conflict']> }
  | { readonly refused: string }

export async function putJob(text: string, basedOn: string | null): Promise<PutAnswer> {
  try {
    const answer = await fetch('./api/job', {
      method: 'PUT',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ text, basedOn }),
    })
    const body = (await answer.json()) as { readonly saved?: string | null; readonly error?: string }
    if (answer.ok && typeof body.saved === 'string') return { saved: body.saved }
    if (answer.status === 409) return { conflict: { saved: body.saved ?? null, why: body.error ?? '' } }
    return { refused: body.error ?? `The server answered ${answer.status}.` }
  } catch {
    return {
      refused: `midtick open does not answer. Start it again with --port ${location.port} and open the address that it prints, or download the job.`,
    }
  }
}

/** What booking a cut job would change on its shelf, a sentence each; `refused` says why there is nothing to book. */
export interface Booking {
  readonly changes: readonly string[]
  readonly refused?: string
}

const ended = 'midtick open has ended. Start it again, or book with midtick shelf take.'

/** @param saved what is on the disk of the job */
export async function askBooking(saved: string): Promise<Booking> {
  try {
    const answer = await fetch(`./api/shelf/booking?saved=${saved}`)
    const found = (await answer.json()) as { readonly changes?: readonly string[]; readonly error?: string }
    return found.changes ? { changes: found.changes } : { changes: [], refused: found.error ?? ended }
  } catch {
    return { changes: [], refused: ended }
  }
}

/** Books what was shown; why not, where it is refused. */
export async function book(saved: string, changes: readonly string[]): Promise<string | undefined> {
  try {
    const answer = await fetch('./api/shelf/booking', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ saved, changes }),
    })
    return answer.ok ? undefined : (((await answer.json()) as { readonly error?: string }).error ?? ended)
  } catch {
    return ended
  }
}
