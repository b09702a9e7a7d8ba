/** Commands packed into lines of at most so many bytes with the line feed, broken only between commands. */
export class Lines {
  readonly #bytes: number
  readonly #close: ';' | ''
  readonly #done: string[] = []
  #line = ''

  /**
   * @param bytes 40 or more: the longest command with one pair of 30-bit coordinates fits
   * @param close what ends a command: `;`, or nothing where the next mnemonic or line does
   */
  constructor(bytes: number, close: ';' | '') {
    this.#bytes = bytes
    this.#close = close
  }

  /** A command with its numbers. */
  command(mnemonic: string, ...numbers: readonly number[]): void {
    let text = mnemonic
    numbers.forEach((n, i) => {
      text += i === 0 ? n : this.#between(n) + n
    })
    this.add(text)
  }

  /** Commands without their `;`, kept together on one line. */
  add(...commands: readonly string[]): void {
    this.#put(commands.map((command) => command + this.#close).join(''))
  }

  /** Commands that bring their own `;`, as they are. */
  verbatim(text: string): void {
    for (const command of text.match(/[^;]*;|[^;]+$/g) ?? []) this.#put(command)
  }

  /** Pairs of coordinates behind a mnemonic, which is repeated on every further line. */
  list(mnemonic: string, to: readonly number[]): void {
    const most = this.#bytes - this.#close.length - 1
    let line = this.#line
    let lead = mnemonic
    for (let i = 0; i < to.length; i += 2) {
      const x = to[i] as number
      const y = to[i + 1] as number
      const pair = `${x}${this.#between(y)}${y}`
      if (i > 0) lead = this.#between(x)
      if (line.length + lead.length + pair.length > most) {
        if (line !== '') this.#done.push(i > 0 ? line + this.#close : line)
        line = mnemonic + pair
      } else {
        line += lead + pair
      }
    }
    this.#line = to.length > 0 ? line + this.#close : line
  }

  /** Starts a new line, unless nothing stands on this one. */
  feed(): void {
    if (this.#line !== '') this.#done.push(this.#line)
    this.#line = ''
  }

  /** All lines, a line feed after each. */
  text(): string {
    this.feed()
    return this.#done.length > 0 ? `${this.#done.join('\n')}\n` : ''
  }

  /** A sign parts numbers as a comma does, where every byte counts. */
  #between(next: number): ',' | '' {
    return this.#close === '' && next < 0 ? '' : ','
  }

  #put(text: string): void {
    if (this.#line.length + text.length >= this.#bytes) this.feed()
    this.#line += text
  }
}
