/** Ends a command with a sentence and an exit code. */
export class Stop extends Error {
  readonly code: number
  constructor(message: string, code: number) {
    super(message)
    this.code = code
  }
}
