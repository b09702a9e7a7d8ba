#!/usr/bin/env node
import picocolors from 'picocolors'
import { ask, keys } from './keyboard.ts'
import { run } from './run.ts'

const isTyped = process.stdin.isTTY === true

// Whoever reads what is said here may leave early, as `head` does; the work goes on to its end.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
  })
}

process.exitCode = await run(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  colour: picocolors.isColorSupported && process.stdout.isTTY === true,
  live: process.stderr.isTTY === true,
  ...(isTyped ? { ask, keys } : {}),
})
