import { expect } from 'vitest'
import { run } from '../../src/cli/run.ts'

/** One command line, with what it said and how it ended; whoever is asked answers as told. */
export async function saidTo(argv: readonly string[], answer?: boolean) {
  const heard = { out: '', err: '', asked: '' }
  const ask = async (question: string) => {
    heard.asked += question
    return answer === true
  }
  const code = await run(argv, {
    out: (text) => {
      heard.out += text
    },
    err: (text) => {
      heard.err += text
    },
    colour: false,
    live: false,
    ...(answer === undefined ? {} : { ask }),
  })
  expect(heard.out + heard.err).not.toMatch(/undefined|NaN|\[object|\n {4}at /)
  return { code, ...heard }
}

/** The same where nobody is asked. */
export async function said(...argv: string[]): Promise<{ code: number; out: string; err: string }> {
  const { code, out, err } = await saidTo(argv)
  return { code, out, err }
}
