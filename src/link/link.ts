/** What a link tells while it is open. */
export interface Listener {
  readonly heard: (bytes: Uint8Array) => void
  /** it is of no more use, and why; told once */
  readonly broken: (why: string) => void
}

/** An open way to a machine. One write at a time; nothing is opened beside what was named. */
export interface Link {
  /** may the machine's answers come back on it? */
  readonly answers: boolean
  /** are bytes on the line when a write is done, and wait nowhere on this computer? */
  readonly drains: boolean
  readonly listen: (listener: Listener) => void
  /** Done when the link takes more. A failure is told as broken. */
  readonly write: (bytes: Uint8Array) => Promise<void>
  /** All was written: hands over what is kept and closes. Gives a sentence where there is more to tell. */
  readonly finish: () => Promise<string | undefined>
  /** Closes at once; what a link has kept is not handed over. */
  readonly abandon: () => Promise<void>
}

/** A link that cannot be opened, or not be used: a sentence with what to try. */
export class LinkError extends Error {
  constructor(what: string, why: string, cure: string) {
    super(`${what} cannot be used: ${why}. ${cure}`)
    this.name = 'LinkError'
  }
}

export const codeOf = (error: unknown): string =>
  typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : ''

export const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))

/** A promise that is not waited for longer than so many ms. */
export function within(ms: number, promise: Promise<unknown>): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, ms)
    promise
      .then(
        () => undefined,
        () => undefined,
      )
      .then(() => {
        clearTimeout(timer)
        resolve()
      })
  })
}

/** Tells a listener that may come later, and of the end once. */
export class Teller {
  #listener: Listener | undefined
  #kept: Uint8Array[] = []
  #why: string | undefined
  #isQuiet = false

  listen(listener: Listener): void {
    this.#listener = listener
    for (const bytes of this.#kept.splice(0)) listener.heard(bytes)
    if (this.#why !== undefined) listener.broken(this.#why)
  }

  heard(bytes: Uint8Array): void {
    if (this.#isQuiet) return
    if (this.#listener) this.#listener.heard(bytes)
    else if (this.#kept.length < 100) this.#kept.push(bytes)
  }

  broken(why: string): void {
    if (this.#isQuiet || this.#why !== undefined) return
    this.#why = why
    this.#listener?.broken(why)
  }

  /** Nothing more is told: what ends now is meant to. */
  quiet(): void {
    this.#isQuiet = true
  }
}
