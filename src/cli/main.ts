#!/usr/bin/env node
import picocolors from 'picocolors'
import { ask, keys } from './keyboard.ts'
import { run } from './run.ts'

const isTyped = process.stdin.isTTY === true

process.exitCode = await run(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  colour: picocolors.isColorSupported && process.stdout.isTTY === true,
  live: process.stderr.isTTY === true,
  ...(isTyped ? { ask, keys } : {}),
})
