import { createInterface } from 'node:readline/promises'

/** Asks on the terminal for yes or no; whatever is not yes is no. */
export async function ask(question: string): Promise<boolean> {
  const lines = createInterface({ input: process.stdin, output: process.stderr })
  try {
    const answer = await Promise.race([
      lines.question(question),
      new Promise<string>((resolve) => {
        lines.once('close', () => resolve(''))
        lines.once('SIGINT', () => resolve(''))
      }),
    ])
    return /^\s*y(es)?\s*$/i.test(answer)
  } finally {
    lines.close()
  }
}

/** Keys one by one, without Enter. */
export function keys(pressed: (key: string) => void): () => void {
  const { stdin } = process
  const heard = (bytes: Buffer) => {
    for (const key of bytes.toString('latin1')) pressed(key)
  }
  stdin.setRawMode(true)
  stdin.resume()
  stdin.on('data', heard)
  return () => {
    stdin.off('data', heard)
    stdin.setRawMode(false)
    stdin.pause()
  }
}
