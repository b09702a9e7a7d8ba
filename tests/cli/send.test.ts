import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { createServer, type Server } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { run } from '../../src/cli/run.ts'
import { type Simulated, simulate } from '../../src/link/simulate.ts'
import { usualSimulated } from '../../src/machine/simulated/options.ts'
import { lidBytes, lids } from '../machine/send/jobs.ts'

let folder = ''
let file = ''
let simulated: Simulated | undefined
const bytes = lidBytes('strict')
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-send-'))
  file = join(folder, 'lids.hpgl')
  await writeFile(file, bytes)
})
afterEach(async () => {
  await simulated?.close()
  simulated = undefined
  await rm(folder, { recursive: true, force: true })
})

/** A machine with room for little that carries out so many bytes a second, as it is named after --to. */
async function machine(drain: number): Promise<string> {
  simulated = await simulate({ kind: 'socket', port: 0 }, { ...usualSimulated, buffer: 255, drain })
  return simulated.address
}

const cut = () => new TextDecoder().decode(simulated?.machine.done)

interface Person {
  /** what is answered to the question; nobody is there where it is left out */
  readonly answer?: boolean
  /** keys, each pressed when a line is told that has these words in it */
  readonly presses?: readonly (readonly [when: string, key: string])[]
}

/** One command line with somebody at it, and what it said. */
async function said(argv: readonly string[], { answer, presses = [] }: Person = {}) {
  const heard = { out: '', err: '', asked: '' }
  const left = [...presses]
  let press: (key: string) => void = () => undefined
  const code = await run(argv, {
    out: (text) => {
      heard.out += text
    },
    err: (text) => {
      heard.err += text
      const [next] = left
      if (!next || !text.includes(next[0])) return
      left.shift()
      setTimeout(() => press(next[1]))
    },
    colour: false,
    live: false,
    ...(answer === undefined
      ? {}
      : {
          ask: async (question: string) => {
            heard.asked += question
            return answer
          },
        }),
    keys: (pressed) => {
      press = pressed
      return () => undefined
    },
  })
  expect(left).toEqual([])
  expect(heard.out + heard.err).not.toMatch(/undefined|NaN|\[object|\n {4}at /)
  return { code, ...heard }
}

describe('midtick send', () => {
  test('shows the check, asks, and sends every byte', async () => {
    const to = await machine(20_000)
    const { code, out, asked, err } = await said(['send', file, '--to', `${to}?answers=errors&ahead=100`], {
      answer: true,
    })
    expect(err).not.toContain('not')
    expect(code).toBe(0)
    expect(out).toContain(`${file} to socket 127.0.0.1:`)
    expect(out).toContain('2 pieces, 4 of 7 lines closed')
    expect(out).toContain('outline at 80, 10 (pen 1): 2 lines')
    expect(out + err).not.toMatch(/piece \d/i)
    expect(asked).toBe('Does the film lie with the right side up, with the tool at its start? Begin? [y/N] ')
    expect(out).toContain('Done. All 2 pieces are cut, and the machine says that it is through.')
    expect(cut().replaceAll('OE;', '')).toBe(new TextDecoder().decode(bytes))
  })

  test('counts no piece as cut whose outline is in another file, leads on to it, and asks otherwise in the middle', async () => {
    const lid = '{ name: lid, shape: flat-panel, width: 120, height: 80, copies: 2 }'
    const job = join(folder, 'lids.yaml')
    await writeFile(job, `version: 1\ntitle: Lids\nmachine: plain-roll\ncut: through\nobjects:\n  - ${lid}\n`)
    const out = join(folder, 'out')
    expect((await said(['make', job, '--out', out])).code).toBe(0)
    const to = `${await machine(1e6)}?answers=errors+position&ahead=86400`
    const first = await said(['send', join(out, 'sheet-1.hpgl'), '--to', to], { answer: true })
    expect(first.code).toBe(0)
    expect(first.out).toMatch(/Done\. All \d+ lines of this file are done, and the machine says that it is through\./)
    expect(first.out).not.toContain('pieces are cut')
    expect(first.out).toContain(
      'Not all of this sheet is done: send sheet-1.through.hpgl next, without moving the film, with tool 1 holding the blade, set to cut film and liner.\n',
    )
    const through = join(out, 'sheet-1.through.hpgl')
    const onward = await said(['send', through, '--to', to, '--from', 'lid, copy 2'], { answer: true })
    expect(onward.asked).toBe(
      'Does the film still lie as the run before has left it, with tool 1 holding the blade, set to cut film and liner? New film is begun at the beginning. Begin? [y/N] ',
    )
    expect(onward.out).toContain('Done. All 2 pieces are cut')
    expect(onward.out).not.toContain('Not all of this sheet')
  })

  test('sends nothing where the person says no, or nobody is there to ask', async () => {
    const to = await machine(20_000)
    expect(await said(['send', file, '--to', to], { answer: false })).toMatchObject({
      code: 4,
      err: 'Nothing was sent.\n',
    })
    const nobody = await said(['send', file, '--to', to])
    expect(nobody.code).toBe(2)
    expect(nobody.err).toBe('Nothing was sent: there is nobody to ask. Say --yes where all is ready.\n')
    expect(cut()).toBe('')
  })

  test('traces the outline of the job with the tool up', async () => {
    const to = await machine(20_000)
    const { code, out } = await said(['send', file, '--to', to, '--frame', '--yes'])
    expect(code).toBe(0)
    expect(out).toContain('Only its outline is traced now, with the tool up.')
    // x from 10 to 120 and y from 10 to 50 mm at 40 units a mm.
    await expect.poll(cut).toBe('IN;PU;PA400,400;PA4800,400;PA4800,2000;PA400,2000;PA400,400;PA0,0;')
    expect(simulated?.machine.drawn).toEqual([])
  })

  test('pauses, goes on, stops, says how to go on, and goes on there to the whole job', async () => {
    const long = lidBytes('strict', Array.from({ length: 4 }, () => lids.slice(3)).flat())
    await writeFile(file, long)
    const to = `${await machine(600)}?answers=errors+position&ahead=1`
    const stopped = await said(['send', file, '--to', to, '--yes'], {
      presses: [
        ['outline at 10, 10 (pen 1):', 'p'],
        ['the tool is up', 'r'],
        ['outline at ', 's'],
      ],
    })
    expect(stopped.code).toBe(4)
    expect(stopped.err).toContain('p pauses, r goes on, s or Ctrl-C stops')
    expect(stopped.err).toMatch(/Paused in outline at \d+, 10 \(pen 1\)/)
    expect(stopped.out).toMatch(
      /Stopped (in|behind) line \d+ of outline at \d+, 10 \(pen 1\)\. The tool is up and parked\.\n/,
    )
    const from = /To go on from there: --from "([^"]*)"/.exec(stopped.out)?.[1] ?? ''
    const done = await said(['send', file, '--to', to, '--yes', '--from', from])
    expect(done.code).toBe(0)
    expect(done.out).toContain(`It begins with ${from}; what stands before is taken as done.`)
    // Sixteen squares: whatever is not parted is there once, and what is parted in its two parts.
    const length = (simulated?.machine.drawn ?? []).reduce((sum, { path }) => {
      const ends = [path.start, ...path.segments.map((segment) => segment.to)]
      return (
        sum + ends.slice(1).reduce((all, p, i) => all + Math.hypot(p.x - (ends[i]?.x ?? 0), p.y - (ends[i]?.y ?? 0)), 0)
      )
    }, 0)
    expect(length).toBe(4 * 40 * 4 * (10 + 40 + 8 + 40))
  })

  test('takes machine and link from a profile beside the file, and refuses what does not fit it', async () => {
    const to = await machine(20_000)
    await mkdir(join(folder, 'machines'))
    const profile = (name: string, along: number, more = '') => {
      const text = `name: ${name}\narea: { along: ${along}, across: 60 }\ntools: { pen: 2, kiss: 1 }\n${more}`
      return writeFile(join(folder, 'machines', `${name}.yaml`), text)
    }
    await profile('bench', 600, `blade: { offset: 0.25, compensate: file }\nlink: ${to}\n`)
    await profile('small', 100)
    await profile('bare', 600)
    const sent = await said(['send', file, '--machine', 'bench', '--yes', '--from', 'outline at 80, 10, kiss'])
    expect(sent.code).toBe(0)
    expect(sent.out).toContain('kiss by pen 1: 4 lines')
    expect(sent.out).toContain('The blade may stand askew for the first millimetre')
    const refused = await said(['send', file, '--machine', 'small', '--to', to, '--yes'])
    expect(refused.code).toBe(1)
    expect(refused.err).toContain('small reaches from 0.0, 0.0 to 100.0, 60.0 mm')
    const linkless = await said(['send', file, '--machine', 'bare', '--yes'])
    expect(linkless.code).toBe(2)
    expect(linkless.err).toContain('or write it as link into the profile of bare')
  })

  test('writes a plain file, and never onto the one that is sent', async () => {
    const copy = join(folder, 'copy.hpgl')
    expect(await said(['send', file, '--to', `file:${copy}`, '--yes'])).toMatchObject({ code: 0 })
    expect((await readFile(copy)).equals(bytes)).toBe(true)
    const onto = await said(['send', file, '--to', `file:${file}`, '--yes'])
    expect(onto).toMatchObject({ code: 2, err: `${file} cannot be sent to itself. Name another file.\n` })
    expect((await readFile(file)).equals(bytes)).toBe(true)
  })

  test.each([
    [['--to', 'tpc:h:1'], 2, 'Did you mean tcp:?'],
    [[], 2, 'No link is named. Say --to with one of serial:'],
    [['--to', 'file:x.hpgl', '--from', '9'], 2, 'in the file are "outline at 10, 10" and "outline at 80, 10".'],
    [['--to', 'file:x.hpgl', '--from', 'outlin at 80, 10'], 2, 'Did you mean "outline at 80, 10"?'],
    [['--to', 'file:x.hpgl', '--from', 'outline at 80, 10'], 2, 'is done by pen 2 and by pen 1. Say which: "outline'],
    [['--to', 'file:x.hpgl', '--from', 'outline at 80, 10, pen 1, line 7'], 2, '(pen 1) has 2 lines'],
    [['--to', 'file:x.hpgl', '--side', 'up'], 2, 'up is not film or liner.'],
  ] as const)('%j is refused with what to do', async (flags, code, words) => {
    const refused = await said(['send', file, '--yes', ...flags])
    expect(refused.code).toBe(code)
    expect(refused.err).toContain(words)
  })

  test('of a file that is not there, or to a port where nothing is, says so', async () => {
    const missing = await said(['send', join(folder, 'none.hpgl'), '--to', 'file:x', '--yes'])
    expect(missing).toMatchObject({ code: 3 })
    expect(missing.err).toContain('cannot be read: there is no such file.')
    const server: Server = createServer()
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const at = server.address()
    await new Promise((resolve) => server.close(resolve))
    const port = typeof at === 'object' && at ? at.port : 0
    const refused = await said(['send', file, '--to', `tcp:127.0.0.1:${port}`, '--yes'])
    expect(refused.code).toBe(3)
    expect(refused.err).toMatch(/^Nothing was sent\. The socket 127.0.0.1:\d+ cannot be used: nothing listens there\./)
  })
})

describe('midtick links and queue', () => {
  test('name what is there as send takes it, and what cannot be listed', async () => {
    const { code, out } = await said(['links'])
    expect(code).toBe(0)
    for (const line of out.trim().split('\n')) {
      expect(line).toMatch(
        /^(serial|device|queue):\S+ +(serial line|USB printer device|print queue)$|^There are none\./,
      )
    }
  })

  test.each([
    [['--server', 'a b'], 'a b is no server such as printer:631.'],
    [['--server', '-x'], '-x is no server such as printer:631.'],
    [['--cancel', '-a'], '-a is no job such as cutter-12.'],
    [['--cancel', 'all'], 'all is no job such as cutter-12.'],
  ])('queue %j is refused', async (flags, words) => {
    const { code, err } = await said(['queue', ...flags])
    expect(code).toBe(2)
    expect(err).toContain(words)
  })

  test('queue of a server that is not there says so', async () => {
    const { code, err } = await said(['queue', '--server', '127.0.0.1:1'])
    expect(code).toBe(3)
    expect(err).toContain('The print queue cannot be used')
  })
})
