#!/usr/bin/env node
import { createInterface } from 'node:readline/promises'
import picocolors from 'picocolors'
import { run } from './run.ts'

/** One line from the person at the terminal. */
async function ask(question: string): Promise<boolean> {
  const lines = createInterface({ input: process.stdin, output: process.stderr })
  try {
    return /^y(es)?$/i.test((await lines.question(question)).trim())
  } finally {
    lines.close()
  }
}

process.exitCode = await run(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  colour: picocolors.isColorSupported && process.stdout.isTTY === true,
  live: process.stderr.isTTY === true,
  ...(process.stdin.isTTY ? { ask } : {}),
})
