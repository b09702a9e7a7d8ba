import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { type Listening, listen } from '../../src/cli/listen.ts'
import type { RunNews } from '../../src/job/send.ts'
import { type Simulated, simulate } from '../../src/link/simulate.ts'
import type { Misbehaviour } from '../../src/machine/simulated/options.ts'
import { usualSimulated } from '../../src/machine/simulated/options.ts'
import { lidBytes, lids } from '../machine/send/jobs.ts'

let folder = ''
let server: Listening
let simulated: Simulated | undefined
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-routes-'))
  await writeFile(join(folder, 'index.html'), '<!doctype html><title>page</title>')
  server = await listen({ page: folder, own: join(folder, 'shapes') })
})
afterEach(async () => {
  await server.close()
  await simulated?.close()
  simulated = undefined
  await rm(folder, { recursive: true, force: true })
})

const started = async (drain: number, misbehaviour: Misbehaviour = {}) => {
  simulated = await simulate({ kind: 'socket', port: 0 }, { ...usualSimulated, buffer: 255, drain, misbehaviour })
  return simulated
}

function ask(path: string, body?: unknown, headers: Record<string, string> = {}): Promise<Response> {
  const { origin, searchParams } = new URL(server.address)
  const known = { 'X-Midtick-Token': searchParams.get('token') ?? '', 'Content-Type': 'application/json', ...headers }
  const method = path === '/api/send/events' || path === '/api/links' ? 'GET' : 'POST'
  return fetch(origin + path, { method, headers: known, ...(body === undefined ? {} : { body: JSON.stringify(body) }) })
}

const hpgl = new TextDecoder('latin1').decode(lidBytes('strict', Array.from({ length: 4 }, () => lids.slice(3)).flat()))
const job = (more: object) => ({ name: 'lids.hpgl', hpgl, ...more })

interface Told {
  readonly event: string
  readonly data: Record<string, unknown>
}

const stateIn = (data: Told['data']) => (data as unknown as Partial<RunNews>).progress?.state

function endIn(data: Told['data'] | undefined) {
  const { ended } = data as unknown as RunNews
  if (!ended) throw new Error('the run has not ended')
  return ended
}

/** Events as they come, until one is the last that is wanted. */
async function eventsUntil(isLast: (told: Told) => boolean): Promise<Told[]> {
  const answer = await ask('/api/send/events')
  expect(answer.headers.get('Content-Type')).toContain('text/event-stream')
  const all: Told[] = []
  const reader = (answer.body as ReadableStream<Uint8Array>).getReader()
  let text = ''
  for (;;) {
    const { done, value } = await reader.read()
    if (done) throw new Error('the events ended')
    text += new TextDecoder().decode(value)
    const whole = text.split('\n\n')
    text = whole.pop() ?? ''
    for (const each of whole) {
      const told = { event: /event: (.*)/.exec(each)?.[1] ?? '', data: JSON.parse(/data: (.*)/.exec(each)?.[1] ?? '') }
      all.push(told)
      if (!isLast(told)) continue
      await reader.cancel()
      return all
    }
  }
}

describe('sending from a page', () => {
  test('needs the token, and the page of this server', async () => {
    for (const path of ['/api/links', '/api/send', '/api/send/check', '/api/send/events', '/api/send/stop']) {
      expect((await ask(path, undefined, { 'X-Midtick-Token': 'no' })).status).toBe(403)
      expect((await ask(path, undefined, { Origin: 'http://elsewhere.example' })).status).toBe(403)
    }
  })

  test('checks a file, and refuses what is none', async () => {
    const good = await ask('/api/send/check', job({ hpgl: new TextDecoder('latin1').decode(lidBytes('strict')) }))
    expect(good.status).toBe(200)
    const told = (await good.json()) as { lines: string[]; parts: unknown[] }
    expect(told.parts).toHaveLength(4)
    expect(told.lines.join()).toContain('2 pieces, 4 of 7 lines closed')
    expect((await ask('/api/send/check', job({ hpgl: 'IN;LBno\u0003;' }))).status).toBe(422)
    expect((await ask('/api/send/check', job({ hpgl: '\u0100' }))).status).toBe(400)
    expect((await ask('/api/send/check', 'text')).status).toBe(400)
    expect((await ask('/api/send', job({ to: 'file:/tmp/x' }))).status).toBe(400)
    expect((await ask('/api/send', job({ to: 'tcp:127.0.0.1' }))).status).toBe(400)
    expect((await ask('/api/send', job({ to: 'tcp:127.0.0.1:9', from: '99' }))).status).toBe(400)
    expect((await ask('/api/send', job({ to: 'tcp:127.0.0.1:9' }))).status).toBe(502)
    expect((await ask('/api/send/stop')).status).toBe(409)
  })

  test('begins, pauses, goes on, stops, and begins again where it stopped', async () => {
    const { address, machine } = await started(600)
    const to = `${address}?answers=errors+position&ahead=1`
    expect((await ask('/api/send', job({ to }))).status).toBe(202)
    expect((await ask('/api/send', job({ to }))).status).toBe(409)
    await ask('/api/send/pause')
    const paused = await eventsUntil(({ data }) => stateIn(data) === 'paused')
    expect(paused.some(({ event }) => event === 'progress')).toBe(true)
    await ask('/api/send/resume')
    await eventsUntil(({ data }) => stateIn(data) === 'sending')
    await ask('/api/send/stop')
    const [stopped] = (await eventsUntil(({ event }) => event !== 'progress')).slice(-1)
    const { how, words, goOn: from } = endIn(stopped?.data)
    expect(how).toBe('stopped')
    expect(words.join(' ')).toContain(`begin with ${from}.`)
    expect(words.join(' ')).not.toContain('--')
    // whoever comes later is told of it too, and what is done counts on
    const [idle] = (await eventsUntil(({ event }) => event === 'idle')).slice(-1)
    expect((idle?.data.cut as Partial<RunNews> | undefined)?.ended).toEqual(stopped?.data.ended)
    expect((await ask('/api/send', job({ to, from }))).status).toBe(202)
    const [done] = (await eventsUntil(({ event }) => event !== 'progress')).slice(-1)
    expect(endIn(done?.data).how).toBe('done')
    expect(done?.data.reaches).toHaveLength(2)
    expect(machine.lost).toBe(0)
  })

  test('tells of a link that breaks', async () => {
    const { address } = await started(300, { disappears: 300 })
    await ask('/api/send', job({ to: `${address}?answers=errors` }))
    const [ended] = (await eventsUntil(({ event }) => event !== 'progress')).slice(-1)
    expect(endIn(ended?.data).how).toBe('broken')
    expect(endIn(ended?.data).words.join(' ')).toContain('The link broke')
  })
})
