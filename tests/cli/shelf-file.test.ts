import { spawn } from 'node:child_process'
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { hostname, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { changeShelfFile } from '../../src/cli/shelf-file.ts'

const child = fileURLToPath(new URL('shelf-child.mjs', import.meta.url))
let folder = ''
let library = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-shelf-'))
  library = join(folder, 'shelf-file.mjs')
  const entry = fileURLToPath(new URL('../../src/cli/shelf-file.ts', import.meta.url))
  await build({ entryPoints: [entry], outfile: library, bundle: true, platform: 'node', format: 'esm' })
})
afterAll(() => rm(folder, { recursive: true, force: true }))

/** Runs the child to its end: what it said, and whether it was killed. */
function run(file: string, name: string, times: number, at = 0, how = 'after') {
  const args = [child, library, file, name, String(times), String(at), how]
  return new Promise<{ said: string; killed: boolean }>((resolve, reject) => {
    const started = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'inherit'] })
    let said = ''
    started.stdout.on('data', (data) => {
      said += String(data)
    })
    started.on('error', reject)
    started.on('close', (_, signal) => resolve({ said, killed: signal === 'SIGKILL' }))
  })
}

async function shelfIn(name: string, text: string): Promise<string> {
  const own = await mkdtemp(join(folder, `${name}-`))
  await writeFile(join(own, 'shelf.yaml'), text)
  return join(own, 'shelf.yaml')
}

test('killed at any of its calls, a run leaves the shelf as it was or as it should be, and the next one goes on', async () => {
  // long enough for a write that is cut in two to show
  const before = `# film\n${'grey roll\n'.repeat(500)}`
  const { said } = await run(await shelfIn('whole', before), 'scrap', 1)
  const calls = Number(said)
  expect(calls).toBeGreaterThan(15)
  const seen = { killed: 0, kept: 0, changed: 0 }
  const points = [1, 2, 3, 4].flatMap(() =>
    Array.from({ length: calls }, (_, i) => i + 1).flatMap((at) =>
      ['before', 'halfway', 'after'].map((how) => ({ at, how })),
    ),
  )
  const one = async ({ at, how }: { at: number; how: string }) => {
    const file = await shelfIn('killed', before)
    const { killed } = await run(file, 'scrap', 1, at, how)
    expect(killed).toBe(true)
    seen.killed += 1
    const left = await readFile(file, 'utf8')
    if (left === before) seen.kept += 1
    else {
      expect(left).toBe(`${before}scrap 1\n`)
      seen.changed += 1
    }
    await changeShelfFile(file, async (text) => `${text}next\n`)
    expect(await readFile(file, 'utf8')).toBe(`${left}next\n`)
    expect(await readdir(join(file, '..'))).toEqual(['shelf.yaml'])
  }
  const queue = points.slice(0, Math.max(200, calls * 3))
  const lane = async () => {
    for (let next = queue.pop(); next; next = queue.pop()) await one(next)
  }
  await Promise.all([lane(), lane(), lane(), lane()])
  expect(seen.killed).toBeGreaterThanOrEqual(200)
  expect(Math.min(seen.kept, seen.changed)).toBeGreaterThan(10)
}, 60_000)

test('two runs at once lose nothing of each other', async () => {
  const file = await shelfIn('two', '')
  const runs = await Promise.all([run(file, 'a', 25), run(file, 'b', 25)])
  expect(runs.map(({ killed }) => killed)).toEqual([false, false])
  const lines = (await readFile(file, 'utf8')).trim().split('\n')
  const wanted = (name: string) => Array.from({ length: 25 }, (_, i) => `${name} ${i + 1}`)
  expect(lines.filter((line) => line.startsWith('a'))).toEqual(wanted('a'))
  expect(lines.filter((line) => line.startsWith('b'))).toEqual(wanted('b'))
  expect(lines).toHaveLength(50)
})

test('a second run waits no longer than its patience, then refuses and says who is at it', async () => {
  const file = await shelfIn('busy', 'film\n')
  const lock = JSON.stringify({ pid: process.pid, host: hostname(), token: 'other' })
  await writeFile(`${file}.lock`, lock)
  const refused = changeShelfFile(file, async () => 'changed', 60)
  await expect(refused).rejects.toThrow(
    new RegExp(`being changed by another run \\(process ${process.pid} on .*waited 0\\.06 s`),
  )
  expect(await readFile(file, 'utf8')).toBe('film\n')
  expect(await readFile(`${file}.lock`, 'utf8')).toBe(lock)
})

test('what is changed by an editor meanwhile is not written over', async () => {
  const file = await shelfIn('editor', 'film\n')
  const refused = changeShelfFile(file, async (text) => {
    await writeFile(file, 'film and more\n')
    return `${text}scrap\n`
  })
  await expect(refused).rejects.toThrow('was changed by another run meanwhile')
  expect(await readFile(file, 'utf8')).toBe('film and more\n')
})
