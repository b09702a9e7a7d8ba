// Does a test notice when a line is changed? ROOM is the folder to change, SHARE the share of its lines that is changed,
// in runs of twelve lines drawn by their file and place: always the same ones.
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

const rooms = process.env.ROOM?.split(',') ?? ['src/geometry', 'src/panel', 'src/stroke', 'src/file/hpgl']
const share = Number(process.env.SHARE ?? 1)
const run = 12

const isDrawn = (place) => createHash('sha256').update(place).digest().readUInt32BE() < share * 2 ** 32

const filesIn = (room) => (room.endsWith('.ts') ? [room] : readdirSync(room).map((name) => join(room, name)))

function runsOf(file) {
  if (share >= 1) return [file]
  const lines = readFileSync(file, 'utf8').split('\n').length
  return Array.from({ length: Math.ceil(lines / run) }, (_, i) => i)
    .filter((i) => isDrawn(`${file} ${i}`))
    .map((i) => `${file}:${i * run + 1}-${(i + 1) * run}`)
}

export default {
  mutate: rooms.flatMap(filesIn).flatMap(runsOf),
  testRunner: 'vitest',
  vitest: { configFile: '.vitest.mutate.ts' },
  coverageAnalysis: 'perTest',
  // what stands outside functions, such as the strokes of letters: each would ask every test
  ignoreStatic: true,
  ignorePatterns: ['/dist', '/out', '/.ci', '*.tgz'],
  disableTypeChecks: false,
  tsconfigFile: 'none.json',
  concurrency: Number(process.env.AT_ONCE ?? 1),
  timeoutMS: 5000,
  tempDirName: '.mutate',
  reporters: ['clear-text', 'json'],
  clearTextReporter: { reportTests: false, allowColor: false, logTests: false },
  jsonReporter: { fileName: 'node_modules/.cache/mutate.json' },
}
