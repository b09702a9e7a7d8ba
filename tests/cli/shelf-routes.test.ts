import { createHash } from 'node:crypto'
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { serveApp } from '../../src/cli/serve.ts'

const port = 4322
const token = 'the-token'
const shelf = `version: 1
stocks:
  - { name: grey roll, kind: roll, width: 400, length: 3 m }   # by the door
`
const job = `version: 1
title: Lid
shelf: shelf.yaml
objects:
  - { name: lid, shape: flat-panel, width: 300, height: 200, allowance: 0, slit: none, ticks: pen }
machine: { like: plain-roll, tools: { pen: 2, kiss: 1 } }
`

let top = ''
const at = (...names: string[]) => join(top, ...names)
beforeEach(async () => {
  top = await mkdtemp(join(tmpdir(), 'midtick-booking-'))
  await mkdir(at('page'))
  await mkdir(at('job'))
  await writeFile(at('page', 'index.html'), '<!doctype html><title>page</title>')
  await writeFile(at('job', 'lid.yaml'), job)
  await writeFile(at('job', 'shelf.yaml'), shelf)
  await writeFile(at('shelf.yaml'), shelf)
})
afterEach(() => rm(top, { recursive: true, force: true }))

const savedOf = (text: string) => createHash('sha256').update(text).digest('hex')

async function ask(query: string, body?: unknown, headers: Record<string, string> = {}) {
  const served = { page: at('page'), job: at('job', 'lid.yaml'), own: at('job', 'shapes'), port: () => port, token }
  const app = await serveApp(served)
  const known = { Host: `127.0.0.1:${port}`, 'X-Midtick-Token': token, 'Content-Type': 'application/json', ...headers }
  const sent = body === undefined ? {} : { method: 'POST', body: JSON.stringify(body) }
  const answer = await app.request(`http://127.0.0.1:${port}/api/shelf/booking${query}`, { headers: known, ...sent })
  return { status: answer.status, told: (await answer.json()) as Record<string, unknown> }
}
const offer = (saved = savedOf(job)) => ask(`?saved=${saved}`)
const shelfNow = () => readFile(at('job', 'shelf.yaml'), 'utf8')

describe('booking a cut job by way of the local server', () => {
  test('shows what changes on the shelf, and does just that when it is asked to', async () => {
    const { status, told } = await offer()
    expect(status).toBe(200)
    // 300 mm of film and a margin of 10 mm at both ends, or 200 mm and as much, whichever way it lies
    expect(told).toMatchObject({ shelf: 'shelf.yaml' })
    const [roll] = told.changes as string[]
    expect(roll).toMatch(/^grey roll: (220|320)(\.\d)? mm taken, (2780|2779|2680|2679) mm left$/)
    expect(await shelfNow()).toBe(shelf)
    expect(await ask('', { saved: savedOf(job), changes: told.changes })).toMatchObject({ status: 200 })
    expect(await shelfNow()).toMatch(/length: 2\.\d+ m\b.*# by the door/)
    // the same once more would be another booking
    expect(await ask('', { saved: savedOf(job), changes: told.changes })).toMatchObject({ status: 409 })
  })

  test('is refused for a job that is not saved as shown, for other changes, and without the token', async () => {
    expect(await offer(savedOf('another'))).toMatchObject({
      status: 409,
      told: { error: expect.stringMatching(/Save it first/) },
    })
    expect(await ask('', { saved: savedOf(job), changes: ['grey roll: 1 mm taken, 2999 mm left'] })).toMatchObject({
      status: 409,
    })
    expect(await ask('', { saved: savedOf(job) })).toMatchObject({ status: 400 })
    const { told } = await offer()
    const wrong = { 'X-Midtick-Token': 'another' }
    expect(await ask('', { saved: savedOf(job), changes: told.changes }, wrong)).toMatchObject({ status: 403 })
    const form = { 'Content-Type': 'text/plain' }
    expect(await ask('', { saved: savedOf(job), changes: told.changes }, form)).toMatchObject({ status: 415 })
    expect(await shelfNow()).toBe(shelf)
  })

  test('says why there is nothing to book, and writes no shelf outside the folder of the job', async () => {
    const without = job.replace('shelf: shelf.yaml\n', '')
    await writeFile(at('job', 'lid.yaml'), without)
    expect(await offer(savedOf(without))).toMatchObject({
      status: 422,
      told: { error: expect.stringMatching(/names no shelf/) },
    })
    const outside = job.replace('shelf.yaml', '../shelf.yaml')
    await writeFile(at('job', 'lid.yaml'), outside)
    expect(await offer(savedOf(outside))).toMatchObject({ status: 403 })
    expect(await readFile(at('shelf.yaml'), 'utf8')).toBe(shelf)
  })
})
