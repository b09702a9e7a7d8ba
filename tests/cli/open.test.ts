import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { chmod, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { build } from 'esbuild'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { browserCommand } from '../../src/cli/open.ts'
import { run } from '../../src/cli/run.ts'

const tin = 'version: 1\ntitle: Tin\n'
let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-open-'))
  await build({
    entryPoints: [resolve(import.meta.dirname, '../../src/cli/main.ts')],
    outdir: join(folder, 'dist'),
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    outExtension: { '.js': '.mjs' },
    banner: { js: "import{createRequire as r}from'node:module';const require=r(import.meta.url);" },
    external: ['pdfkit'],
    logLevel: 'error',
  })
  await mkdir(join(folder, 'dist', 'page'))
  await writeFile(join(folder, 'dist', 'page', 'index.html'), '<!doctype html><title>page</title>')
  await writeFile(join(folder, 'tin.yaml'), tin)
})
afterAll(() => rm(folder, { recursive: true, force: true }))

let child: ChildProcess | undefined
afterEach(() => {
  child?.kill('SIGKILL')
})

/** The command in a process of its own, until it has printed an address. */
async function opened(flags: readonly string[], path?: string) {
  child = spawn(process.execPath, [join(folder, 'dist', 'main.mjs'), 'open', ...flags], {
    cwd: folder,
    env: { ...process.env, ...(path === undefined ? {} : { PATH: path }) },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  const running = child
  const ended = once(running, 'exit')
  let said = ''
  const address = await new Promise<string>((found, failed) => {
    const hear = (text: Buffer) => {
      said += text
      const [line] = /^http:\S+$/m.exec(said) ?? []
      if (line !== undefined && said.includes('Ctrl-C')) found(line)
    }
    running.stdout?.on('data', hear)
    running.stderr?.on('data', hear)
    running.on('exit', () => failed(new Error(said)))
  })
  const stop = async (signal: NodeJS.Signals) => {
    running.kill(signal)
    return (await ended)[0]
  }
  return { address, said, stop }
}

async function refused(...argv: string[]): Promise<{ code: number; err: string }> {
  let err = ''
  const hear = (text: string) => {
    err += text
  }
  const voice = { out: hear, err: hear, colour: false, live: false }
  return { code: await run(['open', ...argv], voice), err }
}

describe('open', { timeout: 60_000 }, () => {
  test('shows the page, edits the job in place and ends with Ctrl-C', async () => {
    const { address, said, stop } = await opened(['tin.yaml', '--no-browser'])
    expect(said).toMatch(/^tin\.yaml is open at\n/)
    const { origin, searchParams } = new URL(address)
    expect(origin).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/)
    expect(await (await fetch(origin)).text()).toContain('<title>page')
    const headers = { 'X-Midtick-Token': searchParams.get('token') ?? '' }
    const read = (await (await fetch(`${origin}/api/job`, { headers })).json()) as { text: string; saved: string }
    expect(read.text).toBe(tin)
    const body = JSON.stringify({ text: `${tin}# more\n`, basedOn: read.saved })
    const change = { method: 'PUT', headers: { ...headers, 'Content-Type': 'application/json' }, body }
    expect((await fetch(`${origin}/api/job`, change)).status).toBe(200)
    expect(await readFile(join(folder, 'tin.yaml'), 'utf8')).toBe(`${tin}# more\n`)
    expect(await stop('SIGINT')).toBe(0)
    await expect(fetch(origin)).rejects.toThrow()
  })

  test('opens a browser by an address that is good once, and is none the worse without one', async () => {
    const bin = join(folder, 'bin')
    const told = join(folder, 'told.txt')
    await mkdir(bin)
    for (const name of ['xdg-open', 'open']) {
      await writeFile(
        join(bin, name),
        `#!/bin/sh\nprintf %s "$1" > '${told}.part' && /bin/mv '${told}.part' '${told}'\n`,
      )
      await chmod(join(bin, name), 0o755)
    }
    const { address, stop } = await opened([], bin)
    const given = await expect
      .poll(() => readFile(told, 'utf8').catch(() => ''), { timeout: 20_000 })
      .not.toBe('')
      .then(() => readFile(told, 'utf8'))
    expect(given).not.toBe(address)
    expect((await fetch(given, { redirect: 'manual' })).status).toBe(303)
    expect((await fetch(given, { redirect: 'manual' })).status).toBe(403)
    expect((await fetch(address, { redirect: 'manual' })).status).toBe(303)
    expect(await stop('SIGTERM')).toBe(0)

    const alone = await opened([], join(folder, 'empty'))
    expect((await fetch(new URL(alone.address).origin)).status).toBe(200)
    expect(await alone.stop('SIGINT')).toBe(0)
  })

  test('uses the port that is asked for, and says so when it is taken', async () => {
    const other = createServer().listen(0, '127.0.0.1')
    await once(other, 'listening')
    const { port } = other.address() as { port: number }
    await expect(opened(['--no-browser', '--port', String(port)])).rejects.toThrow(
      `Port ${port} cannot be used: another program uses it. Give another with --port`,
    )
    await new Promise((done) => other.close(done))
    const { address, stop } = await opened(['--no-browser', '--port', String(port)])
    expect(new URL(address).port).toBe(String(port))
    expect(await stop('SIGINT')).toBe(0)
  })
})

describe('open refuses', () => {
  test('a job that is not there, or no file', async () => {
    expect(await refused(join(folder, 'none.yaml'))).toEqual({
      code: 3,
      err: `${join(folder, 'none.yaml')} cannot be read: there is no such file. Name a job file, or none to start a new job on the page.\n`,
    })
    expect(await refused(folder)).toMatchObject({ code: 3, err: expect.stringContaining('it is not a file') })
  })

  test.each(['0', '65536', '80.5', 'http', ''])('port %j', async (port) => {
    expect(await refused('--port', port)).toMatchObject({ code: 2, err: expect.stringContaining('from 1 to 65535') })
  })
})

test('each system opens addresses in its own way', () => {
  const address = 'http://127.0.0.1:4321/?token=x'
  expect(browserCommand('linux', address)).toEqual(['xdg-open', address])
  expect(browserCommand('darwin', address)).toEqual(['open', address])
  expect(browserCommand('win32', address)).toEqual(['cmd', '/c', 'start', '', address])
})
